package publish

import (
	"cmp"
	"maps"
	"slices"
	"strconv"
	"strings"

	"bowlwright/bot/bowls"
	"bowlwright/bot/dogs"
	"bowlwright/bot/menu"
	"bowlwright/bot/read"
	"bowlwright/bot/remind"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/planner/edition"
	"bowlwright/store"
)

// switchDays is over how many days a dog is brought to a published recipe whose
// author says nothing else (common practice, no source).
const switchDays = 10

// serve says what a dog gets of what a link opens, once it is known that the dog
// may have it.
func serve(t *talk.Turn, token string, d *planner.Dog) {
	p, ok := opened(t, token)
	if !ok {
		return
	}
	v, _ := p.Latest()
	t.Talk.Link, t.Talk.Dog = token+" "+d.ID, d.ID
	switch n := planner.AmountOf(*d, t.Event.At); {
	case dogs.Held(t, d):
	case notMeant(v, n):
		t.Talk.Link = ""
		t.Say(say.Whole(msg("adopt.not-for", "what", p.Title, "dog", d.Name, "for", p.ForWhom)), say.Whole(dogs.GateText(*d, n)))
	case offersSwap(t, p, v, d):
	default:
		firstBowl(t, p, v, d, n)
	}
}

// notMeant reports that a version was not made for a dog of such a need: what is
// compared with a table for adults is for no pup and no dam.
func notMeant(v *planner.PublishedVersion, n planner.Need) bool {
	switch n.Gate {
	case planner.GrowthGate, planner.PregnantGate, planner.NursingGate:
		return !strings.Contains(v.Profile, "growth")
	}
	return false
}

// goOnWith goes on once it is known what a dog is that somebody wants to feed
// what a link opens.
func goOnWith(t *talk.Turn, d *planner.Dog) bool {
	token, dog, _ := strings.Cut(t.Talk.Link, " ")
	if dog != d.ID {
		return false
	}
	t.Talk.Link = ""
	if d.Healthy {
		serve(t, token, d)
	}
	return d.Healthy
}

// offersSwap offers to keep a recipe with another food in the place of one that
// the dog does not get, and reports whether there is one.
func offersSwap(t *talk.Turn, p store.Published, v *planner.PublishedVersion, d *planner.Dog) bool {
	stockUp(t, v)
	var names []string
	var swaps []say.Button
	for i := range v.Recipes {
		for k, in := range v.Recipes[i].Ingredients {
			f := t.Foods.Food(in.Food)
			if f == nil || !nutrition.Excluded(f, d.Excludes) {
				continue
			}
			names = append(names, f.Name)
			swaps = append(swaps, t.Button(msg("button.swap-food", "food", f.Name), "adopt", "swap", p.Token, d.ID, v.Recipes[i].ID+"."+strconv.Itoa(k)))
		}
	}
	if len(names) == 0 {
		return false
	}
	out := t.Say(say.Whole(msg("adopt.excluded", "dog", d.Name, "foods", say.List(names), "what", p.Title)))
	for _, b := range swaps[:min(len(swaps), 4)] { // four: our own choice
		out.Offer(b)
	}
	return true
}

// firstBowl says the day's amounts, and offers to keep what they are of.
func firstBowl(t *talk.Turn, p store.Published, v *planner.PublishedVersion, d *planner.Dog, n planner.Need) {
	shelve(t, slices.Concat(t.Home.Foods, v.Foods))
	r := withDoses(v, 0)
	if len(v.Turns) > 0 {
		if first := v.Recipe(v.Turns[0].Recipe); first != nil {
			r = *first
			r.Doses = slices.Concat(r.Doses, v.Doses)
		}
	}
	r.ID = p.Token // so that its cautions are its own
	out := bowls.ForDog(t, d, &r, n)
	if out == nil {
		t.LastReply().Buttons = nil
		t.Talk.Link = ""
		return
	}
	out.Buttons = nil
	if d.Health != "" || n.Gate == planner.IllnessGate {
		out.Begin(msg("adopt.not-made", "what", p.Title, "for", p.ForWhom, "dog", d.Name))
	}
	sayCautions(t, out, r, d)
	if len(v.Turns) > 0 {
		out.Add(msg("adopt.plan", "order", orderText(v)))
	}
	keep := []say.Button{t.Button(msg("button.keep-it"), "adopt", "keep", p.Token, d.ID)}
	if !isTopper(v) {
		out.Add(msg("adopt.new-food", "n", daysOf(v)))
		keep = append(keep, t.Button(msg("button.from-kibble", "n", daysOf(v)), "adopt", "switch", p.Token, d.ID))
	}
	out.Offer(keep...)
	if doses := givenDoses(r); len(doses) > 0 {
		out.Offer(t.Button(msg("button.remind-doses"), "adopt", "remind", p.Token, d.ID))
	}
}

