package bot

import (
	"encoding/json"
	"slices"
	"strings"
	"unicode/utf8"

	"bowlwright/bot/read"
	"bowlwright/planner"
)

// recipeDraft is the state of the dialogue that adds or changes a recipe.
type recipeDraft struct {
	ID          string               `json:"id,omitempty"` // the recipe being changed; empty for a new one
	Name        string               `json:"name,omitempty"`
	Ingredients []planner.Ingredient `json:"ingredients,omitempty"`
	Doses       []planner.Dose       `json:"doses,omitempty"`
	Days        float64              `json:"days,omitempty"`        // how many days' food it is; 0: one
	Open        []string             `json:"open,omitempty"`        // lines not understood yet, as typed
	Cooked      []string             `json:"cooked,omitempty"`      // lines that would have bone cooked, as typed
	Boneless    bool                 `json:"boneless,omitempty"`    // the bone is to be taken out, and its calcium put back
	BatchAsked  bool                 `json:"batch_asked,omitempty"` // whether doses are for a day or for all of it
	Stay        bool                 `json:"stay,omitempty"`        // more lines may follow: it is kept when the carer says so
}

// recipeCommand shows recipes, opens one by name, or takes a paste.
func (t *turn) recipeCommand(rest string) {
	switch {
	case rest == "" && len(t.home.Recipes) > 0:
		t.listRecipes()
	case rest == "":
		t.parkSame("recipe")
		t.askForLines(recipeDraft{})
	case strings.Contains(rest, "\n"):
		t.parkSame("recipe")
		t.pastedRecipes(splitRecipes(rest))
	default:
		if r := t.recipeNamed(rest); r != nil {
			t.showRecipe(r, "")
			return
		}
		t.nameOrLine(rest)
	}
}

// nameOrLine takes one line after /recipe: an ingredient, or the name of a
// recipe to be added.
func (t *turn) nameOrLine(s string) {
	t.parkSame("recipe")
	if name, lines, ok := strings.Cut(s, ":"); ok && strings.TrimSpace(lines) != "" && recipeName(name) != "" {
		if got := read.RecipeText(lines, t.foods); len(got.Lines) > 0 {
			t.takePaste(recipeDraft{Name: recipeName(name)}, lines+"\n")
			return
		}
	}
	got := read.RecipeText(s, t.foods)
	if len(got.Lines) > 0 {
		t.takePaste(recipeDraft{}, s)
		return
	}
	t.askForLines(recipeDraft{Name: recipeName(s)})
}

// recipeName cleans a name to what may be stored.
func recipeName(s string) string {
	s = strings.Join(strings.Fields(strings.Trim(s, "#:* \t")), " ")
	if utf8.RuneCountInString(s) > maxName {
		s = strings.TrimSpace(string([]rune(s)[:maxName]))
	}
	return s
}

func (t *turn) askForLines(d recipeDraft) {
	t.ask("recipe", "lines", d)
	if d.Name != "" {
		t.sayMsg("ask.recipe-lines-named", "name", d.Name).offer(t.stopButton())
		return
	}
	t.sayMsg("ask.recipe-lines").offer(t.button(msg("button.house"), "house", "list"), t.stopButton())
}

// goOnWithRecipe says what was read and asks for what is missing: the first
// open line, then the name. A recipe that lacks nothing is kept.
func (t *turn) goOnWithRecipe(d recipeDraft, notes, refused []string) {
	head := readText(notes, refused)
	switch {
	case len(d.Cooked) > 0 || t.namedCooked(d):
		t.askCooked(d, head)
	case len(d.Open) > 0:
		t.ask("recipe", "lines", d)
		if len(notes) > 0 && d.ID != "" {
			head += "\n" + msg("recipe.not-yet", "recipe", d.Name)
		}
		t.askOpenLine(d, head)
	case len(d.Ingredients)+len(d.Doses) == 0:
		t.ask("recipe", "lines", d)
		t.say(para(head), para(msg("ask.recipe-lines"))).offer(t.stopButton())
	case d.Name == "":
		t.ask("recipe", "name", d)
		t.say(para(head), para(msg("ask.recipe-name"))).offer(t.stopButton())
	case d.Stay:
		t.ask("recipe", "lines", d)
		t.say(para(head), para(msg("ask.recipe-more-or-save", "recipe", d.Name))).
			offer(t.answer(msg("button.save"), "lines", "save"), t.stopButton())
	case t.askBatch(d, head):
	default:
		t.endDialogue()
		d, absurd := t.withoutAbsurd(d)
		t.keepRecipe(d, joinParas(append([]string{head}, absurd...)...))
	}
}

