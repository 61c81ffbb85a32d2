package talk

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"time"

	"bowlwright/bot/read"
	"bowlwright/bot/say"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/store"
)

// Kept is what a turn, or a step of an errand, keeps, and what that rests on. The first
// error of the store undoes the whole of it.
type Kept struct {
	Err    error
	expect []store.Expectation
	writes []store.Write
}

// Write adds to what is kept.
func (k *Kept) Write(w ...store.Write) { k.writes = append(k.writes, w...) }

// Expect adds to what it rests on, besides a turn's household, the person's membership
// and the conversation.
func (k *Kept) Expect(e ...store.Expectation) { k.expect = append(k.expect, e...) }

// Fail keeps the first error; nil is none.
func (k *Kept) Fail(err error) {
	if k.Err == nil {
		k.Err = err
	}
}

// Turn is the answering of one event. Its methods speak to the person with Say.
type Turn struct {
	Kept
	Ctx   context.Context // of this event: a long computation ends with it
	Snap  store.Snapshot  // what it is worked out on
	reg   *Registry
	Event Event
	Base  *nutrition.Table // the compiled-in foods
	Foods *nutrition.Table // and the household's own
	Home  *planner.Household
	Talk  Conversation

	Member    string                       // the household that the person belonged to in this chat
	Joins     bool                         // the person comes to the household
	Leaves    bool                         // the person belongs to none any more
	notes     notes                        // what is done to the journal
	Trends    map[trendKey][]planner.Entry // what the store tells of dogs' weights
	told      []told                       // what is said in other chats of the household
	Rev       uint64                       // the household's revision that the turn rests on
	loaded    store.Dialogue               // and the conversation
	draftWas  json.RawMessage              // the dialogue's own state in it
	Replies   []say.Reply
	By        string // the carer who did what is told, where that is another
	Newcomer  bool
	left      bool               // a dialogue was left for another
	waits     bool               // something else was answered beside the open question
	dropped   bool               // the open question was dropped by a carer's word
	Popped    bool               // the newest change is taken back
	Picked    bool               // which dog is meant was just asked, and told
	reminded  bool               // the household had reminders when it was loaded
	sooner    bool               // something falls due sooner than was known
	Changed   bool               // home must be written
	lost      string             // what a text came nearest to that was not understood
	parted    bool               // the sentences of its message were answered one by one
	vague     bool               // it was asked which of some readings is meant
	typed     string             // what a sentence in full was put for
	again     string             // what is said again with another figure
	read      readings           // what its texts were read as
	ranked    *rankedText        // the text that was ranked last
	unheard   []string           // parts of a text that were not understood, where others were
	asWas     *planner.Household // home as it was when the turn began
	Before    *planner.Household // home before the turn's change; nil where none
	GoalAsked map[string]bool    // dogs whose goal weight is asked about
	Undone    *planner.Household // home before a change was taken back; nil where none was
	change    store.Change       // what the change was
	last      *store.Change      // the newest before it, once that was asked for,
	lastOf    string             // and the household that it is of
	abouts    []string           // what it was done to

	BackupsUntil func(now time.Time) time.Time // as of the assistant
	MayPublish   func(Event) bool              // likewise
}

// Conversation is what the assistant remembers of a conversation of one person.
type Conversation struct {
	Kind   string          `json:"-"`                // the dialogue under way, empty if none
	Step   string          `json:"-"`                // the question that is open in it
	Dog    string          `json:"-"`                // id of the dog that is spoken of in this turn
	Last   string          `json:"dog,omitempty"`    // and of the one last spoken of
	LastAt time.Time       `json:"dog_at,omitzero"`  // when that was
	Recipe string          `json:"recipe,omitempty"` // id of the recipe last spoken of
	Link   string          `json:"link,omitempty"`   // the link that was followed last and the dog it was for, until that is settled
	Draft  json.RawMessage `json:"draft,omitempty"`  // the dialogue's own state
	Asked  time.Time       `json:"asked,omitzero"`   // when the question was asked that is open
	By     string          `json:"by,omitempty"`     // the change that the event would be that asked it
	Offer  *offer          `json:"offer,omitempty"`  // what the last reply offered
	Meant  *meant          `json:"meant,omitempty"`  // readings that are offered
	Said   *said           `json:"said,omitempty"`   // what was said last with a figure
	Query  *said           `json:"query,omitempty"`  // what was asked last
	Long   *long           `json:"long,omitempty"`   // the last reply that was cut
	Parked *parked         `json:"parked,omitempty"` // the last dialogue that was left unfinished
	Home   string          `json:"home,omitempty"`   // the household that all of this is about
}

// parked is a dialogue that was stopped or left for another, so that nothing
// typed into it is lost.
type parked struct {
	Kind  string          `json:"kind"`
	Step  string          `json:"step"`
	Draft json.RawMessage `json:"draft,omitempty"`
	Back  bool            `json:"back,omitempty"` // a question was asked in between: it goes on once that is answered

	Stopped bool `json:"stopped,omitempty"` // by the carer
}

