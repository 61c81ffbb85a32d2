package desk

import (
	"cmp"
	"strings"
	"unicode/utf8"

	"bowlwright/bot/read"
	"bowlwright/bot/read/alarm"
	"bowlwright/bot/read/foodline"
	"bowlwright/bot/recipes"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
)

// mostNote is how many characters a note may have (our own choice).
const mostNote = 300

// NoteWords hears a method, or a note on a recipe or a food in it. "note: ..." of
// nothing, or of a dog, is not about a recipe.
func NoteWords(t *talk.Turn, s string) bool {
	n, ok := foodline.NoteText(s)
	if !ok || len(t.Home.Recipes) == 0 || n.About == "" && !n.Method || t.DogNamed(n.About) != nil {
		return false
	}
	if n.About == "" && t.Talk.Kind == "recipe" {
		return false // of the recipe that is entered, which is not there yet
	}
	r := recipeNamed(t, n.About)
	if n.Bare && r == nil {
		return false // "method B: 250 g turkey"
	}
	if r != nil || n.Method {
		if r == nil {
			r = talk.RecipeMeant(t, read.Sentence{})
		}
		if r != nil {
			note(t, r, noteDraft{ID: r.ID, Method: n.Method}, n.Text)
		}
		return true
	}
	for _, r := range []*planner.Recipe{talk.TheRecipe(t, talk.TalkedOf(t)), recipes.RecipeWith(t, n.About)} {
		if r == nil {
			continue
		}
		if key := recipes.KeyIn(t, r, n.About); key != "" {
			note(t, r, noteDraft{ID: r.ID, Food: key}, n.Text)
			return true
		}
	}
	t.SayMsg("note.no-food", "food", say.Short(n.About))
	return true
}

// UnfitMethod refuses a method that puts in what dogs must not eat. It is asked
// before an alarm is heard in such a text, which tells of no dog.
func UnfitMethod(t *talk.Turn, s string) bool {
	n, ok := foodline.NoteText(s)
	if !ok || !n.Method || read.Says("own-dog", s) {
		return false
	}
	_, unfit := alarm.Unfit(n.Text)
	return unfit && NoteWords(t, s)
}

// recipeNamed is the recipe that words mean, nil where they mean none.
func recipeNamed(t *talk.Turn, words string) *planner.Recipe {
	if words == "" {
		return nil
	}
	s, _ := t.Understand("recipe " + words)
	return t.Recipe(s.Recipe)
}

// noteDraft says what a text is to be noted on.
type noteDraft struct {
	ID      string `json:"id"`
	Food    string `json:"food,omitempty"`
	Method  bool   `json:"method,omitempty"`
	Checked bool   `json:"checked,omitempty"` // who checked it, and when
}

// note keeps a text, and shows the recipe's method and notes.
func note(t *talk.Turn, r *planner.Recipe, d noteDraft, text string) {
	if wrong := keepNote(t, r, d, text); wrong != "" {
		t.Say(say.Para(wrong))
	}
}

func keepNote(t *talk.Turn, r *planner.Recipe, d noteDraft, text string) (wrong string) {
	most := say.Choose(d.Method, recipes.MostMethod, mostNote)
	switch n := utf8.RuneCountInString(text); {
	case n > most:
		return msg("note.too-long", "n", n, "most", most)
	case strings.Trim(text, " .!") == "" || read.Said("no-note", text):
		text = ""
	case d.Method && read.SaysCooking(text) && recipes.AnyBone(t, r.Ingredients):
		t.EndDialogue()
		recipes.RefuseCooked(t, r)
		return ""
	}
	if danger := recipes.PutsInDanger(text); danger != "" {
		return danger
	}
	t.EndDialogue()
	t.Talk.Recipe = r.ID
	t.Mutate("did.recipe-noted", r.Name)
	if d.Method {
		r.Method = text
	} else {
		r.SetNote(d.Food, text)
	}
	showNotes(t, r, msg("note.kept"), t.UndoButton())
	return ""
}

// showNotes says how a recipe is made and why each food is there.
func showNotes(t *talk.Turn, r *planner.Recipe, head string, extra ...say.Button) {
	t.Talk.Recipe = r.ID
	method := msg(say.Choose(r.Method == "", "note.no-method", "note.method"), "recipe", r.Name, "text", r.Method)
	why := cmp.Or(strings.Join(recipes.NotesOf(t, r), "\n"), msg("note.none"))
	out := t.Say(say.Para(head), say.Whole(method), say.Whole(why))
	out.Offer(t.Button(msg("button.method"), "desk", "method", r.ID), t.Button(msg("button.note"), "desk", "which", r.ID))
	out.Offer(extra...)
}

// askWhich asks which food a note is on.
func askWhich(t *talk.Turn, r *planner.Recipe) {
	out := t.SayMsg("ask.note-which", "recipe", r.Name)
	for _, key := range r.Foods() {
		out.Offer(t.Button(recipes.LineName(t, key), "desk", "note", r.ID, key))
	}
}

// noteStep is the one question of the form.
var noteStep = talk.Step[noteDraft]{Name: "text", Ask: askNote, Take: takeNote, Free: true}

func askNote(t *talk.Turn, d *noteDraft) {
	r := t.Recipe(d.ID)
	if r == nil {
		t.Gone()
		return
	}
	t.Ask("desk", "text", d)
	if !d.Method && !d.Checked {
		t.SayMsg("ask.note", "food", recipes.LineName(t, d.Food), "recipe", r.Name).Offer(t.StopButton())
		return
	}
	t.SayMsg(say.Choose(d.Method, "ask.method", "ask.checked"), "recipe", r.Name, "most", mostChecked).Offer(t.StopButton())
}

func takeNote(t *talk.Turn, d *noteDraft, in talk.Answer) (wrong string) {
	r := t.Recipe(d.ID)
	if r == nil {
		t.Gone()
		return ""
	}
	text := strings.TrimSpace(in.Value())
	if d.Checked {
		t.EndDialogue()
		checked(t, r, text)
		return ""
	}
	return keepNote(t, r, *d, text)
}
