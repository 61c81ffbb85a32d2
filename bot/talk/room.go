package talk

import (
	_ "embed"
	"encoding/json"
	"maps"
	"slices"

	"bowlwright/bot/read"
	"bowlwright/bot/read/span"
	"bowlwright/bot/say"
	"bowlwright/planner"
)

// Room is what one part of the assistant hands to the whole: what it answers,
// asks and says by itself, and how it reacts to what happens in the others.
type Room struct {
	Commands map[string]Command               // by name, without the slash; each works as a bare first word too
	Presses  map[string]Press                 // what buttons do, by verb
	Replies  map[string]Reply                 // what a reply to a message with such a button does, by verb
	Forms    map[string]Form                  // its questions, by kind of dialogue
	Answers  map[read.Intent]Intent           // to sentences that package read understood
	Due      map[planner.ReminderKind]DueKind // what it says when something falls due
	Actions  map[string]DueAction             // buttons under what fell due
	Errands  map[string]Errand                // what it does when something else falls due, by kind
	Together map[read.Intent]Together         // to sentences said of several dogs that are one change
	Words    say.Catalogue                    // its messages
	On       func(t *Turn, happened any)      // reacts to what happened in another room
}

// Command does what a /command asks.
type Command struct {
	Do func(t *Turn, rest string) // rest is what follows the name
	// Opens says that with more after its name it begins something new, even
	// while a question is open.
	Opens bool
	// Aside says that with more after its name it is answered in the middle of
	// a dialogue, which then goes on.
	Aside bool
	// Slash says that with more after its name it is a command only with the
	// slash: "share of bone", "leave out the hearts", "start over".
	Slash bool
}

// Press does what a button asks; args follow the verb in its data.
type Press func(t *Turn, args []string)

// Verbs is what buttons do by the first word of their data; what follows it is given.
func Verbs(verbs map[string]Press) Press {
	return func(t *Turn, args []string) {
		if do := verbs[Arg(args, 0)]; do != nil {
			do(t, args[1:])
			return
		}
		t.SayMsg("press.stale")
	}
}

// InPlace is a press of which the first reply takes the place of the button's message.
func InPlace(do Press) Press {
	return func(t *Turn, args []string) {
		do(t, args)
		if len(t.Replies) > 0 {
			t.InPlace(&t.Replies[0])
		}
	}
}

// Reply takes a text that was written in reply to a message with a button, if
// such a reply means something; args follow the verb in the button's data.
type Reply func(t *Turn, args []string, text string) bool

// OfDog is what buttons about a dog do, by the first word of their data; the
// second is the dog, and what follows is given.
func OfDog(verbs map[string]func(t *Turn, d *planner.Dog, more []string)) Press {
	return pressOf(verbs, (*Turn).Dog, func(t *Turn, d *planner.Dog) { t.Talk.Dog = d.ID })
}

// OfRecipe is likewise what buttons about a recipe do.
func OfRecipe(verbs map[string]func(t *Turn, r *planner.Recipe, more []string)) Press {
	return pressOf(verbs, (*Turn).Recipe, func(t *Turn, r *planner.Recipe) { t.Talk.Recipe = r.ID })
}

func pressOf[T any](verbs map[string]func(*Turn, *T, []string), find func(t *Turn, id string) *T, talkOf func(*Turn, *T)) Press {
	return func(t *Turn, args []string) {
		of, do := find(t, Arg(args, 1)), verbs[Arg(args, 0)]
		switch {
		case of == nil:
			t.SayMsg("press.gone")
		case do == nil:
			t.SayMsg("press.stale")
		default:
			talkOf(t, of)
			do(t, of, args[2:])
		}
	}
}

// Tapped is a verb that needs nothing more than the dog or the recipe.
func Tapped[T any](do func(*Turn, *T)) func(*Turn, *T, []string) {
	return func(t *Turn, of *T, _ []string) { do(t, of) }
}

// TappedOn is a verb that needs the dog or the recipe and one thing of it.
func TappedOn[T any](do func(t *Turn, of *T, what string)) func(*Turn, *T, []string) {
	return func(t *Turn, of *T, more []string) { do(t, of, Arg(more, 0)) }
}