// sayCautions adds what the foods call for and the bowl has not said.
func sayCautions(t *talk.Turn, out *say.Reply, r planner.Recipe, d *planner.Dog) {
	var said strings.Builder
	for _, b := range out.Body {
		said.WriteString(b.Text + "\n")
	}
	var lines []string
	for line := range strings.SplitSeq(cautionsText(t, []planner.Recipe{r}, d.Weight), "\n") {
		if !strings.Contains(said.String(), line) {
			lines = append(lines, line)
		}
	}
	if len(lines) > 0 {
		out.Body = append(out.Body, say.Whole(strings.Join(lines, "\n")))
	}
}

func daysOf(v *planner.PublishedVersion) int { return cmp.Or(v.Switch, switchDays) }

// givenDoses are the supplements that are given apart, not stirred into all of
// the food.
func givenDoses(r planner.Recipe) []planner.Dose {
	return slices.DeleteFunc(slices.Clone(r.Doses), func(d planner.Dose) bool { return d.Batch })
}

// pressAdopt does what a button under what a link opened asks.
func pressAdopt(t *talk.Turn, args []string) {
	verb, d := talk.Arg(args, 0), t.Dog(talk.Arg(args, 2))
	if talk.Gone(t, d == nil) {
		return
	}
	if verb == "dog" {
		t.EndDialogue()
		serve(t, args[1], d)
		return
	}
	kept, ok := keep(t, args[1], d, verb != "swap")
	if !ok {
		return
	}
	switch verb {
	case "keep":
		sayKept(t, kept, d)
	case "eats":
		t.Mutate("did.adopted", kept.title)
		kept.feed(t, d)
		bowls.Bowl(t, d, t.Recipe(kept.recipe))
		t.LastReply().Offer(t.UndoButton())
	case "switch":
		if len(kept.turns) > 0 && kept.rotation == "" {
			t.Mutate("did.adopted", kept.title)
			kept.feed(t, d)
		}
		menu.AskSwitch(t, d, kept.recipe, kept.rotation, msg("adopt.kibble"), kept.days)
		t.LastReply().Begin(msg("adopt.kept", "what", kept.title))
	case "remind":
		remind.Doses(t, d, kept.doses)
		t.LastReply().Begin(msg("adopt.kept", "what", kept.title))
	case "swap":
		swapKept(t, kept, d, talk.Arg(args, 3))
	default:
		t.SayMsg("press.stale")
	}
}

// taken is what was taken over from a link.
type taken struct {
	title    string
	recipes  []planner.Recipe // with their ids here
	recipe   string           // the one that the dog eats, of a plan the first
	turns    []planner.Turn   // of a plan
	rotation string           // and the rotation that it became
	doses    []planner.Dose   // that are given apart
	days     int              // over which a dog is brought to it
	topper   bool
	others   bool // the dog goes on eating what it did
}

// keep takes what a link opens into the household, for a dog that eats it from
// now on where it has nothing else. Where it is kept already, it is that.
func keep(t *talk.Turn, token string, d *planner.Dog, feed bool) (k taken, ok bool) {
	p, ok := opened(t, token)
	if !ok || dogs.Held(t, d) {
		return k, false
	}
	v, number := p.Latest()
	if talk.Stale(t, notMeant(v, planner.AmountOf(*d, t.Event.At))) {
		return k, false
	}
	t.Talk.Link, t.Talk.Dog = "", d.ID
	k.title, k.days, k.topper = p.Title, daysOf(v), isTopper(v)
	if keptOf(t, token) != nil {
		k.find(t, v, token)
		k.others = true
		return k, true
	}
	t.Expect(store.PublishedAt{Token: token, Rev: p.Rev})
	t.Mutate("did.adopted", p.Title)
	edition.Thaw(t.Home, token, number, *v, t.NewID)
	t.Shelve()
	k.find(t, v, token)
	eats, _ := planner.RecipeOn(t.Home, d.ID, t.Date())
	if k.others = eats != "" || planner.RotationOf(t.Home, d.ID) != nil; feed && !k.others && !k.topper {
		k.feed(t, d)
	}
	return k, true
}

