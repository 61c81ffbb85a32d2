package publish

import (
	"cmp"
	"slices"
	"strconv"

	"bowlwright/bot/balance"
	"bowlwright/bot/dogs"
	"bowlwright/bot/read"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/planner/edition"
	"bowlwright/planner/portions"
	"bowlwright/store"
)

// pressNews takes a new version, or leaves what the household has.
func pressNews(t *talk.Turn, args []string) {
	token := talk.Arg(args, 1)
	kept := keptOf(t, token)
	p, err := t.Snap.Published(token)
	found := talk.Found(t, err)
	_, latest := p.Latest()
	switch {
	case kept == nil || !found:
		t.SayMsg("press.gone")
	case !p.Withdrawn.At.IsZero():
		t.SayMsg("news.withdrawn", "what", kept.Name).InPlace = t.Event.Message
	case kept.From.Version == latest:
		t.SayMsg("news.taken-already", "what", kept.Name, "n", latest).InPlace = t.Event.Message
	case talk.Arg(args, 0) == "keep":
		keepMine(t, &p, kept)
	case talk.Arg(args, 2) != strconv.Itoa(latest):
		r, _ := readerOf(t, token)
		sayNews(t, &p, r) // it has changed again since
	default:
		takeVersion(t, &p)
	}
}

// answerNews takes or leaves the version that the household was told of last.
func answerNews(t *talk.Turn, s read.Sentence, verb string) {
	reading, err := t.Snap.Reading(t.Home.ID)
	talk.Found(t, err)
	var last store.Reader
	number := 0
	for _, r := range reading {
		p, err := t.Snap.Published(r.Token)
		talk.Found(t, err)
		kept := keptOf(t, r.Token)
		_, latest := p.Latest()
		if kept != nil && r.Told == latest && r.Version < latest && (s.Recipe == "" || s.Recipe == kept.ID) && !r.ToldAt.Before(last.ToldAt) {
			last, number = r, latest
		}
	}
	if number == 0 {
		t.SayMsg("news.none")
		return
	}
	pressNews(t, []string{verb, last.Token, strconv.Itoa(number)})
}

// keepMine leaves a recipe as it is.
func keepMine(t *talk.Turn, p *store.Published, kept *planner.Recipe) {
	_, latest := p.Latest()
	out := t.SayMsg("news.kept-mine", "what", kept.Name, "n", kept.From.Version)
	out.Offer(t.Button(msg("button.take-after-all"), "news", "take", p.Token, strconv.Itoa(latest)))
	out.InPlace = t.Event.Message
}

// takeVersion takes the newest version, with the household's own changes where
// their lines remain.
func takeVersion(t *talk.Turn, p *store.Published) {
	k := take(t, p, t.NewID)
	if talk.Gone(t, k == nil) {
		return
	}
	t.Expect(store.PublishedAt{Token: p.Token, Rev: p.Rev})
	t.Mutate("did.taken", p.Title)
	order := edition.TurnsHere(t.Home, k.was, p.Token)
	doses := false
	for _, r := range k.merged {
		own := t.Recipe(r.ID)
		for _, c := range planner.Changes(*own, r, false) {
			doses = doses || c.WasDose != nil || c.IsDose != nil
		}
		*own = r
	}
	for _, r := range k.fresh {
		r.ID = t.NewID("r")
		t.Home.Recipes = append(t.Home.Recipes, r)
	}
	followed := k.reorder(t, order)
	for i := range t.Home.Recipes { // what is no longer part of it is the household's own
		if r := &t.Home.Recipes[i]; r.From.Token == p.Token && r.From.Version != k.number {
			r.From = planner.Origin{}
		}
	}
	t.Home.Foods = usedFoods(t, k)
	t.Shelve()
	text := say.JoinParas(msg("news.taken", "what", p.Title, "n", k.number), k.ownText(t), say.Where(doses, msg("news.doses")), k.planText(followed))
	var more []say.Button
	if d := talk.TalkedOf(t); d != nil && len(k.merged) > 0 {
		more = append(more, t.Button(msg("button.bowl"), "bowl", "recipe", d.ID, k.merged[0].ID))
	}
	talk.SayDone(t, text, more...)
}

// usedFoods are the household's foods, and of those that the versions brought
// the ones that its recipes use.
func usedFoods(t *talk.Turn, k *taking) (foods []nutrition.Food) {
	for i, f := range k.kitchen.Foods() {
		used := func(r planner.Recipe) bool { return r.Uses(f.Key) }
		had := i < len(t.Home.Foods) && k.corrected[f.Key] == "" // one that was corrected goes once nothing is made of it
		if had || slices.ContainsFunc(t.Home.Recipes, used) {
			foods = append(foods, f)
		}
	}
	return foods
}