// TappedFigure is a verb that needs the dog or the recipe and a figure.
func TappedFigure[T any](do func(t *Turn, of *T, figure float64)) func(*Turn, *T, []string) {
	return func(t *Turn, of *T, more []string) {
		if n, err := span.Number(Arg(more, 0)); !Stale(t, err != nil) {
			do(t, of, n)
		}
	}
}

// Intent answers a sentence.
type Intent func(t *Turn, s read.Sentence)

// Together answers a sentence that was said of several dogs, in one change.
type Together func(t *Turn, dogs []*planner.Dog, s read.Sentence)

// DueKind says what has fallen due, once or more for all the occurrences it is
// given; it goes to every chat of the household. Nobody has asked: t.Event has
// no chat and no person. t.Event.At is when it is said, by the household's clock.
type DueKind func(t *Turn, due []planner.Occurrence)

// DueAction does what a button under something that fell due asks.
type DueAction func(t *Turn, r *planner.Reminder, o planner.Occurrence, more []string)

// Form is a dialogue: one question or several.
type Form struct {
	Take func(t *Turn, in Answer) // takes the answer to the open question
	// Again repeats the open question when a dialogue is resumed; nil for one
	// that is not worth resuming.
	Again func(t *Turn)
	// Brief says in a line that the question is open still; nil: it is asked
	// again.
	Brief func(t *Turn)
	// Left says what stays of a dialogue that is stopped; nil or empty: nothing
	// was changed.
	Left func(t *Turn) string
	// Long says that it is entered step by step: where it closes after openFor it
	// can be gone on with.
	Long bool
	// Asks reports that it waits for one answer, and so closes after openFor; nil: it
	// always does.
	Asks func(draft json.RawMessage) bool
	// Times are the steps whose answer may have a time in words.
	Times []string
	// Free are the steps whose answer is kept as typed: no command and no
	// mild sign is looked for in it.
	Free []string
	// Verbatim says that whatever is typed is the answer, a question too. It is
	// told of a text in which an emergency was heard, and answered first.
	Verbatim func(t *Turn, text string)
	// OfOthers reports that what was typed tells of dogs of other households, so
	// that it is the answer even where it names an emergency; nil: nothing does.
	OfOthers func(t *Turn, text string) bool
	// Asked are the names of its questions, by step, as the reading of messages
	// knows them.
	Asked map[string]string
	// Portable reports whether it can be resumed in another household; nil: it
	// cannot.
	Portable func(draft json.RawMessage) bool
}

// Registry is what all the rooms together answer, ask and say, as one room.
type Registry struct {
	Room
	on    []func(t *Turn, happened any)
	hears Hearing
}

// Hearing is the order in which what was typed is offered to those that may
// know what it means; the first that does answers it.
type Hearing struct {
	First []Hearer // before all else, whatever is open
	News  []Hearer // what happened, before sentences
	Dose  []Hearer // after sentences
	Rest  []Hearer // where nothing else was understood
	Aside []Hearer // in the middle of a dialogue, besides those marked so
	Lines []Hearer // likewise, of several lines too
	Loose []Hearer // likewise, where even that was not understood
	// Ill answers a sentence about an ill dog that is no dog of the household.
	Ill func(t *Turn, s read.Sentence) bool
	// Due reports whether a text answers something that fell due and is open.
	Due func(t *Turn, s string) bool
	// Waits is the name of the question that something due or suggested asks;
	// empty where nothing does.
	Waits func(t *Turn) string
	// Stranger reports that a text speaks of a dog that is not known.
	Stranger func(t *Turn, s string) bool
	// Meant answers a reading that no sentence says in full.
	Meant func(t *Turn, r read.Reading, s string) bool
	File  func(t *Turn, data []byte) // takes a file that was sent
	Lost  func(t *Turn, s string)    // says that a text was not understood
}

// Hearer answers a text where it knows what that means, and reports whether it
// did.
type Hearer struct {
	Hear  func(t *Turn, s string) bool
	Aside bool     // it is asked in the middle of a dialogue too
	Of    []string // beginnings of intents: it does not hear what is very likely none of these; empty: it hears all
}