// draftLines says the lines that a draft holds.
func (t *turn) draftLines(d recipeDraft) []string {
	var lines []string
	for _, in := range d.Ingredients {
		lines = append(lines, msg("recipe.line", "amount", exactMass(in.Grams, t.home.Units), "food", t.foodName(in.Food)))
	}
	for _, dose := range d.Doses {
		lines = append(lines, t.doseText(dose))
	}
	return lines
}

// readText lists the lines that were taken and those that were refused.
func readText(notes, refused []string) string {
	var parts []string
	if len(notes) > 0 {
		shown := notes[:min(len(notes), 4*mostListed)]
		text := strings.Join(shown, "\n")
		if more := len(notes) - len(shown); more > 0 {
			text += "\n" + msg("recipe.and-more", "n", more)
		}
		parts = append(parts, msg("recipe.read", "n", len(notes), "lines", text))
	}
	return strings.Join(append(parts, refused...), "\n")
}

// mostListed is how many open lines a reply repeats; of the lines that were
// read, four times as many.
const mostListed = 8

// askOpenLine asks what the first line that was not understood means.
func (t *turn) askOpenLine(d recipeDraft, head string) {
	p := t.openProblem(d)
	rest := ""
	if len(d.Open) > 1 {
		var others []string
		for _, o := range d.Open[1:min(len(d.Open), 1+mostListed)] {
			others = append(others, "- "+short(o))
		}
		if more := len(d.Open) - 1 - mostListed; more > 0 {
			others = append(others, msg("recipe.and-more", "n", more))
		}
		rest = msg("recipe.also-open", "n", len(d.Open)-1, "lines", strings.Join(others, "\n"))
	}
	r := t.say(para(head), para(problemText(p)), para(rest))
	choices := p.Finding.Choices
	if len(choices) == 0 && p.Finding.Food == nil {
		choices = p.Finding.Nearest
	}
	for _, f := range choices {
		r.offer(t.answer(f.Name, "lines", "food:"+f.Key))
	}
	var row []Button
	for _, way := range p.Ways() {
		row = append(row, t.answer(msg("button.way-"+strings.ReplaceAll(way, " ", "-")), "lines", "way:"+way))
	}
	r.offer(row...)
	if p.Code == read.BareNumber {
		r.offer(t.answer(msg("button.bare-grams", "n", p.Part), "lines", "grams"), t.answer(msg("button.bare-pieces", "n", p.Part), "lines", "pieces"))
	}
	r.offer(t.answer(msg("button.drop-line"), "lines", "drop"), t.stopButton())
}

// openProblem reads the first open line again and returns what is wrong
// with it.
func (t *turn) openProblem(d recipeDraft) read.Problem {
	got := read.RecipeText(d.Open[0], t.foods)
	if len(got.Problems) > 0 {
		return got.Problems[0]
	}
	return read.Problem{Text: d.Open[0], Code: read.NoAmount}
}

// recipeDialogue takes an answer in the dialogue of a recipe.
func (t *turn) recipeDialogue(in answer) {
	var d recipeDraft
	t.draft(&d)
	switch {
	case t.talk.Step == "where":
		t.takeWhere(d, in)
	case t.talk.Step == "batch":
		t.takeBatch(d, in)
	case t.talk.Step == "bone":
		t.takeCooked(d, in)
	case t.talk.Step == "name" && in.press == "" && t.interrupted(in):
		t.again(func() { t.sayMsg("ask.recipe-name") })
	case t.talk.Step == "name":
		t.takeRecipeName(d, in)
	case in.press == "save" || in.press == "" && isSave(in.text):
		d.Stay = false
		t.goOnWithRecipe(d, nil, nil)
	case in.press != "":
		t.pressRecipeLine(d, in.press)
	case t.editDraft(d, in.text):
	case len(d.Open) > 0 && !strings.Contains(in.text, "\n"):
		t.mendOpenLine(d, in.text)
	case t.aside(in.text):
		t.again(func() { t.goOnWithRecipe(d, nil, nil) })
	case read.IsQuestion(in.text) && !strings.Contains(in.text, "\n"):
		t.notUnderstood(in.text)
		t.goOnWithRecipe(d, nil, nil)
	default:
		t.takePaste(d, in.text)
	}
}

// isSave reports that a carer has no more lines.
func isSave(s string) bool {
	switch strings.ToLower(strings.Trim(s, " .!")) {
	case "save", "done", "that is all", "that's all", "thats all", "finished", "end":
		return true
	}
	return false
}

func (t *turn) takeRecipeName(d recipeDraft, in answer) {
	if got := read.RecipeText(in.value(), t.foods); len(got.Lines) > 0 || len(got.Problems) > 0 && got.Problems[0].Code == read.BareNumber {
		t.takePaste(d, in.value()) // lines, not a name
		return
	}
	name := recipeName(in.value())
	if name == "" || strings.Contains(in.value(), "\n") {
		t.sayMsg("wrong.name", "n", maxName)
		return
	}
	d.Name = name
	t.goOnWithRecipe(d, nil, nil)
}

