package balance

import (
	"math"
	"slices"
	"strings"

	"bowlwright/bot/dogs"
	"bowlwright/bot/read"
	"bowlwright/bot/recipes"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/nutrition/adjust"
	"bowlwright/planner"
)

// balanceDraft is the state of the dialogue that balances a recipe.
type balanceDraft struct {
	Recipe  string   `json:"recipe"`
	Dog     string   `json:"dog"`               // "-" for none
	Locked  []string `json:"locked,omitempty"`  // keys of foods that stay as they are
	Allowed []string `json:"allowed,omitempty"` // keys of foods that may be added
}

// showBalance shows how the recipe would meet its profile with the least change.
// For a dog that only a vet plans for, it shows nothing of the kind.
func showBalance(t *talk.Turn, d balanceDraft) {
	r, l, ok := d.looked(t)
	if !ok {
		return
	}
	if !slices.ContainsFunc(l.Result.Rows, func(r nutrition.Row) bool { return !r.Verdict.Meets() }) {
		t.Say(say.Para(byTableText(r)), say.Para(msg("balance.nothing", "recipe", r.Name, "profile", msg("profile."+l.Result.ProfileID))))
		return
	}
	result := adjust.Balance(t.Ctx, balanceRequest(t, l, d, true))
	if result.Outcome == adjust.NotComputed {
		t.Say(say.Para(balanceProblem(result, r.Name)))
		return
	}
	t.Ask("balance", "choose", d)
	before := len(t.Replies)
	sayBalance(t, l, d, result)
	t.Replies[before].Begin(byTableText(r))
	if l.Dog != nil {
		out, gate := t.LastReply(), dogs.GateText(*l.Dog, planner.AmountOf(*l.Dog, t.Event.At))
		if last := say.JoinParas(say.Where(l.Dog.StoresCopper, msg("balance.copper", "dog", l.Dog.Name)), gate); last != "" {
			out.Body = append(out.Body, say.Whole(last))
		}
	}
}

// looked is the recipe of the dialogue and what was found of it, for its dog. Where it
// cannot be balanced it says why.
func (d balanceDraft) looked(t *talk.Turn) (*planner.Recipe, Looked, bool) {
	r, dog := t.Recipe(d.Recipe), t.Dog(d.Dog)
	if talk.Gone(t, r == nil || dog == nil && d.Dog != "-") {
		return nil, Looked{}, false
	}
	t.Talk.Recipe = r.ID
	if dog != nil {
		if dogs.Held(t, dog) {
			return nil, Looked{}, false
		}
		if n := planner.AmountOf(*dog, t.Event.At); n.Gate != "" && n.Gate != planner.UnderweightGate { // what is put right feeds no dog up
			t.Say(say.Whole(dogs.GateText(*dog, n)), say.Para(msg("balance.gated", "dog", dog.Name)))
			return nil, Looked{}, false
		}
	}
	l, err := given(t, dog, byTable(r))
	return r, l, !recipes.Failed(t, r, err)
}

// mendedBy is the table by which a recipe is balanced and mended: for a dog of a breed that
// stores copper nothing is put in for copper.
func mendedBy(l Looked) *nutrition.Profile {
	if l.Dog != nil && l.Dog.StoresCopper {
		return l.Profile.WithoutMin(nutrition.Subject(nutrition.Copper))
	}
	return l.Profile
}

func balanceProblem(result adjust.Result, recipe string) string {
	if key := "balance-problem." + string(result.Problem); words.Has(key) {
		return msg(key, "recipe", recipe)
	}
	return msg("balance-problem.other", "recipe", recipe)
}

func balanceRequest(t *talk.Turn, l Looked, d balanceDraft, explain bool) adjust.Request {
	req := adjust.Request{Mixture: l.Mixture, Profile: mendedBy(l), Basis: l.Result.Basis, Bands: true,
		Exclude: dogs.Excluder(t, l.Dog), Explain: explain, Closers: t.Foods, Locked: map[int]bool{}}
	for i, it := range l.Mixture.Items {
		if slices.Contains(d.Locked, it.Food.Key) {
			req.Locked[i] = true
		}
	}
	for _, key := range d.Allowed {
		if f := t.Foods.Food(key); f != nil {
			req.Allowed = append(req.Allowed, f)
		}
	}
	return req
}

