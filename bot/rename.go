package bot

import (
	"strings"

	"bowlwright/bot/read"
	"bowlwright/planner"
)

// renameDog gives a dog another name. A dog that is not named as it is called
// may be another one: "rename Rosie's sister to Pepper".
func (t *turn) renameDog(d *planner.Dog, s read.Sentence) {
	name, sure := newName(t.event.Text, d.Name, s.Words)
	if !sure {
		t.sayMsg("rename.which-dog", "name", name, "dogs", t.everyDog(), "example", t.home.Dogs[0].Name)
		return
	}
	changed := *d
	if wrong := takeDogName(t, &changed, answer{text: name}); wrong != "" {
		t.say(para(wrong))
		return
	}
	if other := t.dogNamed(changed.Name); other != nil && other.ID != d.ID {
		t.sayMsg("dog.name-taken", "name", changed.Name)
		return
	}
	t.changeDog(d.ID, changed)
}

// newName is the new name among the words behind the old one; sure says that
// the old one stands there in full and with nothing else.
func newName(text, old, words string) (name string, sure bool) {
	if i := strings.LastIndex(strings.ToLower(words), " to "); i >= 0 && !read.HasName(text, "to "+words) {
		return strings.TrimSpace(words[i+len(" to "):]), false
	}
	return words, read.HasName(text, old)
}

func (t *turn) everyDog() string {
	var names []string
	for i := range t.home.Dogs {
		names = append(names, t.home.Dogs[i].Name)
	}
	return list(names)
}

// renameRecipe gives a recipe another name. One that is meant by some words of
// its name alone is asked about first.
func (t *turn) renameRecipe(r *planner.Recipe, s read.Sentence) {
	name, sure := newName(t.event.Text, r.Name, s.Words)
	name = recipeName(name)
	if name == "" || t.recipeNamed(name) != nil {
		t.sayMsg("recipe.name-taken", "name", name)
		return
	}
	if !sure {
		t.askedSure("rename", r.ID, name)
		t.sayMsg("rename.this-recipe", "recipe", r.Name, "name", name).
			offer(t.answer(msg("button.yes-rename"), "yes", "yes"), t.answer(msg("button.keep"), "yes", "no"))
		return
	}
	t.recipeRenamed(r, name)
}

// pressRename renames the recipe that was asked about.
func (t *turn) pressRename(args []string) {
	r, name := t.recipe(arg(args, 0)), arg(args, 1)
	switch {
	case r == nil || name == "":
		t.sayMsg("press.gone")
	case t.recipeNamed(name) != nil:
		t.sayMsg("recipe.name-taken", "name", name)
	default:
		t.recipeRenamed(r, name)
	}
}

func (t *turn) recipeRenamed(r *planner.Recipe, name string) {
	if read.SaysCooking(name) && t.anyBone(r.Ingredients) {
		t.refuseCooked(r)
		return
	}
	t.mutate("did.recipe-changed", r.Name)
	r.Name = name
	t.showRecipe(r, msg("recipe.changed", "recipe", name), t.undoButton())
}
