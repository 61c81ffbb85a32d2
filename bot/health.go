package bot

import (
	"slices"
	"strings"

	"bowlwright/planner"
)

// addHealth adds what was answered to the notes that a dog has. An answer that
// the dog is well takes none away before it is asked for: a note can be what
// keeps its food for the vet to set.
func (t *turn) addHealth(d *planner.Dog, changed planner.Dog) {
	said := strings.ToLower(changed.Health)
	well := said == "" || strings.Contains(said, "healthy") || strings.Contains(said, "recovered") || strings.Contains(said, "cured")
	for _, no := range []string{"no ", "not ", "has no ", "is not ", "does not ", "doesn't "} {
		well = well || strings.HasPrefix(said, no)
	}
	if well && len(planner.Illness(said)) == 0 || strings.Contains(said, "no longer") {
		t.askWell(d)
		return
	}
	changed.Health = d.Health + ", " + changed.Health
	t.keepHealth(d, changed)
}

// askWell asks which note on health is to go, of a dog that is said to be well.
func (t *turn) askWell(d *planner.Dog) {
	if d.Health == "" {
		t.sayMsg("urgent.calm")
		return
	}
	out := t.sayMsg("health.drop-which", "dog", d.Name, "notes", d.Health)
	for _, note := range strings.Split(d.Health, ", ") {
		out.offer(t.button(msg("button.health-drop", "note", short(note)), "dog", "well", d.ID, changeID(note)))
	}
	out.offer(t.button(msg("button.keep"), "dog", "show", d.ID))
}

// dropHealth takes away the note that a button names.
func (t *turn) dropHealth(d *planner.Dog, id string) {
	changed := *d
	notes := slices.DeleteFunc(strings.Split(d.Health, ", "), func(note string) bool { return changeID(note) == id })
	changed.Health = strings.Join(notes, ", ")
	if changed.Health == d.Health {
		t.sayMsg("press.gone")
		return
	}
	if changed.Health == "" {
		changed.Healthy, changed.Ill = true, false
	}
	t.keepHealth(d, changed)
}

func (t *turn) keepHealth(d *planner.Dog, changed planner.Dog) {
	if err := changed.Validate(t.event.At); err != nil {
		t.say(para(fieldText(err, t.home.Units)))
		return
	}
	t.changeDog(d.ID, changed)
}