// reorder puts the rotations that go by an author's order on the new one, and
// reports whether there was one.
func (k *taking) reorder(t *talk.Turn, was []planner.Turn) (followed bool) {
	is := edition.TurnsHere(t.Home, k.v, k.p.Token)
	for i := range t.Home.Rotations {
		if r := &t.Home.Rotations[i]; len(is) > 0 && len(was) > 0 && slices.Equal(r.Turns, was) {
			*r, followed = r.Reordered(is, t.Date()), true
		}
	}
	return followed
}

// reorders reports that a rotation goes by the order that the author changed.
func (k *taking) reorders(t *talk.Turn) bool {
	was := edition.TurnsHere(t.Home, k.was, k.p.Token)
	goes := func(r planner.Rotation) bool { return slices.Equal(r.Turns, was) }
	return len(was) > 0 && orderText(k.v) != orderText(k.was) && slices.ContainsFunc(t.Home.Rotations, goes)
}

// planText says what a new version of a plan does to the rotation, or leaves
// for a carer to do.
func (k *taking) planText(followed bool) string {
	lines := say.Each(k.gone, func(name string) string { return msg("news.no-part", "recipe", name) })
	if order := orderText(k.v); order != orderText(k.was) {
		lines = append(lines, say.Choose(followed, msg("news.order-taken", "order", order), msg("news.order", "order", order)))
	}
	return say.JoinParas(lines...)
}

// bowlChanges is what another form of a recipe does to the bowls of the dogs
// that eat it; of several recipes with its name.
func (k *taking) bowlChanges(t *talk.Turn, is *planner.Recipe) (blocks []say.Block) {
	named := len(k.v.Turns) > 0
	was := t.Recipe(is.ID)
	shown := 0
	for _, d := range t.Living() {
		if !eats(t, d, is.ID) {
			continue
		}
		n := planner.AmountOf(*d, t.Event.At)
		food := balance.FoodKcal(t, d, n.Kcal)
		before, err1 := portions.BowlFor(*was, t.Foods, food, talk.MealsOf(*d), t.Home.Units)
		after, err2 := portions.BowlFor(*is, t.Foods, food, talk.MealsOf(*d), t.Home.Units)
		if err1 != nil || err2 != nil || n.Kcal == 0 {
			blocks = append(blocks, say.Para(msg("news.no-bowl", "dog", d.Name)))
			continue
		}
		rows := k.bowlRows(t, d, before, after)
		if named {
			rows[0].Label = msg("news.bowl-of", "dog", d.Name, "recipe", was.Name)
		}
		if len(rows) == 2 && before.Day == after.Day { // the heading and the sum
			if !named {
				blocks = append(blocks, say.Para(msg("news.same-bowl", "dog", d.Name)))
			}
			continue
		}
		table := say.TableBlock(rows)
		table.Waits = shown > 0
		warn := cmp.Or(balance.FarOver(t, d, is), balance.TooMuchText(t, is, d))
		blocks = append(blocks, table, say.Whole(say.JoinParas(dogs.ExcludedText(t, d, *is), warn)))
		shown++
	}
	return blocks
}

// eats reports that a recipe is what a dog eats, on some day of its rotation.
func eats(t *talk.Turn, d *planner.Dog, recipe string) bool {
	if rot := planner.RotationOf(t.Home, d.ID); rot != nil {
		return rot.Has(recipe)
	}
	id, _ := planner.RecipeOn(t.Home, d.ID, t.Date())
	return id == recipe
}

// bowlRows are the foods of which a dog gets another amount a day, and the
// whole.
func (k *taking) bowlRows(t *talk.Turn, d *planner.Dog, was, is portions.Bowl) []say.TableRow {
	unit := say.MassUnit(t.Home.Units)
	rows := []say.TableRow{{Label: msg("news.bowl", "dog", d.Name, "unit", unit), Cells: []string{msg("news.now"), msg("news.then")}}}
	var foods []string
	amounts := func(b portions.Bowl) map[string]nutrition.Grams {
		of := map[string]nutrition.Grams{}
		add := func(key string, day nutrition.Grams) {
			food := cmp.Or(k.corrected[key], key)
			foods, of[food] = append(foods, food), of[food]+day
		}
		for _, r := range b.Rows {
			add(r.Food, r.Day)
		}
		for _, r := range b.Tiny {
			add(r.Food, r.Day)
		}
		return of
	}
	before, after := amounts(was), amounts(is)
	cell := func(of map[string]nutrition.Grams, food string) string {
		if g, in := of[food]; in {
			return say.Figure(g, t.Home.Units)
		}
		return "-"
	}
	seen := map[string]bool{}
	for _, food := range foods {
		if a, b := cell(before, food), cell(after, food); a != b && !seen[food] {
			rows = append(rows, say.TableRow{Label: t.FoodName(food), Cells: []string{a, b}})
		}
		seen[food] = true
	}
	return append(rows, say.TableRow{Label: msg("news.sum"), Cells: []string{say.Figure(was.Day, t.Home.Units), say.Figure(is.Day, t.Home.Units)}})
}
