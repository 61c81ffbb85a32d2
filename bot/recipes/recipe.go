package recipes

import (
	"cmp"
	"encoding/json"
	"slices"
	"strings"
	"unicode/utf8"

	"bowlwright/bot/dogs"
	"bowlwright/bot/read"
	"bowlwright/bot/read/foodline"
	"bowlwright/bot/read/span"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// RecipeDraft is the state of the dialogue that adds or changes a recipe.
type RecipeDraft struct {
	ID          string               `json:"id,omitempty"` // the recipe being changed; empty for a new one
	Name        string               `json:"name,omitempty"`
	Ingredients []planner.Ingredient `json:"ingredients,omitempty"`
	Doses       []planner.Dose       `json:"doses,omitempty"`
	Method      string               `json:"method,omitempty"`      // how it is made, where that was pasted with it
	Of          string               `json:"of,omitempty"`          // id of the recipe that it is a copy of
	Days        float64              `json:"days,omitempty"`        // how many days' food it is; 0: one
	Out         []planner.Ingredient `json:"out,omitempty"`         // lines that were left out again
	Open        []string             `json:"open,omitempty"`        // lines not understood yet, as typed
	Cooked      []string             `json:"cooked,omitempty"`      // lines that would have bone cooked, as typed
	Boneless    bool                 `json:"boneless,omitempty"`    // the bone is to be taken out, and its calcium put back
	BatchAsked  bool                 `json:"batch_asked,omitempty"` // whether doses are for a day or for all of it
	Weighed     bool                 `json:"weighed,omitempty"`     // its weights are cooked ones
	Adds        bool                 `json:"adds,omitempty"`        // lines come on top of what there is of their food
	Stay        bool                 `json:"stay,omitempty"`        // more lines may follow: it is kept when the carer says so
	More        string               `json:"more,omitempty"`        // lines pasted after these, which may be another recipe
	Label       *foodline.Label      `json:"label,omitempty"`       // of the food of the first open line, until it is kept
	only        *planner.Dog         // for whom alone it is, where that was told with its name
}

// recipeCommand shows recipes, opens one by name, or takes a paste.
func recipeCommand(t *talk.Turn, rest string) {
	switch {
	case rest == "" && len(t.Home.Recipes) > 0:
		listRecipes(t)
	case rest == "":
		talk.ParkSame(t, "recipe")
		askForLines(t, RecipeDraft{})
	case strings.Contains(rest, "\n"):
		talk.ParkSame(t, "recipe")
		pastedRecipes(t, splitRecipes(rest))
	default:
		if r := t.RecipeNamed(rest); r != nil {
			ShowRecipe(t, r, "")
			return
		}
		nameOrLine(t, rest)
	}
}

// nameOrLine takes one line after /recipe: an ingredient, or the name of a
// recipe to be added.
func nameOrLine(t *talk.Turn, s string) {
	talk.ParkSame(t, "recipe")
	if verb, rest := talk.CutWord(s); rest != "" && (strings.EqualFold(verb, "is") || strings.EqualFold(verb, "has")) {
		s = rest // "recipe is 500 g turkey, 2 eggs"
	}
	s = read.Without("named-with", s)
	name, line := namedFirst(t, s)
	first := read.FromAmount(s) // "recipe Sunday stew 1 kg beef shin 3 carrots"
	if before := strings.TrimSuffix(s, first); name == "" && canName(t, before) && !read.Says("no-title", before) && namesLine(t, before, first) {
		name, line = recipeName(before), first
	}
	if name != "" {
		takePaste(t, RecipeDraft{Name: name}, line)
		return
	}
	got := t.RecipeText(s)
	several := len(got.Problems) > 1 && strings.ContainsAny(s, "0123456789")
	if len(got.Lines) > 0 || several || got.Name != "" && len(got.Problems) > 0 {
		takePaste(t, RecipeDraft{}, s)
		return
	}
	askForLines(t, RecipeDraft{Name: recipeName(s)})
}

// recipeName cleans a name to what may be stored.
func recipeName(s string) string {
	s = strings.Join(strings.Fields(strings.Trim(read.Without("title", s), "#:*,- \t\"“”")), " ")
	s = cmp.Or(read.Find("heres-one", s), read.Find("called-so", s), s)
	if utf8.RuneCountInString(s) > say.MaxName {
		s = strings.TrimSpace(string([]rune(s)[:say.MaxName]))
	}
	return s
}

func askForLines(t *talk.Turn, d RecipeDraft) {
	t.Ask("recipe", "lines", d)
	if d.Name != "" {
		t.SayMsg("ask.recipe-lines-named", "name", d.Name).Offer(t.StopButton())
		return
	}
	t.SayMsg("ask.recipe-lines").Offer(t.Button(msg("button.house"), "house", "list"), t.StopButton())
}

// goOnWithRecipe says what was read and asks for what is missing: the first
// open line, then the name. A recipe that lacks nothing is kept.
func goOnWithRecipe(t *talk.Turn, d RecipeDraft, notes, refused []string) {
	head := readText(notes, refused)
	switch {
	case d.More != "":
		askMore(t, d)
	case len(d.Cooked) > 0 || namedCooked(t, d):
		askCooked(t, d, head)
	case len(d.Open) > 0:
		t.Ask("recipe", "lines", d)
		if len(notes) > 0 && d.ID != "" {
			head += "\n" + msg("recipe.not-yet", "recipe", d.Name)
		}
		askOpenLine(t, d, head)
	case len(d.Ingredients)+len(d.Doses) == 0:
		t.Ask("recipe", "lines", d)
		t.Say(say.Para(head), say.Asking(msg("ask.recipe-lines"))).Offer(t.StopButton())
	case d.Name == "":
		t.Ask("recipe", "name", d)
		t.Say(say.Para(head), say.Asking(msg("ask.recipe-name"))).Offer(t.StopButton())
	case d.Stay:
		t.Ask("recipe", "lines", d)
		t.Say(say.Para(head), say.Asking(msg("ask.recipe-more-or-save", "recipe", d.Name))).
			Offer(t.Answer(msg("button.save"), "lines", "save"), t.StopButton())
	case askBatch(t, d, head):
	default:
		t.EndDialogue()
		d, absurd := withoutAbsurd(t, d)
		KeepRecipe(t, d, say.JoinParas(append([]string{head}, absurd...)...))
	}
}

// recipeAgain asks what is open about a recipe once more, with the lines that it has.
func recipeAgain(t *talk.Turn, d RecipeDraft) {
	lines := say.Each(d.Ingredients, func(in planner.Ingredient) string {
		return msg("recipe.line", "amount", say.ExactMass(in.Grams, t.Home.Units), "food", t.FoodName(in.Food))
	})
	goOnWithRecipe(t, d, append(lines, say.Each(d.Doses, func(dose planner.Dose) string { return DoseText(t, dose) })...), nil)
}

// readText lists the lines that were taken and those that were refused.
func readText(notes, refused []string) string {
	more := len(notes) - 4*mostListed
	lines := say.JoinParas(append(slices.Clone(notes[:len(notes)-max(more, 0)]), say.Where(more > 0, msg("recipe.and-more", "n", more)))...)
	return say.JoinParas(append([]string{say.Where(len(notes) > 0, msg("recipe.read", "n", len(notes), "lines", lines))}, refused...)...)
}

// mostListed is how many open lines a reply repeats; of the lines that were
// read, four times as many (our own choice).
const mostListed = 8

// askOpenLine asks what the first line that was not understood means.
func askOpenLine(t *talk.Turn, d RecipeDraft, head string) {
	p, others := openProblem(t, d), d.Open[1:]
	listed := say.LinesOf(others[:min(len(others), mostListed)], func(o string) string { return "- " + say.Short(o) })
	more := len(others) - mostListed
	lines := say.JoinParas(listed, say.Where(more > 0, msg("recipe.and-more", "n", more)))
	rest := say.Where(len(others) > 0, msg("recipe.also-open", "n", len(others), "lines", lines))
	offerOpen(t, t.Say(say.Para(head), say.Asking(say.ProblemText(p)), say.Asking(rest)), p)
}

// openAs puts a text in the place of the first open line, and takes it or asks what it means.
func openAs(t *talk.Turn, d RecipeDraft, text string) {
	d.Open = append([]string{text}, d.Open[1:]...)
	if got := t.RecipeText(text); len(got.Lines) == 1 && len(got.Problems) == 0 {
		replaceOpen(t, d, got.Lines[0])
		return
	}
	goOnWithRecipe(t, d, nil, nil)
}

// stillOpen repeats in a line that a line is open, after something else was
// answered.
func stillOpen(t *talk.Turn, d RecipeDraft) {
	p := openProblem(t, d)
	t.Ask("recipe", "lines", d)
	offerOpen(t, t.Say(say.Asking(msg("recipe.still-open", "line", say.Short(p.Text)))), p)
}

// offeredFoods are the foods that an open line may be of, in the order of their
// buttons.
func offeredFoods(p span.Problem) []*nutrition.Food {
	if len(p.Finding.Choices) == 0 && p.Finding.Food == nil {
		return p.Finding.Nearest
	}
	return p.Finding.Choices
}

// offerOpen offers what an open line may be.
func offerOpen(t *talk.Turn, r *say.Reply, p span.Problem) {
	for _, f := range offeredFoods(p) {
		r.Offer(t.Answer(f.Name, "lines", "food:"+f.Key))
	}
	r.Offer(say.Each(p.Ways(), func(way string) say.Button {
		return t.Answer(msg("button.way-"+strings.ReplaceAll(way, " ", "-")), "lines", "way:"+way)
	})...)
	if p.Code == span.BareNumber {
		r.Offer(t.Answer(msg("button.bare-grams", "n", p.Part), "lines", "grams"), t.Answer(msg("button.bare-pieces", "n", p.Part), "lines", "pieces"))
	}
	if p.Code == span.UnknownFood {
		r.Offer(t.Answer(msg("button.by-label"), "lines", "label"))
	}
	r.Offer(t.Answer(msg("button.drop-line"), "lines", "drop"), t.StopButton())
}

// recipeDialogue takes an answer in the dialogue of a recipe.
func recipeDialogue(t *talk.Turn, d RecipeDraft, in talk.Answer) {
	noFood := read.Says("bought-at", in.Text) || read.Says("only-time", in.Text)
	if len(d.Open) > 0 {
		in.Text = read.Without("choice-said", in.Text)
	}
	switch {
	case noFood && len(d.Open) > 0 && t.Talk.Step == "lines" && in.Press == "":
		t.SayMsg("recipe.says-no-food")
		t.Again(func() { stillOpen(t, d) })
	case t.Talk.Step == "where":
		takeWhere(t, d, in)
	case t.Talk.Step == "batch":
		takeBatch(t, d, in)
	case t.Talk.Step == "bone":
		takeCooked(t, d, in)
	case t.Talk.Step == "more":
		takeMore(t, d, in)
	case t.Talk.Step == "label" && len(d.Open) > 0:
		takeLabel(t, d, in)
	case t.Talk.Step == "label-part" && d.Label != nil && len(d.Open) > 0:
		takeLabelPart(t, d, in)
	case in.Press == "" && t.Talk.Step == "lines" && read.Says("heading-alone", in.Text):
		goOnWithRecipe(t, d, nil, nil)
	case in.Press == "" && labelTyped(t, d, in.Text):
	case in.Press == "" && mayBeAnother(t, d, in.Text):
		d.More = in.Text
		askMore(t, d)
	case in.Press == "" && ofAnother(t, d, in.Text) && t.Aside(in.Text):
		t.Again(func() { goOnWithRecipe(t, d, nil, nil) })
	case in.Press == "" && read.Says("tells-else", in.Text) && !strings.Contains(in.Text, "\n"):
		t.Beside(in.Text, func() { recipeBrief(t, d) })
	case in.Press == "" && asksDraft(t, in.Text):
		recipeAgain(t, d)
	case in.Press == "" && namedInWords(t, d, in.Text):
	case in.Press == "" && (putBack(t, d, in.Text) || editDraft(t, d, in.Text)):
	case in.Press == "save" || in.Press == "" && read.Says("saves-it", in.Text):
		saveDraft(t, d)
	case t.Talk.Step == "name" && in.Press == "" && noLine(t, in.Text):
		t.Beside(in.Text, func() { t.SayMsg("ask.recipe-name") })
	case t.Talk.Step == "name":
		takeRecipeName(t, d, in)
	case in.Press == "" && namesDraft(t, d, in.Text):
	case in.Press != "":
		pressRecipeLine(t, d, in.Press)
	case len(d.Open) > 0 && !strings.Contains(in.Text, "\n"):
		mendOpenLine(t, d, in.Text)
	case talk.IsNo(in.Text) || talk.IsYes(in.Text) || talk.IsNotSure(in.Text):
		goOnWithRecipe(t, d, nil, nil)
	case noLine(t, in.Text):
		t.Beside(in.Text, func() { recipeBrief(t, d) })
	case !talk.IsLine(t, in.Text) && t.Aside(in.Text):
		t.Again(func() { goOnWithRecipe(t, d, nil, nil) })
	case namesNewRecipe(t, d, in.Text):
		d.Name = recipeName(in.Text)
		askForLines(t, d)
	default:
		takePaste(t, d, in.Text)
	}
}

// pressRecipeLine takes a button under the first open line.
func pressRecipeLine(t *talk.Turn, d RecipeDraft, press string) {
	what, food, _ := strings.Cut(press, ":")
	if talk.Stale(t, len(d.Open) == 0) {
		return
	}
	switch what {
	case "drop":
		dropped := d.Open[0]
		d.Open = d.Open[1:]
		goOnWithRecipe(t, d, nil, []string{msg("recipe.dropped", "line", say.Short(dropped))})
	case "food":
		completeOpenLine(t, d, food)
	case "way":
		p := openProblem(t, d)
		if talk.Stale(t, !slices.Contains(p.Ways(), food)) {
			return
		}
		openAs(t, d, p.Saying(food))
	case "label":
		askLabel(t, d, "")
	case "grams", "pieces":
		withUnit(t, d, what == "pieces")
	default:
		t.SayMsg("press.stale")
	}
}

// KeepRecipe stores a finished recipe and shows it.
func KeepRecipe(t *talk.Turn, d RecipeDraft, head string) {
	if d.Boneless {
		r := planner.Recipe{Ingredients: d.Ingredients, Doses: d.Doses, Days: d.Days}
		off := talk.BonesTaken{Recipe: &r}
		t.Happened(&off)
		head = say.JoinParas(head, off.Said)
		d.Ingredients = r.Ingredients
	}
	if d.Weighed {
		r := planner.Recipe{Name: d.Name, Ingredients: d.Ingredients}
		said, _ := WeighedAs(t, &r, true)
		head, d.Ingredients = say.JoinParas(head, said), r.Ingredients
	}
	amiss := func(in []planner.Ingredient) string {
		return say.JoinParas(say.LinesOf(t.Dogs(), func(dog *planner.Dog) string { return dogs.ExcludedText(t, dog, planner.Recipe{Ingredients: in}) }), CookText(t, in))
	}
	no := amiss(d.Ingredients)
	if was := t.Recipe(d.ID); was != nil && no == amiss(was.Ingredients) {
		no = "" // said when it was kept
	}
	head = say.JoinParas(head, liverOilText(t, d), no)
	if r := t.Recipe(d.ID); d.ID != "" && r != nil {
		if d.same(r) {
			ShowRecipe(t, r, say.JoinParas(head, msg("recipe.unchanged", "recipe", r.Name)))
			return
		}
		t.Mutate("did.recipe-changed", r.Name)
		r.Ingredients, r.Doses, r.Days, r.Method = d.Ingredients, d.Doses, d.Days, cmp.Or(d.Method, r.Method)
		ShowRecipe(t, r, say.JoinParas(head, say.Where(d.Method != "", msg("recipe.method-read")), msg("recipe.changed", "recipe", r.Name)), t.UndoButton())
		return
	}
	head = say.JoinParas(head, say.Where(d.Method != "", msg("recipe.method-read")))
	if t.RecipeNamed(d.Name) != nil {
		d.Name = freeName(t, d.Name)
	}
	t.Mutate("did.recipe-added", d.Name)
	r := planner.Recipe{ID: t.NewID("r"), Name: d.Name, Ingredients: d.Ingredients, Doses: d.Doses, Days: d.Days, Method: d.Method}
	if of := t.Recipe(d.Of); of != nil {
		twin := (&planner.Household{Recipes: []planner.Recipe{*of}}).Clone().Recipes[0]
		r.Ingredients, r.Doses = twin.Ingredients, twin.Doses
		r.Method, r.Notes, r.Standing, r.Lab, r.Cooking = twin.Method, twin.Notes, twin.Standing, twin.Lab, twin.Cooking
	}
	t.Home.Recipes = append(t.Home.Recipes, r)
	eats, all := "", t.Dogs()
	if d.only != nil {
		others := slices.DeleteFunc(t.Dogs(), func(dog *planner.Dog) bool { return dog.ID == d.only.ID })
		for _, dog := range others {
			dog.EatNot(r.ID)
		}
		all, eats = []*planner.Dog{d.only}, say.Where(len(others) > 0, msg("recipe.only-for", "dog", d.only.Name, "others", talk.NamesOf(others)))
	}
	if len(t.Home.Recipes) == 1 {
		for _, dog := range all {
			dog.Recipe = cmp.Or(dog.Recipe, r.ID)
		}
		isFed := func(f planner.Fare) bool { return f.Recipe.ID == r.ID && f.Share() > 0 } // not only kibble
		of := slices.DeleteFunc(slices.Clone(all), func(d *planner.Dog) bool {
			return !slices.ContainsFunc(planner.LastingFare(t.Home, d.ID, t.Date()), isFed)
		})
		if len(of) > 0 {
			eats = say.JoinParas(eats, msg("recipe.eaten-by", "dogs", talk.NamesOf(of), "n", len(of), "dog", of[len(of)-1].Name, "recipe", r.Name))
		}
	}
	ShowRecipe(t, &r, say.JoinParas(head, msg("recipe.added", "recipe", r.Name), eats), t.UndoButton())
	if d.only != nil && d.only.Recipe != r.ID {
		t.LastReply().Offer(t.Button(msg("button.eats-it", "dog", d.only.Name), "bowl", "eat", d.only.ID, r.ID))
	}
	t.Happened(&talk.RecipeAdded{Recipe: &r, Out: t.LastReply()})
}

// ofDraft reports something of a recipe that is being entered.
func ofDraft(is func(RecipeDraft) bool) func(json.RawMessage) bool {
	return func(draft json.RawMessage) bool {
		var d RecipeDraft
		return json.Unmarshal(draft, &d) == nil && is(d)
	}
}