// Compose makes one registry of the rooms. Two rooms that answer the same thing
// are a defect of the program and stop it at once.
func Compose(h Hearing, rooms ...Room) *Registry {
	words := 0
	for _, r := range rooms {
		words += len(r.Words)
	}
	g := &Registry{hears: h, Room: Room{Commands: map[string]Command{}, Presses: map[string]Press{}, Replies: map[string]Reply{}, Forms: map[string]Form{},
		Answers: map[read.Intent]Intent{}, Due: map[planner.ReminderKind]DueKind{}, Actions: map[string]DueAction{}, Errands: map[string]Errand{},
		Together: map[read.Intent]Together{}, Words: make(say.Catalogue, words)}}
	for _, r := range rooms {
		join(g.Commands, r.Commands)
		join(g.Presses, r.Presses)
		join(g.Replies, r.Replies)
		join(g.Forms, r.Forms)
		join(g.Answers, r.Answers)
		join(g.Together, r.Together)
		join(g.Due, r.Due)
		join(g.Actions, r.Actions)
		join(g.Errands, r.Errands)
		join(g.Words, r.Words)
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
func (t *Turn) hear(all []Hearer, s string) bool {
	return slices.ContainsFunc(all, func(h Hearer) bool { return h.answers(t, s) })
}

func (h Hearer) answers(t *Turn, s string) bool {
	return (h.Of == nil || !SaysElse(t, s, h.Of...)) && h.Hear(t, s)
}

// NotUnderstood says that a text was not understood.
func (t *Turn) NotUnderstood(s string) {
	t.lost = "nothing"
	if h := t.heard(s); len(h.Says) > 0 {
		t.lost = h.Says[0].Readings[0].Intent
	}
	t.reg.hears.Lost(t, s)
}

// GoTo shows what another room answers to a sentence.
func (t *Turn) GoTo(s read.Sentence) { t.reg.Answers[s.Intent](t, s) }

// Happened tells the rooms what happened in one of them.
func (t *Turn) Happened(what any) {
	for _, on := range t.reg.on {
		on(t, what)
	}
}

func OwnRoom() Room {
	return Room{
		Words:    words,
		Commands: map[string]Command{"undo": {Do: func(t *Turn, words string) { t.undoNamed(words, words) }}},
		Presses: map[string]Press{
			"answer": (*Turn).pressAnswer,
			"stop":   func(t *Turn, _ []string) { t.StopDialogue() },
			"resume": func(t *Turn, _ []string) { t.Resume() },
			"undo":   func(t *Turn, args []string) { t.undo(Arg(args, 0)) },
			"due":    (*Turn).pressDue,
			"meant":  (*Turn).pressMeant,
			"all":    (*Turn).pressAll,
		},
		Forms: map[string]Form{
			"clock": {Take: (*Turn).clockDialogue, Again: WithDraft(func(t *Turn, d clockDraft) { t.sayWhichHalf(d.Part) }), Asked: map[string]string{"half": "remind.when"}},
			"sure":  {Take: (*Turn).sureDialogue, Asked: map[string]string{"yes": "remove.sure"}},
			"which": {Take: (*Turn).whichDialogue, Asked: map[string]string{"dog": "which.dog"}},
		},
		Answers: map[read.Intent]Intent{
			read.Undo:     func(t *Turn, s read.Sentence) { t.undoNamed(t.Event.Text, s.Words) },
			read.ShowUndo: (*Turn).sayUndo,
			read.GoOn:     func(t *Turn, _ read.Sentence) { t.Resume() },
		},
		Actions: map[string]DueAction{"later": (*Turn).pressLater},
	}
}

//go:embed messages.txt
var messages string

// words are the messages of this room.
var words, msg = say.Words(messages)

// Gone says that what a button is about is no longer there, where that is so.
func Gone(t *Turn, gone bool) bool {
	if gone {
		t.SayMsg("press.gone")
	}
	return gone
}

// Stale says that a button means nothing any more, where that is so.
func Stale(t *Turn, stale bool) bool {
	if stale {
		t.SayMsg("press.stale")
	}
	return stale
}
