package dogs

import (
	"slices"
	"strings"

	"bowlwright/bot/read"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
	"bowlwright/planner/illness"
)

// addHealth adds what was answered to the notes that a dog has. An answer that
// the dog is well takes none away before it is asked for: a note can be what
// keeps its food for the vet to set.
func addHealth(t *talk.Turn, d *planner.Dog, changed planner.Dog) {
	said := strings.ToLower(changed.Health)
	if (said == "" || read.Says("answers-well", said)) && len(illness.In(said)) == 0 || read.Says("no-longer", said) {
		askWell(t, d)
		return
	}
	changed.Health = d.Health + ", " + changed.Health
	keepHealth(t, d, changed)
}

// NoteFound notes the illnesses that a text tells that a vet found; a medicine may be
// for days only.
func NoteFound(t *talk.Turn, d *planner.Dog, s string) {
	for _, code := range illness.In(s) {
		if code != illness.Medicine && !slices.Contains(illness.In(d.Health), code) {
			noteIllness(t, d, code)
		}
	}
}

// NoteMedicine notes a medicine that is given for an illness, where none is noted of
// its kind.
func NoteMedicine(t *talk.Turn, d *planner.Dog, medicine string) {
	known := illness.In(d.Health)
	if slices.ContainsFunc(illness.In(medicine), func(code string) bool { return !slices.Contains(known, code) }) {
		addNote(t, d, medicine)
	}
}

// addNote adds to the notes on a dog's health.
func addNote(t *talk.Turn, d *planner.Dog, note string) {
	changed := *d
	changed.Health = strings.TrimPrefix(d.Health+", "+note, ", ")
	keepHealth(t, d, changed)
}

// noteIllness notes an illness that a question told of, by its code.
func noteIllness(t *talk.Turn, d *planner.Dog, code string) {
	note := strings.ReplaceAll(code, "-", " ")
	if known := illness.In(d.Health); !slices.Contains(illness.In(note), code) || slices.Contains(known, code) {
		t.SayMsg("press.stale")
		return
	}
	addNote(t, d, note)
}

// askWell asks which note on health is to go, of a dog that is said to be well.
func askWell(t *talk.Turn, d *planner.Dog) {
	if d.Health == "" {
		if !SayWell(t, []string{d.ID}, t.Event.Text) {
			t.SayMsg("urgent.calm")
		}
		return
	}
	out := t.SayMsg("health.drop-which", "dog", d.Name, "notes", d.Health)
	for _, note := range strings.Split(d.Health, ", ") {
		out.Offer(t.Button(msg("button.health-drop", "note", say.Short(note)), "dog", "well", d.ID, talk.ChangeID(note)))
	}
	out.Offer(t.Button(msg("button.keep"), "dog", "show", d.ID))
}

// dropHealth takes away the note that a button names.
func dropHealth(t *talk.Turn, d *planner.Dog, id string) {
	changed := *d
	notes := slices.DeleteFunc(strings.Split(d.Health, ", "), func(note string) bool { return talk.ChangeID(note) == id })
	changed.Health = strings.Join(notes, ", ")
	if changed.Health == d.Health {
		t.SayMsg("press.gone")
		return
	}
	if changed.Health == "" {
		changed.Healthy, changed.Ill = true, false
	}
	keepHealth(t, d, changed)
}

func keepHealth(t *talk.Turn, d *planner.Dog, changed planner.Dog) {
	if talk.Unfit(t, changed) {
		return
	}
	ChangeDog(t, d.ID, changed)
}