func (t *Turn) loadTalk() error {
	d, err := t.Snap.Dialogue(t.Event.Chat, t.Event.Person)
	if err != nil {
		return store.OrNone(err)
	}
	if err := json.Unmarshal(d.Data, &t.Talk); err != nil {
		return fmt.Errorf("bot: decode dialogue: %w", err)
	}
	t.loaded = d
	t.Talk.Kind, t.Talk.Step, t.draftWas = d.Kind, d.Step, t.Talk.Draft
	if t.Talk.Home != "" && t.Talk.Home != t.Home.ID {
		t.Talk = Conversation{} // its ids would mean other dogs here
	}
	return nil
}

// Leave ends the person's part in the household: nothing of it is written, and
// what was open of it does not go on.
func Leave(t *Turn) {
	t.Leaves, t.Joins, t.Changed, t.Before = true, false, false, nil
	t.Talk = Conversation{}
}

func (t *Turn) keepTalk() {
	if t.Leaves {
		t.Write(store.PutDialogue{Chat: t.Event.Chat, Person: t.Event.Person})
		return
	}
	t.Talk.Home = t.Home.ID
	if t.Talk.Dog != "" {
		t.Talk.Last, t.Talk.LastAt = t.Talk.Dog, t.Event.At
	}
	data, err := json.Marshal(t.Talk)
	if err != nil {
		t.Fail(fmt.Errorf("bot: encode dialogue: %w", err))
	}
	d := store.Dialogue{Kind: t.Talk.Kind, Step: t.Talk.Step, Data: data, Since: t.Event.At}
	t.Write(store.PutDialogue{Chat: t.Event.Chat, Person: t.Event.Person, Dialogue: d})
}

// Ask opens a question of a dialogue, with the dialogue's state.
func (t *Turn) Ask(kind, step string, draft any) {
	data, err := json.Marshal(draft)
	if err != nil {
		t.Fail(fmt.Errorf("bot: encode draft: %w", err))
		return
	}
	if t.Talk.Kind != kind && t.park() {
		t.left = true
	}
	if t.Talk.Kind != kind || t.Talk.Step != step || !bytes.Equal(t.Talk.Draft, data) {
		t.Talk.Asked = t.Event.At // the same asked again is as old as it was
	}
	t.Talk.Kind, t.Talk.Step, t.Talk.Draft = kind, step, data
	t.Talk.By = ChangeID(t.Event.ID)
}

// openFor is how long a question waits for its answer: what is typed the next day
// is something else (our own choice).
const openFor = 12 * time.Hour

// leaveStale closes a question that was asked too long ago, so that it does not
// swallow the next weeks' weigh-ins.
func (t *Turn) leaveStale() {
	f, ok := t.reg.Forms[t.Talk.Kind]
	if !ok || f.Asks != nil && !f.Asks(t.Talk.Draft) {
		return
	}
	if !t.Talk.Asked.IsZero() && t.Event.At.Sub(t.Talk.Asked) > openFor {
		t.stayLeft()
		t.left = t.park() && f.Long // what was typed into it is not lost in silence
		t.EndDialogue()
	}
}

// Resumes reports whether a kind of dialogue can be gone on with.
func Resumes(t *Turn, kind string) bool { return t.reg.Forms[kind].Again != nil }

// park puts the dialogue under way aside, and reports whether there was one
// with something typed into it.
func (t *Turn) park() bool {
	if t.Talk.Kind == "" || t.Talk.Step == "" || !Resumes(t, t.Talk.Kind) {
		return false
	}
	t.Talk.Parked = t.openNow()
	return true
}

// openNow is the dialogue under way.
func (t *Turn) openNow() *parked {
	return &parked{Kind: t.Talk.Kind, Step: t.Talk.Step, Draft: t.Talk.Draft}
}

// Unfinished reads the state of a dialogue that is open, or was left for another, and
// reports whether there is one of this kind.
func Unfinished(t *Turn, kind string, draft any) bool {
	for _, p := range []*parked{t.openNow(), t.Talk.Parked} {
		if p != nil && p.Kind == kind && !p.Stopped {
			return json.Unmarshal(p.Draft, draft) == nil
		}
	}
	return false
}

// stayLeft lets what was left for a question wait until somebody goes on with it.
func (t *Turn) stayLeft() {
	if t.Talk.Parked != nil {
		t.Talk.Parked.Back = false
	}
}

// Draft reads the state of the dialogue under way into v.
func (t *Turn) Draft(v any) {
	if len(t.Talk.Draft) == 0 {
		return
	}
	if err := json.Unmarshal(t.Talk.Draft, v); err != nil {
		t.Fail(fmt.Errorf("bot: decode draft: %w", err))
	}
}

// EndDialogue closes the dialogue under way.
func (t *Turn) EndDialogue() { t.Talk.Kind, t.Talk.Step, t.Talk.Draft = "", "", nil }

// EndIf closes the dialogue under way if it is of a kind.
func (t *Turn) EndIf(kind string) {
	if t.Talk.Kind == kind {
		t.EndDialogue()
	}
}

// Gone ends the dialogue under way: what it is about is there no more.
func (t *Turn) Gone() {
	t.EndDialogue()
	t.SayMsg("press.gone")
}

