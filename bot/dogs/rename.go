package dogs

import (
	"strings"

	"bowlwright/bot/read"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
)

// renameDog gives a dog another name. A dog that is not named as it is called
// may be another one: "rename Rosie's sister to Pepper".
func renameDog(t *talk.Turn, d *planner.Dog, s read.Sentence) {
	name, sure := NewName(t.Event.Text, d.Name, s.Words)
	if !sure {
		t.SayMsg("rename.which-dog", "name", name, "dogs", talk.NamesOf(t.Dogs()), "example", t.Home.Dogs[0].Name)
		return
	}
	changed := *d
	if wrong := takeDogName(t, &changed, talk.Answer{Text: name}); wrong != "" {
		t.Say(say.Para(wrong))
		return
	}
	if other := t.DogNamed(changed.Name); other != nil && other.ID != d.ID {
		t.SayMsg("dog.name-taken", "name", changed.Name)
		return
	}
	ChangeDog(t, d.ID, changed)
}

// NewName is the new name among the words behind the old one; sure says that
// the old one stands there in full and with nothing else.
func NewName(text, old, words string) (name string, sure bool) {
	if i := strings.LastIndex(strings.ToLower(words), " to "); i >= 0 && !read.HasName(text, "to "+words) {
		return strings.TrimSpace(words[i+len(" to "):]), false
	}
	return words, read.HasName(text, old)
}
