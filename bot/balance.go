package bot

import (
	"math"
	"slices"
	"strings"

	"bowlwright/bot/read"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// balanceDraft is the state of the dialogue that balances a recipe.
type balanceDraft struct {
	Recipe  string   `json:"recipe"`
	Dog     string   `json:"dog"`               // "-" for none
	Locked  []string `json:"locked,omitempty"`  // keys of foods that stay as they are
	Allowed []string `json:"allowed,omitempty"` // keys of foods that may be added
}

// answerBalance balances the recipe that a sentence names.
func (t *turn) answerBalance(s read.Sentence) {
	r := t.recipeMeant(s)
	if r == nil {
		return
	}
	d := t.dogMeant(s)
	t.balance(balanceDraft{Recipe: r.ID, Dog: idOf(d)})
}

// balance shows how the recipe would meet its profile with the least change.
// For a dog that only a vet plans for, it shows nothing of the kind.
func (t *turn) balance(d balanceDraft) {
	r, dog := t.recipe(d.Recipe), t.dog(d.Dog)
	if r == nil || dog == nil && d.Dog != "-" {
		t.sayMsg("press.gone")
		return
	}
	t.talk.Recipe = r.ID
	if dog != nil {
		if t.held(dog) {
			return
		}
		if n := planner.AmountOf(*dog, t.event.At); n.Gate != "" {
			t.say(para(t.gateText(*dog, n)), para(msg("balance.gated", "dog", dog.Name)))
			return
		}
	}
	l, err := t.given(dog, r)
	if err != nil {
		t.say(para(t.recipeTrouble(r, err)))
		return
	}
	if meetsAll(&l.result) {
		t.sayMsg("balance.nothing", "recipe", r.Name, "profile", msg("profile."+l.result.ProfileID))
		return
	}
	result := nutrition.Balance(t.ctx, t.balanceRequest(l, d, true))
	if result.Outcome == nutrition.BalanceNotComputed {
		t.say(para(balanceProblem(result, r.Name)))
		return
	}
	t.ask("balance", "choose", d)
	t.sayBalance(l, d, result)
}

func balanceProblem(result nutrition.BalanceResult, recipe string) string {
	if key := "balance-problem." + string(result.Problem); hasMessage(key) {
		return msg(key, "recipe", recipe)
	}
	return msg("balance-problem.other", "recipe", recipe)
}

func (t *turn) balanceRequest(l looked, d balanceDraft, explain bool) nutrition.BalanceRequest {
	req := nutrition.BalanceRequest{Mixture: l.mixture, Profile: l.profile, Basis: l.result.Basis, Bands: true,
		Exclude: t.excluder(l.dog), Explain: explain, Closers: t.foods, Locked: map[int]bool{}}
	for i, it := range l.mixture.Items {
		if slices.Contains(d.Locked, it.Food.Key) {
			req.Locked[i] = true
		}
	}
	for _, key := range d.Allowed {
		if f := t.foods.Food(key); f != nil {
			req.Allowed = append(req.Allowed, f)
		}
	}
	return req
}

// sayBalance shows one reply for each answer, the last with the buttons that
// go on.
func (t *turn) sayBalance(l looked, d balanceDraft, result nutrition.BalanceResult) {
	var out *Reply
	var takes []Button
	for i, a := range result.Answers {
		blocks := []Block{para(t.balanceFirst(l, result, a))}
		if changes(a) {
			blocks = append(blocks, tableBlock(t.balanceRows(a)))
		}
		blocks = append(blocks, para(t.reasonsText(l, a)), para(t.gapsText(a)))
		if i == 0 {
			blocks = append(blocks, para(t.basisText(l)))
		}
		out = t.say(blocks...)
		if changes(a) {
			label := msg("button.take-" + string(a.Kind))
			if len(result.Answers) == 1 {
				label = msg("button.take-met")
			}
			takes = append(takes, t.answer(label, "choose", "take:"+string(a.Kind)))
		}
	}
	out.offer(takes...) // under the last answer, so that each has a number of its own
	out.offer(t.answer(msg("button.keep-mine"), "choose", "keep"), t.answer(msg("button.lock"), "choose", "lock"))
	for _, f := range t.closingFoods(result, d) {
		out.offer(t.answer(msg("button.allow", "food", f.Name), "choose", "allow:"+f.Key))
	}
}

// changes reports that an answer changes anything.
func changes(a nutrition.BalanceAnswer) bool {
	return slices.ContainsFunc(a.Items, func(it nutrition.BalanceItem) bool { return it.New != it.Old })
}

// kitchenGrams rounds to whole grams, below 50 g to a tenth.
func kitchenGrams(g nutrition.Grams) nutrition.Grams {
	if g >= 50 {
		return nutrition.Grams(math.Round(float64(g)))
	}
	return tenth(g)
}

func tenth(g nutrition.Grams) nutrition.Grams { return nutrition.Grams(math.Round(float64(g)*10) / 10) }

func (t *turn) balanceFirst(l looked, result nutrition.BalanceResult, a nutrition.BalanceAnswer) string {
	if !changes(a) {
		return unchangedText(l.recipe.Name, a)
	}
	key := "balance." + string(a.Kind)
	switch {
	case result.Outcome == nutrition.BalanceMetAsKnown:
		key = "balance.met-as-known"
	case a.Kind != nutrition.MetAnswer && len(result.Answers) == 1:
		key = "balance.only"
	}
	var moved, whole nutrition.Grams
	for _, it := range a.Items {
		moved += nutrition.Grams(math.Abs(float64(it.New - it.Old)))
		whole += it.Old
	}
	return msg(key, "recipe", l.recipe.Name, "open", len(a.Gaps), "moved", percent(float64(moved/2/whole)))
}

// balanceRows are old and new grams side by side.
func (t *turn) balanceRows(a nutrition.BalanceAnswer) []tableRow {
	rows := []tableRow{{"", []string{msg("balance.now"), msg("balance.new")}}}
	for _, it := range a.Items {
		rows = append(rows, tableRow{it.Food.Name, []string{exactMass(it.Old, t.home.Units), exactMass(it.New, t.home.Units)}})
	}
	return rows
}

// mostReasons is how many changes are explained; the smaller ones follow
// from them.
const mostReasons = 5

// reasonsText says what asks for each of the larger changes.
func (t *turn) reasonsText(l looked, a nutrition.BalanceAnswer) string {
	var lines []string
	for _, c := range a.Changes {
		if len(lines) == mostReasons {
			break
		}
		food, delta := a.Items[c.Item].Food.Name, signedMass(c.Delta, t.home.Units)
		switch {
		case c.Excluded:
			lines = append(lines, msg("reason.excluded", "delta", delta, "food", food))
		case c.Confirmed:
			lines = append(lines, msg("reason.one", "delta", delta, "food", food, "cause", demandName(c.Cause),
				"without", signedMass(kitchenGrams(c.WithoutIt), t.home.Units)))
		case len(c.Several) > 0:
			var names []string
			for _, d := range c.Several[:min(len(c.Several), 3)] {
				names = append(names, demandName(d))
			}
			key := "reason.several"
			if len(names) == 1 {
				key = "reason.mostly"
			}
			lines = append(lines, msg(key, "delta", delta, "food", food, "causes", list(names)))
		}
	}
	return strings.Join(lines, "\n")
}

func signedMass(g nutrition.Grams, u planner.Units) string {
	if g < 0 {
		return "-" + exactMass(-g, u)
	}
	return "+" + exactMass(g, u)
}

// demandName names a limit: "zinc", "less vitamin A", "the share of liver".
func demandName(d nutrition.Demand) string {
	name := d.Subject.Name()
	if d.Band != "" {
		name = msg("band-name." + string(d.Band))
	}
	if d.Most {
		return msg("demand.most", "name", name)
	}
	return msg("demand.least", "name", name)
}

// mostGaps is how many open ends one answer names.
const mostGaps = 5

// gapsText says what an answer leaves open, and what would close it.
func (t *turn) gapsText(a nutrition.BalanceAnswer) string {
	var lines []string
	for _, g := range a.Gaps {
		if len(lines) == mostGaps {
			lines = append(lines, msg("balance.more", "n", len(a.Gaps)-mostGaps))
			break
		}
		lines = append(lines, gapText(g))
	}
	if mend := t.togetherText(looked{result: a.Analysis}, a.Closers); mend != "" {
		lines = append(lines, mend)
	}
	return strings.Join(lines, "\n")
}

func gapText(g nutrition.Gap) string {
	amount, limit := amountText(g.Value, g.Subject.Unit()), limitText(g.Limit, g.Subject.Unit())
	name := g.Subject.Name()
	if g.Band != "" {
		amount, limit, name = shareText(g.Value), percent(g.Limit), msg("band-name."+string(g.Band))
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
func (t *turn) closingFoods(result nutrition.BalanceResult, d balanceDraft) []*nutrition.Food {
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

// balanceDialogue takes what was chosen: an answer, the recipe as it was, a
// food to keep as it is, a food that may be added.
func (t *turn) balanceDialogue(in answer) {
	var d balanceDraft
	t.draft(&d)
	if in.press == "" {
		t.balanceTyped(d, in)
		return
	}
	what, key, _ := strings.Cut(in.press, ":")
	switch what {
	case "take":
		t.takeBalance(d, nutrition.BalanceKind(key))
	case "keep":
		t.endDialogue()
		t.sayMsg("balance.kept")
	case "lock":
		t.askLock(d)
	case "lock-food":
		d.Locked = append(d.Locked, key)
		t.balance(d)
	case "allow":
		d.Allowed = append(d.Allowed, key)
		t.balance(d)
	default:
		t.sayMsg("press.stale")
	}
}

// balanceTyped takes typed words: "allow kelp", "lock the heart", or a
// question of its own.
func (t *turn) balanceTyped(d balanceDraft, in answer) {
	verb, rest := cutWord(in.text)
	switch strings.ToLower(verb) {
	case "allow", "add", "permit":
		if got := read.RecipeText(rest, t.foods); len(got.Lines) > 0 { // with its amount: into the recipe
			t.endDialogue()
			t.routeWords(in.text)
			return
		}
		f := t.foods.Find(rest)
		if f.Food == nil {
			t.withFood(rest, "show", func(*nutrition.Food) {})
			return
		}
		d.Allowed = append(d.Allowed, f.Food.Key)
		t.balance(d)
	case "lock", "keep":
		r := t.recipe(d.Recipe)
		if r == nil {
			t.sayMsg("press.gone")
			return
		}
		f := t.findIn(r, strings.TrimPrefix(rest, "the "))
		if f == nil {
			t.sayMsg("scale.not-in-recipe", "food", short(rest), "recipe", r.Name)
			return
		}
		d.Locked = append(d.Locked, f.Key)
		t.balance(d)
	default:
		t.endDialogue()
		t.routeWords(in.text)
	}
}

func (t *turn) askLock(d balanceDraft) {
	r := t.recipe(d.Recipe)
	if r == nil {
		t.sayMsg("press.gone")
		return
	}
	out := t.sayMsg("ask.lock")
	for _, in := range r.Ingredients {
		if !slices.Contains(d.Locked, in.Food) {
			out.offer(t.answer(t.foodName(in.Food), "choose", "lock-food:"+in.Food))
		}
	}
}

// takeBalance keeps an answer as the recipe. It is worked out again, so that
// what is kept is what the recipe of now gives.
func (t *turn) takeBalance(d balanceDraft, kind nutrition.BalanceKind) {
	r, dog := t.recipe(d.Recipe), t.dog(d.Dog)
	if r == nil || dog == nil && d.Dog != "-" {
		t.endDialogue()
		t.sayMsg("press.gone")
		return
	}
	l, err := t.given(dog, r)
	if err != nil {
		t.say(para(t.recipeTrouble(r, err)))
		return
	}
	result := nutrition.Balance(t.ctx, t.balanceRequest(l, d, false))
	for _, a := range result.Answers {
		if a.Kind != kind {
			continue
		}
		t.endDialogue()
		t.mutate("did.recipe-changed", r.Name)
		r.Ingredients = balanced(r.Ingredients, a)
		t.showRecipe(r, msg("recipe.changed", "recipe", r.Name), t.undoButton())
		return
	}
	t.say(para(balanceProblem(result, r.Name)))
}

// balanced are a recipe's ingredients with the grams of an answer.
func balanced(old []planner.Ingredient, a nutrition.BalanceAnswer) []planner.Ingredient {
	var out []planner.Ingredient
	for _, it := range a.Items {
		g := it.New
		if g <= 0 {
			continue
		}
		in := planner.Ingredient{Food: it.Food.Key}
		if it.Index >= 0 && it.Index < len(old) {
			in = old[it.Index]
		}
		in.Grams = g
		if g != it.Old {
			in.Typed = ""
		}
		out = append(out, in)
	}
	return out
}

// pressBalance opens the dialogue from a button.
func (t *turn) pressBalance(args []string) {
	if arg(args, 0) != "start" {
		t.sayMsg("press.stale")
		return
	}
	t.balance(balanceDraft{Recipe: arg(args, 1), Dog: arg(args, 2)})
}
