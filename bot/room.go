package bot

import (
	"encoding/json"
	"maps"

	"bowlwright/bot/read"
	"bowlwright/planner"
)

// room is what one part of the assistant hands to the whole: what it answers,
// asks and says by itself, and how it reacts to what happens in the others.
type room struct {
	Commands map[string]command               // by name, without the slash; each works as a bare first word too
	Presses  map[string]press                 // what buttons do, by verb
	Forms    map[string]form                  // its questions, by kind of dialogue
	Answers  map[read.Intent]intent           // to sentences that package read understood
	Due      map[planner.ReminderKind]dueKind // what it says when something falls due
	Actions  map[string]dueAction             // buttons under what fell due
	Together map[read.Intent]together         // to sentences said of several dogs that are one change
	On       func(t *turn, happened any)      // reacts to what happened in another room
}

// command does what a /command asks.
type command struct {
	Do func(t *turn, rest string) // rest is what follows the name
	// Opens says that with more behind its name it begins something new, even
	// while a question is open.
	Opens bool
	// Aside says that with more behind its name it is answered in the middle
	// of a dialogue, which then goes on.
	Aside bool
	// Slash says that with more behind its name it is a command only with the
	// slash: "share of bone", "leave out the hearts", "start over".
	Slash bool
}

// press does what a button asks; args follow the verb in its data.
type press func(t *turn, args []string)

// intent answers a sentence.
type intent func(t *turn, s read.Sentence)

// together answers a sentence that was said of several dogs, in one change.
type together func(t *turn, dogs []*planner.Dog, s read.Sentence)

// dueKind says what has fallen due, once or more for all the occurrences it is
// given; it goes to every chat of the household. Nobody has asked: t.event has
// no chat and no person. t.event.At is when it is said, by the household's clock.
type dueKind func(t *turn, due []planner.Occurrence)

// dueAction does what a button under something that fell due asks.
type dueAction func(t *turn, r *planner.Reminder, o planner.Occurrence, more []string)

// form is a dialogue: one question or several.
type form struct {
	Take func(t *turn, in answer) // takes the answer to the open question
	// Again repeats the open question of a dialogue that is gone on with; nil
	// for what is not worth going on with.
	Again func(t *turn)
	// Long says that it is entered step by step, and waits for its carer
	// however long that takes; other questions close after openFor.
	Long bool
	// Times are the steps whose answer may have a time in words.
	Times []string
	// Free are the steps whose answer is kept as typed: no command and no
	// mild sign is looked for in it.
	Free []string
	// Portable reports whether what was entered can be gone on with in another
	// household; nil: it cannot.
	Portable func(draft json.RawMessage) bool
}

// registry is what all the rooms together answer, ask and say.
type registry struct {
	commands map[string]command
	presses  map[string]press
	forms    map[string]form
	answers  map[read.Intent]intent
	together map[read.Intent]together
	due      map[planner.ReminderKind]dueKind
	actions  map[string]dueAction
	on       []func(t *turn, happened any)
	hears    hearing
}

// hearing is the order in which what was typed is given to those that may know
// what it means; the first that does answers it.
type hearing struct {
	First []hearer // before all else, whatever is open
	News  []hearer // what happened, before sentences
	Dose  []hearer // after sentences
	Rest  []hearer // where nothing else was understood
	Aside []hearer // in the middle of a dialogue, besides those marked so
	Loose []hearer // likewise, where even that was not understood
	// Ill answers a sentence about an ill dog that is no dog of the household.
	Ill func(t *turn, s read.Sentence) bool
	// Due reports whether a text answers something that fell due and is open.
	Due  func(t *turn, s string) bool
	Lost func(t *turn, s string) // says that a text was not understood
}

// hearer answers a text where it knows what that means, and reports whether it
// did.
type hearer struct {
	Hear  func(t *turn, s string) bool
	Aside bool // it is asked in the middle of a dialogue too
}

// compose makes one registry of the rooms. Two rooms that answer the same are
// a defect of the program and stop it at once.
func compose(h hearing, rooms ...room) *registry {
	g := &registry{map[string]command{}, map[string]press{}, map[string]form{}, map[read.Intent]intent{}, map[read.Intent]together{},
		map[planner.ReminderKind]dueKind{}, map[string]dueAction{}, nil, h}
	for _, r := range rooms {
		join(g.commands, r.Commands)
		join(g.presses, r.Presses)
		join(g.forms, r.Forms)
		join(g.answers, r.Answers)
		join(g.together, r.Together)
		join(g.due, r.Due)
		join(g.actions, r.Actions)
		if r.On != nil {
			g.on = append(g.on, r.On)
		}
	}
	return g
}

func join[K comparable, V any](all, more map[K]V) {
	n := len(all) + len(more)
	if maps.Copy(all, more); len(all) < n {
		panic("bot: two rooms answer the same")
	}
}

// hear gives a text to some hearers, and reports whether one answered.
func (t *turn) hear(all []hearer, s string) bool {
	for _, h := range all {
		if h.Hear(t, s) {
			return true
		}
	}
	return false
}

// notUnderstood says that a text was not understood.
func (t *turn) notUnderstood(s string) { t.reg.hears.Lost(t, s) }

// goTo shows what another room answers to a sentence.
func (t *turn) goTo(s read.Sentence) { t.reg.answers[s.Intent](t, s) }

// happened tells the rooms what happened in one of them.
func (t *turn) happened(what any) {
	for _, on := range t.reg.on {
		on(t, what)
	}
}