// pressRecipeLine takes a button under the first open line.
func (t *turn) pressRecipeLine(d recipeDraft, press string) {
	what, food, _ := strings.Cut(press, ":")
	if len(d.Open) == 0 {
		t.sayMsg("press.stale")
		return
	}
	switch what {
	case "drop":
		dropped := d.Open[0]
		d.Open = d.Open[1:]
		t.goOnWithRecipe(d, nil, []string{msg("recipe.dropped", "line", short(dropped))})
	case "food":
		t.completeOpenLine(d, food)
	case "way":
		if p := t.openProblem(d); slices.Contains(p.Ways(), food) {
			d.Open = slices.Clone(d.Open)
			d.Open[0] = p.Saying(food)
			t.takeAgain(d)
			return
		}
		t.sayMsg("press.stale")
	case "grams", "pieces":
		t.withUnit(d, what == "pieces")
	default:
		t.sayMsg("press.stale")
	}
}

// completeOpenLine takes the food that was chosen for the first open line.
func (t *turn) completeOpenLine(d recipeDraft, food string) {
	p := t.openProblem(d)
	if f := t.foods.Food(food); f != nil && p.Code == read.NoAmount {
		d.Open[0] = f.Name
		t.ask("recipe", "lines", d)
		t.askOpenLine(d, "")
		return
	}
	line, ok := p.With(t.foods.Food(food))
	switch {
	case !ok && p.Code == read.BareNumber: // the food is clear: its amount is asked for
		t.askOpenLine(d, "")
		return
	case !ok:
		t.askOpenLine(d, msg("press.stale"))
		return
	}
	d.Open = d.Open[1:]
	note := t.takeLine(&d, line)
	t.goOnWithRecipe(d, []string{note}, nil)
}

// keepRecipe stores a finished recipe and shows it.
func (t *turn) keepRecipe(d recipeDraft, head string) {
	if d.Boneless {
		r := planner.Recipe{Ingredients: d.Ingredients, Doses: d.Doses, Days: d.Days}
		off := bonesTaken{recipe: &r}
		t.happened(&off)
		head = joinParas(head, off.said)
		d.Ingredients = r.Ingredients
	}
	if r := t.recipe(d.ID); d.ID != "" && r != nil {
		t.mutate("did.recipe-changed", r.Name)
		r.Ingredients, r.Doses, r.Days = d.Ingredients, d.Doses, d.Days
		t.showRecipe(r, joinParas(head, msg("recipe.changed", "recipe", r.Name)), t.undoButton())
		return
	}
	if t.recipeNamed(d.Name) != nil {
		d.Name = t.freeName(d.Name)
	}
	t.mutate("did.recipe-added", d.Name)
	r := planner.Recipe{ID: t.newID("r"), Name: d.Name, Ingredients: d.Ingredients, Doses: d.Doses, Days: d.Days}
	t.home.Recipes = append(t.home.Recipes, r)
	for i := range t.home.Dogs {
		if len(t.home.Recipes) == 1 && t.home.Dogs[i].Recipe == "" {
			t.home.Dogs[i].Recipe = r.ID
		}
	}
	t.showRecipe(&r, joinParas(head, msg("recipe.added", "recipe", r.Name)), t.undoButton())
	t.happened(&recipeAdded{&r, &t.replies[len(t.replies)-1]})
}

// freeName makes a name that no recipe has: "Turkey 2".
func (t *turn) freeName(name string) string {
	for i := 2; ; i++ {
		if n := name + " " + trim(float64(i), 0); t.recipeNamed(n) == nil {
			return n
		}
	}
}

func (t *turn) recipeNamed(name string) *planner.Recipe {
	for i := range t.home.Recipes {
		if strings.EqualFold(t.home.Recipes[i].Name, strings.TrimSpace(name)) {
			return &t.home.Recipes[i]
		}
	}
	return nil
}

// joinParas puts texts below one another, leaving out empty ones.
func joinParas(parts ...string) string {
	var kept []string
	for _, p := range parts {
		if p != "" {
			kept = append(kept, p)
		}
	}
	return strings.Join(kept, "\n")
}

// recipeAgain asks what is open about a recipe once more.
func (t *turn) recipeAgain() {
	var d recipeDraft
	t.draft(&d)
	t.goOnWithRecipe(d, t.draftLines(d), nil)
}

// isNewRecipe reports that what was entered is a recipe of its own, not a
// change to one.
func isNewRecipe(draft json.RawMessage) bool {
	var d recipeDraft
	return json.Unmarshal(draft, &d) == nil && d.ID == ""
}