// Found reports that what was asked for is there. Any other error than that it is
// not makes a turn, or a step of an errand, fail.
func Found(t interface{ Fail(error) }, err error) bool {
	if store.OrNone(err) != nil {
		t.Fail(err)
	}
	return err == nil
}

// Say adds a reply of paragraphs and tables.
func (t *Turn) Say(blocks ...say.Block) *say.Reply {
	said := slices.DeleteFunc(blocks, func(b say.Block) bool { return b.Text == "" })
	t.Replies = append(t.Replies, say.Reply{Body: said})
	return &t.Replies[len(t.Replies)-1]
}

// Msg is a message of whichever room has it.
func (t *Turn) Msg(key string, args ...any) string { return t.reg.Words.Msg(key, args...) }

// SayMsg adds a reply of one message of the catalogue.
func (t *Turn) SayMsg(key string, args ...any) *say.Reply {
	return t.Say(say.Para(t.Msg(key, args...)))
}

// Button makes a button that calls a verb with arguments. The data begins
// with the household's mark, so that a button carried into another household
// does nothing there.
func (t *Turn) Button(label, verb string, args ...string) say.Button {
	return ButtonOf(t.Home.ID, label, verb, args...)
}

// Answer makes a button that answers the open question of a dialogue.
func (t *Turn) Answer(label, step, value string) say.Button {
	return t.Button(label, "answer", step, value)
}

// mark is what the household's buttons begin with.
func (t *Turn) mark() string { return markOf(t.Home.ID) }

func markOf(household string) string { return household[:min(8, len(household))] }

// ButtonOf makes a button for another household.
func ButtonOf(household, label, verb string, args ...string) say.Button {
	return say.Button{Label: label, Data: strings.Join(append([]string{markOf(household), verb}, args...), ":")}
}

// Mutate says that the turn changes the household: without it nothing of the
// change is kept. What was is known from the turn's beginning, so that the
// change can be taken back whenever this is said. kind is the message that says
// what was done ("did.dog-added"), about the name it was done to; the first in
// a turn counts.
func (t *Turn) Mutate(kind, about string) {
	if t.Before == nil {
		t.Before = t.asWas
		t.change = store.Change{
			ID: ChangeID(t.Event.ID), At: t.Event.At, Person: t.Event.Person, Kind: kind, About: about,
		}
		t.abouts = nil
	}
	if t.change.Kind == kind && about != "" && !slices.Contains(t.abouts, about) {
		t.abouts = append(t.abouts, about)
		t.change.About = say.List(t.abouts)
	} else if also := (store.Done{Kind: kind, About: about}); t.change.Kind != kind && !slices.Contains(t.change.Also, also) {
		t.change.Also = append(t.change.Also, also)
	}
	t.Changed = true
}

// UndoButton takes back the change of this turn.
func (t *Turn) UndoButton() say.Button { return t.Button(msg("button.undo"), "undo", t.change.ID) }

// Date is the household's day.
func (t *Turn) Date() planner.Date { return planner.DateOf(t.Event.At) }

// DateAt is the household's day of an instant.
func (t *Turn) DateAt(at time.Time) planner.Date {
	return planner.DateOf(at.In(t.Event.At.Location()))
}

// NewID numbers a dog, recipe or food of the household.
func (t *Turn) NewID(prefix string) string {
	t.Home.LastID++
	return fmt.Sprintf("%s%d", prefix, t.Home.LastID)
}

// Dog returns a dog of the household, nil where there is none.
func (t *Turn) Dog(id string) *planner.Dog { return t.Home.Dog(id) }

// Recipe returns a recipe of the household, nil where there is none.
func (t *Turn) Recipe(id string) *planner.Recipe { return t.Home.Recipe(id) }

// TheRecipe returns the recipe that is meant where none is named: the one
// last spoken of, unless only another dog eats it and no "it" is said, else the dog's
// present one, else the only one.
func TheRecipe(t *Turn, d *planner.Dog) *planner.Recipe {
	it := func(w string) bool { return read.In("recipe-pronouns", w) }
	said := slices.ContainsFunc(strings.Fields(strings.ToLower(t.AsTyped())), it)
	if r := t.Recipe(t.Talk.Recipe); r != nil && (d == nil || d.MayEat(r.ID) && (said || t.eater(r.ID) == nil || t.Home.UsualOn(d, t.Date()) == nil)) {
		return r
	}
	if d != nil {
		return t.Home.UsualOn(d, t.Date())
	}
	return t.Home.OnlyRecipe(nil)
}

// Shelve has the food table follow what the household has of its own.
func (t *Turn) Shelve() { t.Foods = planner.Shelf(t.Home, t.Base) }

// FoodName is the table's name of a food, its key where the table lost it.
func (t *Turn) FoodName(key string) string {
	if f := t.Foods.Food(key); f != nil {
		return f.Name
	}
	return key
}

// LastReply is what was said last in this turn.
func (t *Turn) LastReply() *say.Reply { return &t.Replies[len(t.Replies)-1] }
