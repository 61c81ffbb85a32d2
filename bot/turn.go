package bot

import (
	"context"
	"encoding/json"
	"fmt"
	"strings"
	"time"

	"bowlwright/bot/read"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/store"
)

// turn is the answering of one event. Its methods speak to the person with
// say and keep the first error of the store in err, which undoes the whole
// turn.
type turn struct {
	ctx   context.Context // of this event: a long computation ends with it
	tx    store.Tx
	reg   *registry
	event Event
	base  *nutrition.Table // the compiled-in foods
	foods *nutrition.Table // and the household's own
	home  *planner.Household
	talk  talk

	seen      bool                         // the event was handled before: there is nothing to do
	member    string                       // the household that the person belonged to in this chat
	joins     bool                         // the person comes to the household
	leaves    bool                         // the person belongs to none any more
	effects   []effect                     // what is done besides, on other records
	notes     notes                        // what is done to the journal
	trends    map[trendKey][]planner.Entry // what the store tells of dogs' weights
	told      []told                       // what is said in other chats of the household
	rev       uint64                       // the household's revision that the turn rests on
	loaded    store.Dialogue               // and the conversation
	replies   []Reply
	by        string // the carer who did what is told, where that is another
	newcomer  bool
	left      bool               // a dialogue was left for another
	popped    bool               // the newest change is taken back
	reminded  bool               // the household had reminders when it was loaded
	sooner    bool               // something falls due sooner than was known
	changed   bool               // home must be written
	last      *understood        // the sentence that was read last
	known     *read.Names        // what names answered last
	knownOf   *planner.Household // and of which household
	before    *planner.Household // home before the turn's change; nil where none
	goalAsked map[string]bool    // dogs whose goal weight is asked about
	undone    *planner.Household // home before a change was taken back; nil where none was
	change    store.Change       // what the change was
	err       error
}

// talk is what the assistant remembers of a conversation of one person.
type talk struct {
	Kind   string          `json:"-"`                // the dialogue under way, empty if none
	Step   string          `json:"-"`                // the question that is open in it
	Dog    string          `json:"-"`                // id of the dog that is spoken of in this turn
	Last   string          `json:"dog,omitempty"`    // and of the one last spoken of
	LastAt time.Time       `json:"dog_at,omitzero"`  // when that was
	Recipe string          `json:"recipe,omitempty"` // id of the recipe last spoken of
	Draft  json.RawMessage `json:"draft,omitempty"`  // the dialogue's own state
	Asked  time.Time       `json:"asked,omitzero"`   // when the question was asked that is open
	By     string          `json:"by,omitempty"`     // the change that the event would be that asked it
	Offer  *offer          `json:"offer,omitempty"`  // what the last reply offered
	Parked *parked         `json:"parked,omitempty"` // the dialogue that was left unfinished last
	Home   string          `json:"home,omitempty"`   // the household that all of this is about
}

// parked is a dialogue that was stopped or left for another, so that nothing
// typed into it is lost.
type parked struct {
	Kind  string          `json:"kind"`
	Step  string          `json:"step"`
	Draft json.RawMessage `json:"draft,omitempty"`
}

func (t *turn) loadTalk() error {
	d, err := t.tx.Dialogue(t.event.Chat, t.event.Person)
	if isNotFound(err) {
		return nil
	}
	if err != nil {
		return err
	}
	if err := json.Unmarshal(d.Data, &t.talk); err != nil {
		return fmt.Errorf("bot: decode dialogue: %w", err)
	}
	t.loaded = d
	t.talk.Kind, t.talk.Step = d.Kind, d.Step
	if t.talk.Home != "" && t.talk.Home != t.home.ID {
		t.talk = talk{} // its ids would mean other dogs here
	}
	return nil
}

func (t *turn) saveTalk(tx store.Tx) error {
	if t.leaves {
		return tx.DeleteDialogue(t.event.Chat, t.event.Person)
	}
	t.talk.Home = t.home.ID
	if t.talk.Dog != "" {
		t.talk.Last, t.talk.LastAt = t.talk.Dog, t.event.At
	}
	data, err := json.Marshal(t.talk)
	if err != nil {
		return fmt.Errorf("bot: encode dialogue: %w", err)
	}
	d := store.Dialogue{Kind: t.talk.Kind, Step: t.talk.Step, Data: data, Since: t.event.At}
	return tx.PutDialogue(t.event.Chat, t.event.Person, d)
}

// ask opens a question of a dialogue, with the dialogue's state.
func (t *turn) ask(kind, step string, draft any) {
	data, err := json.Marshal(draft)
	if err != nil {
		t.fail(fmt.Errorf("bot: encode draft: %w", err))
		return
	}
	if t.talk.Kind != kind && t.park() {
		t.left = true
	}
	t.talk.Kind, t.talk.Step, t.talk.Draft, t.talk.Asked = kind, step, data, t.event.At
	t.talk.By = changeID(t.event.ID)
}

// openFor is how long a single question waits for its answer: what is typed the
// next day is something else (our own choice). What is being entered step by step
// is gone on with whenever its carer comes back.
const openFor = 12 * time.Hour

// leaveStale closes a question that was asked too long ago, so that it does not
// swallow the weigh-ins of the weeks to come.
func (t *turn) leaveStale() {
	if f, ok := t.reg.forms[t.talk.Kind]; !ok || f.Long {
		return
	}
	if !t.talk.Asked.IsZero() && t.event.At.Sub(t.talk.Asked) > openFor {
		t.park()
		t.endDialogue()
	}
}