// sayBalance shows one reply for each answer, the last with the buttons that
// go on.
func sayBalance(t *talk.Turn, l Looked, d balanceDraft, result adjust.Result) {
	var out *say.Reply
	var takes []say.Button
	for i, a := range result.Answers {
		var rows []say.TableRow
		if changes(a) {
			rows = []say.TableRow{{Label: "", Cells: []string{msg("balance.now"), msg("balance.new")}}}
			for _, it := range a.Items {
				rows = append(rows, say.TableRow{Label: it.Food.Name, Cells: []string{say.ExactMass(it.Old, t.Home.Units), say.ExactMass(it.New, t.Home.Units)}})
			}
		}
		over, open := gapsText(a)
		out = t.Say(say.Para(balanceFirst(l, result, a)), say.TableBlock(rows), say.Waits(reasonsText(t, a)), say.Whole(over), say.Waits(open),
			say.Whole(togetherText(t, Looked{Result: a.Analysis}, a.Closers)), say.Waits(say.Where(i == 0, BasisText(t, l))))
		if changes(a) {
			label := msg("button.take-" + say.Choose(len(result.Answers) == 1, "met", string(a.Kind)))
			takes = append(takes, t.Answer(label, "choose", "take:"+string(a.Kind)))
		}
	}
	out.Offer(takes...) // under the last answer, so that each has a number of its own
	out.Offer(t.Answer(msg("button.keep-mine"), "choose", "keep"), t.Answer(msg("button.lock"), "choose", "lock"))
	for _, f := range closingFoods(result, d) {
		out.Offer(t.Answer(msg("button.allow", "food", f.Name), "choose", "allow:"+f.Key))
	}
}

// changes reports that an answer changes anything.
func changes(a adjust.Answer) bool {
	return slices.ContainsFunc(a.Items, func(it adjust.Amount) bool { return it.New != it.Old })
}

// kitchenGrams rounds to whole grams, below 50 g to a tenth.
func kitchenGrams(g nutrition.Grams) nutrition.Grams {
	if g >= 50 {
		return nutrition.Grams(math.Round(float64(g)))
	}
	return tenth(g)
}

func tenth(g nutrition.Grams) nutrition.Grams { return nutrition.Grams(math.Round(float64(g)*10) / 10) }

func balanceFirst(l Looked, result adjust.Result, a adjust.Answer) string {
	if !changes(a) {
		return unchangedText(l.Recipe.Name, a)
	}
	key := "balance." + string(a.Kind)
	switch {
	case result.Outcome == adjust.MetAsKnown:
		key = "balance.met-as-known"
	case a.Kind != adjust.MetAnswer && len(result.Answers) == 1:
		key = "balance.only"
	}
	var moved, whole nutrition.Grams
	for _, it := range a.Items {
		moved += nutrition.Grams(math.Abs(float64(it.New - it.Old)))
		whole += it.Old
	}
	return msg(key, "recipe", l.Recipe.Name, "open", len(a.Gaps), "moved", say.Percent(float64(moved/2/whole)))
}

// mostReasons is how many changes are explained; the smaller ones follow
// from them.
const mostReasons = 5

// reasonsText says what asks for each of the larger changes.
func reasonsText(t *talk.Turn, a adjust.Answer) string {
	var lines []string
	for _, c := range a.Changes {
		food, delta := a.Items[c.Item].Food.Name, signedMass(c.Delta, t.Home.Units)
		switch {
		case c.Excluded:
			lines = append(lines, msg("reason.excluded", "delta", delta, "food", food))
		case c.Confirmed:
			lines = append(lines, msg("reason.one", "delta", delta, "food", food, "cause", demandName(c.Cause),
				"without", signedMass(kitchenGrams(c.WithoutIt), t.Home.Units)))
		case len(c.Several) > 0:
			some := c.Several[:min(len(c.Several), 3)]
			key := say.Choose(len(some) == 1, "reason.mostly", "reason.several")
			lines = append(lines, msg(key, "delta", delta, "food", food, "causes", say.ListOf(some, demandName)))
		}
	}
	return strings.Join(lines[:min(len(lines), mostReasons)], "\n")
}

func signedMass(g nutrition.Grams, u planner.Units) string {
	return say.Choose(g < 0, "-", "+") + say.ExactMass(max(g, -g), u)
}

// demandName names a limit: "zinc", "less vitamin A", "the share of liver".
func demandName(d adjust.Demand) string {
	name := d.Subject.Name()
	if d.Band != "" {
		name = msg("band-name." + string(d.Band))
	}
	return say.Choose(d.Most, msg("demand.most", "name", name), msg("demand.least", "name", name))
}

// mostGaps is how many open ends one answer names.
const mostGaps = 5

// gapsText says what an answer leaves open: what is too much, and the rest.
func gapsText(a adjust.Answer) (over, open string) {
	var high, lines []string
	for i, g := range a.Gaps {
		switch {
		case g.Most && !g.NotKnown && g.Band == "":
			high = append(high, gapText(g))
		case i < mostGaps:
			lines = append(lines, gapText(g))
		}
	}
	if more := len(a.Gaps) - len(high) - len(lines); more > 0 {
		lines = append(lines, msg("balance.more", "n", more))
	}
	return strings.Join(high, "\n"), strings.Join(lines, "\n")
}