// find fills in what the household has of a link.
func (k *taken) find(t *talk.Turn, v *planner.PublishedVersion, token string) {
	for _, r := range t.Home.Recipes {
		if r.From.Token == token {
			k.recipes = append(k.recipes, r)
			k.doses = append(k.doses, givenDoses(r)...)
		}
	}
	k.doses = append(k.doses, edition.DosesHere(t.Home, *v)...)
	k.recipe = k.recipes[0].ID
	if k.turns = edition.TurnsHere(t.Home, v, token); len(k.turns) > 0 {
		k.recipe = k.turns[0].Recipe
	}
	t.Talk.Recipe = k.recipe
}

// feed lets a dog eat what was taken over from now on.
func (k *taken) feed(t *talk.Turn, d *planner.Dog) {
	if len(k.turns) > 0 {
		k.rotation = menu.PutOn(t, d, k.turns)
		return
	}
	d.Eat(k.recipe)
}

// sayKept says what is kept, and what can be done with it.
func sayKept(t *talk.Turn, k taken, d *planner.Dog) {
	out, token := t.SayMsg("adopt.kept", "what", k.title), k.recipes[0].From.Token
	if k.others && !k.topper {
		out.Offer(t.Button(msg("button.eats-now", "dog", d.Name, "what", k.title), "adopt", "eats", token, d.ID))
	}
	out.Offer(t.Button(msg("button.bowl"), "bowl", "recipe", d.ID, k.recipe))
	if !k.topper {
		out.Offer(t.Button(msg("button.from-kibble", "n", k.days), "adopt", "switch", token, d.ID))
	}
	if len(k.doses) > 0 {
		out.Offer(t.Button(msg("button.remind-doses"), "adopt", "remind", token, d.ID))
	}
	if t.Before != nil {
		out.Offer(t.UndoButton())
	}
	if slices.Contains([]string{msg("adopt.your-dog"), msg("adopt.your-other-dog")}, d.Name) {
		out.Offer(t.Button(msg("button.name-dog"), "dog", "field", d.ID, "name"))
	}
	for i := range k.recipes {
		if r := t.Recipe(k.recipes[i].ID); r != nil && t.Before != nil {
			t.Happened(&talk.RecipeAdded{Recipe: r, Out: out})
		}
	}
}

// swapKept asks what is to stand in the place of a food that the dog does not
// get.
func swapKept(t *talk.Turn, k taken, d *planner.Dog, at string) {
	id, index, _ := strings.Cut(at, ".")
	n, err := strconv.Atoi(index)
	for i := range k.recipes {
		r := t.Recipe(k.recipes[i].ID)
		if r == nil || r.From.Recipe != id || err != nil || n < 0 || n >= len(r.Ingredients) {
			continue
		}
		t.GoTo(read.Sentence{Intent: read.Swap, Recipe: r.ID, Dog: d.ID, Food: t.FoodName(r.Ingredients[n].Food)})
		t.LastReply().Begin(msg("adopt.kept", "what", k.title))
		return
	}
	t.SayMsg("press.gone")
}

// keepReading notes which links the household keeps, and what it has made of
// them, where a turn changed that: adopted, taken, swapped, removed, taken back.
func keepReading(t *talk.Turn, before *planner.Household) {
	was, is := versionsKept(before), versionsKept(t.Home)
	for _, token := range slices.Sorted(maps.Keys(was)) {
		if _, still := is[token]; !still {
			t.Write(store.DeleteReader{Token: token, Household: t.Home.ID})
		}
	}
	for _, token := range slices.Sorted(maps.Keys(is)) {
		if is[token] == was[token] && !changedOf(before, t.Home, token) {
			continue
		}
		if _, err := t.Snap.Published(token); !talk.Found(t, err) {
			continue
		}
		r, known := readerOf(t, token)
		if !known {
			r = store.Reader{Token: token, Household: t.Home.ID, Since: t.Event.At.UTC(), Told: is[token]}
		}
		change(t, r, known, func(r *store.Reader) { r.Version, r.Own = is[token], swapped(t, token) })
	}
}

// changedOf reports that a turn changed the lines of what a token opens.
func changedOf(before, now *planner.Household, token string) bool {
	for _, r := range now.Recipes {
		was := before.Recipe(r.ID)
		if r.From.Token == token && (was == nil || len(planner.Changes(*was, r, false)) > 0) {
			return true
		}
	}
	return false
}

// versionsKept are the versions that a household keeps, by their tokens.
func versionsKept(h *planner.Household) map[string]int {
	kept := map[string]int{}
	for _, r := range h.Recipes {
		if r.From.Token != "" {
			kept[r.From.Token] = max(kept[r.From.Token], r.From.Version)
		}
	}
	return kept
}