// resumes reports whether a kind of dialogue can be gone on with.
func (t *turn) resumes(kind string) bool { return t.reg.forms[kind].Again != nil }

// park puts the dialogue under way aside, and reports whether there was one
// with something typed into it.
func (t *turn) park() bool {
	if t.talk.Kind == "" || t.talk.Step == "" || !t.resumes(t.talk.Kind) {
		return false
	}
	t.talk.Parked = &parked{t.talk.Kind, t.talk.Step, t.talk.Draft}
	return true
}

// draft reads the state of the dialogue under way into v.
func (t *turn) draft(v any) {
	if len(t.talk.Draft) == 0 {
		return
	}
	if err := json.Unmarshal(t.talk.Draft, v); err != nil {
		t.fail(fmt.Errorf("bot: decode draft: %w", err))
	}
}

// endDialogue closes the dialogue under way.
func (t *turn) endDialogue() { t.talk.Kind, t.talk.Step, t.talk.Draft = "", "", nil }

// fail keeps the first error.
func (t *turn) fail(err error) {
	if t.err == nil {
		t.err = err
	}
}

// say adds a reply of paragraphs and tables.
func (t *turn) say(blocks ...Block) *Reply {
	kept := blocks[:0]
	for _, b := range blocks {
		if b.Text != "" {
			kept = append(kept, b)
		}
	}
	t.replies = append(t.replies, Reply{Body: kept})
	return &t.replies[len(t.replies)-1]
}

// sayMsg adds a reply of one message of the catalogue.
func (t *turn) sayMsg(key string, args ...any) *Reply { return t.say(para(msg(key, args...))) }

// vetOnce leaves one advice to see a vet where a reply has several: that of a
// gate, else the last.
func vetOnce(r *Reply) {
	check := msg("vet.check")
	left := 0
	for _, b := range r.Body {
		left += strings.Count(b.Text, check)
	}
	if all := joinBlocks(r.Body); !strings.Contains(all, msg("vet.plan")) && !strings.Contains(all, msg("vet.ask")) {
		left--
	}
	for i := range r.Body {
		b := &r.Body[i]
		for left > 0 && !b.Table && strings.Contains(b.Text, check) {
			b.Text = strings.Replace(b.Text, " "+check, "", 1)
			left--
		}
	}
}

func joinBlocks(all []Block) string {
	var s strings.Builder
	for _, b := range all {
		s.WriteString(b.Text + "\n")
	}
	return s.String()
}

func para(s string) Block { return Block{Text: s} }

func tableBlock(rows []tableRow) Block { return Block{Text: tableText(rows), Table: true} }

// offer adds a row of buttons to a reply.
func (r *Reply) offer(row ...Button) *Reply {
	if len(row) > 0 {
		r.Buttons = append(r.Buttons, row)
	}
	return r
}

// button makes a button that calls a verb with arguments. The data begins
// with the household's mark, so that a button carried into another household
// does nothing there.
func (t *turn) button(label, verb string, args ...string) Button {
	data := t.mark() + ":" + verb
	if len(args) > 0 {
		data += ":" + strings.Join(args, ":")
	}
	return Button{Label: label, Data: data}
}

// answer makes a button that answers the open question of a dialogue.
func (t *turn) answer(label, step, value string) Button {
	return t.button(label, "answer", step, value)
}

// mark is what the household's buttons begin with.
func (t *turn) mark() string { return t.home.ID[:min(8, len(t.home.ID))] }

// mutate must be called before the household is changed: it keeps what was,
// so that the change can be taken back. kind is the message that says what
// was done ("did.dog-added"), about the name it was done to.
func (t *turn) mutate(kind, about string) {
	if t.before == nil {
		t.before = t.home.Clone()
		t.change = store.Change{
			ID: changeID(t.event.ID), At: t.event.At, Person: t.event.Person, Kind: kind, About: about,
		}
	}
	t.changed = true
}

// undoButton takes back the change of this turn.
func (t *turn) undoButton() Button { return t.button(msg("button.undo"), "undo", t.change.ID) }

// date is the household's day.
func (t *turn) date() planner.Date { return planner.DateOf(t.event.At) }

// newID numbers a dog, recipe or food of the household.
func (t *turn) newID(prefix string) string {
	t.home.LastID++
	return fmt.Sprintf("%s%d", prefix, t.home.LastID)
}

// dog returns a dog of the household, nil where there is none.
func (t *turn) dog(id string) *planner.Dog {
	for i := range t.home.Dogs {
		if t.home.Dogs[i].ID == id {
			return &t.home.Dogs[i]
		}
	}
	return nil
}

// recipe returns a recipe of the household, nil where there is none.
func (t *turn) recipe(id string) *planner.Recipe {
	for i := range t.home.Recipes {
		if t.home.Recipes[i].ID == id {
			return &t.home.Recipes[i]
		}
	}
	return nil
}

// theRecipe returns the recipe that is meant where none is named: the one
// last spoken of, else the dog's present one, else the only one.
func (t *turn) theRecipe(d *planner.Dog) *planner.Recipe {
	if r := t.recipe(t.talk.Recipe); r != nil {
		return r
	}
	if d != nil {
		if id, ok := planner.RecipeOn(t.home, d.ID, t.date()); ok {
			return t.recipe(id)
		}
	}
	if len(t.home.Recipes) == 1 {
		return &t.home.Recipes[0]
	}
	return nil
}

// foodName is the table's name of a food, its key where the table lost it.
func (t *turn) foodName(key string) string {
	if f := t.foods.Food(key); f != nil {
		return f.Name
	}
	return key
}