func gapText(g adjust.Gap) string {
	amount, limit := amountText(g.Value, g.Subject.Unit()), recipes.LimitText(g.Limit, g.Subject.Unit())
	name := g.Subject.Name()
	if g.Band != "" {
		amount, limit, name = shareText(g.Value), say.Percent(g.Limit), msg("band-name."+string(g.Band))
	}
	key := "gap.low"
	switch {
	case g.Most && g.NotKnown:
		key = "gap.high-not-known"
	case g.Most:
		key = "gap.high"
	case g.NotKnown:
		key = "gap.not-known"
	}
	return msg(key, "name", name, "amount", amount, "limit", limit)
}

// closingFoods are up to three foods with a figure that would close what the
// answers leave open.
func closingFoods(result adjust.Result, d balanceDraft) []*nutrition.Food {
	var foods []*nutrition.Food
	for _, a := range result.Answers {
		for _, o := range a.Closers.Steps {
			if o.Grams > 0 && !slices.Contains(foods, o.Food) && !slices.Contains(d.Allowed, o.Food.Key) && len(foods) < 3 {
				foods = append(foods, o.Food)
			}
		}
	}
	return foods
}

// takeBalance keeps an answer as the recipe. It is worked out again, since the
// recipe may have changed.
func takeBalance(t *talk.Turn, d balanceDraft, kind adjust.Kind) {
	r, l, ok := d.looked(t)
	if !ok {
		t.EndDialogue()
		return
	}
	result := adjust.Balance(t.Ctx, balanceRequest(t, l, d, false))
	i := slices.IndexFunc(result.Answers, func(a adjust.Answer) bool { return a.Kind == kind })
	if i < 0 {
		t.Say(say.Para(balanceProblem(result, r.Name)))
		return
	}
	t.EndDialogue()
	t.Mutate("did.recipe-changed", r.Name)
	r.Ingredients = balanced(r.Ingredients, result.Answers[i])
	recipes.ShowRecipe(t, r, msg("recipe.changed", "recipe", r.Name), t.UndoButton())
}

// balanced are a recipe's ingredients with the grams of an answer.
func balanced(old []planner.Ingredient, a adjust.Answer) []planner.Ingredient {
	var out []planner.Ingredient
	for _, it := range a.Items {
		in := planner.Ingredient{Food: it.Food.Key}
		if it.Index >= 0 && it.Index < len(old) {
			in = old[it.Index]
		}
		if in.Grams = it.New; it.New != it.Old {
			in.Typed = ""
		}
		if it.New > 0 {
			out = append(out, in)
		}
	}
	return out
}

// balanceDialogue takes what was chosen: an answer, the recipe as it was, a
// food to keep as it is, a food that may be added.
func balanceDialogue(t *talk.Turn, d balanceDraft, in talk.Answer) {
	if in.Press == "" {
		balanceTyped(t, d, in)
		return
	}
	what, key, _ := strings.Cut(in.Press, ":")
	switch what {
	case "take":
		takeBalance(t, d, adjust.Kind(key))
	case "keep":
		t.EndDialogue()
		t.SayMsg("balance.kept")
	case "lock":
		askLock(t, d)
	case "lock-food":
		d.Locked = append(d.Locked, key)
		showBalance(t, d)
	case "allow":
		d.Allowed = append(d.Allowed, key)
		showBalance(t, d)
	default:
		t.SayMsg("press.stale")
	}
}

// balanceTyped takes typed words: "allow kelp", "lock the heart", or a
// question of its own.
func balanceTyped(t *talk.Turn, d balanceDraft, in talk.Answer) {
	if usesFood(t, d, read.Find("uses-food", in.Text)) {
		return
	}
	verb, rest := talk.CutWord(in.Text)
	switch strings.ToLower(verb) {
	case "allow", "add", "permit":
		if got := t.RecipeText(rest); len(got.Lines) > 0 { // with its amount: into the recipe
			t.EndDialogue()
			t.RouteWords(in.Text)
			return
		}
		f := t.Foods.Find(rest)
		if f.Food == nil {
			recipes.WithFood(t, rest, "show", func(*nutrition.Food) {})
			return
		}
		d.Allowed = append(d.Allowed, f.Food.Key)
		showBalance(t, d)
	case "lock", "keep":
		r := t.Recipe(d.Recipe)
		if talk.Gone(t, r == nil) {
			return
		}
		f := recipes.FindIn(t, r, strings.TrimPrefix(rest, "the "))
		if f == nil {
			t.SayMsg("scale.not-in-recipe", "food", say.Short(rest), "recipe", r.Name)
			return
		}
		d.Locked = append(d.Locked, f.Key)
		showBalance(t, d)
	default:
		t.EndDialogue()
		t.RouteWords(in.Text)
	}
}

func askLock(t *talk.Turn, d balanceDraft) {
	r := t.Recipe(d.Recipe)
	if talk.Gone(t, r == nil) {
		return
	}
	out := t.SayMsg("ask.lock")
	for _, in := range r.Ingredients {
		if !slices.Contains(d.Locked, in.Food) {
			out.Offer(t.Answer(t.FoodName(in.Food), "choose", "lock-food:"+in.Food))
		}
	}
}
