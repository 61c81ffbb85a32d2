package talk

import (
	"cmp"
	"maps"
	"slices"
	"strconv"
	"strings"

	"bowlwright/bot/read"
	"bowlwright/bot/read/foodline"
	"bowlwright/bot/read/span"
	"bowlwright/bot/say"
	"bowlwright/planner"
)

// meant are readings of a text that a carer may choose from.
type meant struct {
	By   string         `json:"by"` // the change that the event would be that offered them
	Text string         `json:"text"`
	Says []read.Reading `json:"says"`
}

// heard is what a text says, by the ranker.
func (t *Turn) heard(s string) read.Heard {
	if t.ranked == nil || t.ranked.text != s {
		t.ranked = &rankedText{s, t.hearAs(s, t.question())}
	}
	return t.ranked.heard
}

// hearAs is what a text says where a question is open, or none ("").
func (t *Turn) hearAs(s, question string) read.Heard {
	c := span.Context{Names: t.Names(), Units: t.Home.Units, Now: t.Event.At, Open: question}
	for _, carer := range t.Home.Carers {
		if carer.Person != t.Event.Person {
			c.Carers = append(c.Carers, span.Named{ID: carer.Person, Name: carer.Name})
		}
	}
	return read.Hear(s, c, t.Alarm)
}

// Likeliest is what a text most likely says, if anything.
func Likeliest(t *Turn, s string) (r read.Reading) {
	if h := t.heard(s); len(h.Says) > 0 {
		r = h.Says[0].Readings[0]
	}
	return r
}

// Unasked is what a text may say that is no answer to the open question, each
// statement with its likeliest readings first.
func (t *Turn) Unasked(s string) []read.Statement { return t.hearAs(s, "").Says }

// rankedText is a text and what it was heard as.
type rankedText struct {
	text  string
	heard read.Heard
}

// question is the name of the question that is open, as read knows it: of a
// dialogue, else of what fell due or was suggested.
func (t *Turn) question() string {
	if f, open := t.reg.Forms[t.Talk.Kind]; open {
		return f.Asked[t.Talk.Step]
	}
	return t.reg.hears.Waits(t)
}

// meant does what a text very likely means, statement by statement, and offers
// what it may mean where that is not so clear. It reports whether it did either.
func (t *Turn) meant(s string) bool {
	h := t.heard(s)
	if t.alarmMeant(s, read.UrgentFrom) {
		return true
	}
	if t.beginsDog(h, s) {
		return true
	}
	done := false
	var lost []string
	typed := t.Event.Text
	for _, st := range h.Says {
		t.Event.Text, t.typed = typed, ""
		n, changed := len(t.Replies), t.Changed
		if t.meantPart(st, len(h.Says) > 1) {
			done = done || len(t.Replies) > n || t.Changed && !changed // "no" alone says nothing
		} else if best := st.Readings[0]; len(strings.Fields(st.Text)) > 2 || best.P >= surelyElse && (strings.HasPrefix(best.Intent, "fed") || strings.HasPrefix(best.Intent, "supp")) { // "thanks", "take away": nothing is lost with less
			lost = append(lost, st.Text)
		}
	}
	if done {
		if len(h.Says) > 1 {
			t.Event.Text, t.typed = typed, ""
		}
		t.unheard = append(t.unheard, lost...)
	}
	return done
}

// severalThings reports that a text says clearly more than one thing to be
// recorded, each of another kind, so that none of them may be taken for a part of
// the other: "Moss 21.4 and Bramble did a soft poo".
func (t *Turn) severalThings(s string) bool {
	kinds := map[string]bool{}
	for _, st := range t.heard(s).Says {
		best := st.Readings[0].Intent
		if next := st.Readings[1].Intent; best == "answer" && (next == "fed.log" || next == "supp.log") {
			best = next // of what waits
		}
		if st.Do != read.Act || read.CostOf(best) != read.Writes && best != "health.signs" || best == "answer" || best == "undo" || best == "fix.dog" {
			return false
		}
		if kind, _, _ := strings.Cut(best, "."); kind == "fed" {
			best = kind // "ate her dinner but left a third"
		}
		kinds[best] = true
	}
	return len(kinds) > 1 && t.Talk.Kind == ""
}

// beginsDog begins the profile of the household's first dog where one of the
// statements may be about it: that asks, and keeps nothing yet.
func (t *Turn) beginsDog(h read.Heard, s string) bool {
	for _, st := range h.Says {
		for _, r := range st.Readings {
			told := read.ToldOnly(s)
			of := r.Intent == "help" && read.Says("of-dog", told) || (r.Intent == "chat.hello" || read.In("intent:household", r.Intent)) && read.Says("a-dog", told)
			news := of || r.Intent == "dog.add"
			if news && r.P >= leastOffered && len(t.Home.Dogs) == 0 && t.Talk.Kind == "" {
				return t.reg.hears.Meant(t, read.Reading{Intent: "dog.add"}, s)
			}
		}
	}
	return false
}

// doseOfSame takes one of several statements that names no dog for a dose of the
// one dog that the message names: "zinc 15 mg daily and 5 ml oil daily for Rex".
func (t *Turn) doseOfSame(s string) bool {
	_, _, of := DogsIn(t, t.Event.Text)
	_, _, own := DogsIn(t, s)
	return len(of) == 1 && len(own) == 0 && t.hear(t.reg.hears.Dose, s+" for "+of[0].Name)
}

func (t *Turn) meantPart(st read.Statement, several bool) bool {
	alone := func() bool { return t.exact(st.Text) }
	if several && (t.doseOfSame(st.Text) || st.Readings[0].Intent == "fed.log" && len(st.Readings[0].Slots) > 0 && t.As(st.Text, alone) || alone()) {
		return true
	}
	switch best := st.Readings[0]; st.Do {
	case read.Act:
		if t.ofWhich(best, st.Text) {
			return true
		}
		before, n := t.Changed, len(t.Replies)
		if !t.does(best, st.Text) {
			return t.offerMeant(st)
		}
		if len(t.Replies) > n {
			t.sayTaken(st, &t.Replies[n])
		}
		if !before && t.Changed && len(st.Readings) > 1 && len(t.Replies) > 0 {
			t.keepMeant(st.Text, st.Readings[1:])
			t.Replies[len(t.Replies)-1].Offer(t.Button(msg("button.not-that"), "meant", "not", t.Talk.Meant.By))
		}
		return true
	case read.Confirm, read.Offer:
		hint := read.CostOf(best.Intent) == read.Reaches && best.Intent != "dog.remove" && best.P >= surelyElse // nothing is done: a line says how
		return t.offerMeant(st) || hint && t.reg.hears.Meant(t, best, st.Text)
	}
	return false
}

// ofWhich asks for one dog at a time where a text names several and it is not clear
// of which something is to be recorded: "fern gets two meals, dot three".
func (t *Turn) ofWhich(r read.Reading, s string) bool {
	named := map[string]bool{}
	for _, m := range span.Mentions(s, t.Names().Dogs) {
		named[m.ID] = true
	}
	if len(named) < 2 || r.Slots["dog"] != "" || read.CostOf(r.Intent) != read.Writes {
		return false
	}
	t.SayMsg("meant.one-dog", "text", say.Short(s))
	return true
}

// does does what a reading says: by its sentence in full, else as the rooms
// answer its intent.
func (t *Turn) does(r read.Reading, s string) bool {
	unsure := r.Intent == "undo" && t.Event.Press == "" && (len(t.Offered("undo")) == 0 || t.LastChange().Kind == "did.sign") // not said in so many words: of what was not just done, or of a sign
	if unsure || t.early(r) || r.Intent == "fed.log" && read.IsQuestion(s) || r.Intent == "feedtimes.set" && read.Says("drops-one", s) {
		return false
	}
	_, _, dogs := DogsIn(t, s)
	switch r.Intent {
	case "yes", "no", "apply", "keep":
		if t.chosen(r.Intent) {
			return true
		}
	case "stop":
		t.StopDialogue()
		return true
	case "recipe.add", "dog.set", "dog.add", "set.place": // with its lines, or with more than one sentence says, of one that is known
		if (r.Intent != "dog.add" || len(dogs) == 1) && t.reg.hears.Meant(t, r, s) {
			return true
		}
	}
	if kind, _, _ := strings.Cut(r.Intent, "."); r.Slots["dog"] == "" && (kind == "fed" || kind == "treat") && read.SaysShe(s) {
		if d := TheDog(t); d != nil { // "she ate her breakfast at 10"
			slots := map[string]string{"dog": d.Name}
			maps.Copy(slots, r.Slots)
			r.Slots = slots
		}
	}
	if len(dogs) == 1 {
		t.Talk.Dog = dogs[0].ID // the sentence in full may not name it
	}
	if full := r.InFull(); full != "" {
		if of := t.RecipeNamed(r.Slots["recipe"]); of != nil {
			t.Talk.Recipe = of.ID
		}
		was := t.Event.Text
		t.Event.Text, t.typed = full, s
		if t.exact(full) {
			return true
		}
		t.Event.Text = was
	}
	return t.reg.hears.Meant(t, r, s)
}

// AsTyped is the text of the turn as it was typed, where a sentence that says
// the same was put for it.
func (t *Turn) AsTyped() string { return cmp.Or(t.typed, t.Event.Text) }

// OfDays is the same for readers of days and meals, to whom a name says neither.
func (t *Turn) OfDays() string { return DaysIn(t, read.Without("day-of-else", t.AsTyped())) }

// DaysIn is a text for such readers.
func DaysIn(t *Turn, s string) string {
	bound, _ := span.BindNames(s, t.Names())
	return bound
}

// early reports that a reading means nothing yet.
func (t *Turn) early(r read.Reading) bool {
	return len(t.Home.Dogs)+len(t.Home.Recipes) == 0 && read.In("intent:household", r.Intent)
}

// offerMeant asks which of the likeliest readings is meant.
func (t *Turn) offerMeant(st read.Statement) bool {
	some := slices.DeleteFunc(t.inFull(st.Readings, leastOffered), func(r read.Reading) bool {
		return t.early(r) || r.Intent == "dog.remove" && !read.Says("removed", st.Text) || r.Intent == "feedtimes.set" && read.Says("drops-one", st.Text)
	})
	if len(some) == 0 || len(some) == 1 && some[0].Intent == "help" {
		return false
	}
	t.vague = true
	t.keepMeant(st.Text, some)
	out := t.SayMsg("meant.which", "text", say.Short(st.Text))
	t.offerReadings(out, some)
	out.Offer(t.Button(msg("button.none-of-these"), "meant", "none", t.Talk.Meant.By))
	return true
}

// OfferNearest offers what a text that was not understood came nearest to, and
// the help.
func OfferNearest(t *Turn, out *say.Reply, s string) {
	if h := t.heard(s); len(h.Says) > 0 {
		OfferAlso(t, out, s, t.inFull(h.Says[0].Readings, 0))
	}
	out.Offer(t.Button(msg("button.help"), "help"))
}

// OfferAlso offers what a text may mean besides what was answered.
func OfferAlso(t *Turn, out *say.Reply, s string, some []read.Reading) {
	t.keepMeant(s, some)
	t.offerReadings(out, some)
}

func (t *Turn) offerReadings(out *say.Reply, some []read.Reading) {
	for i, r := range some {
		out.Offer(t.Button(t.ofSex(r.InFull()), "meant", strconv.Itoa(i), t.Talk.Meant.By))
	}
}

// inFull are the readings that a sentence says in full, each sentence once.
// Nobody is asked whether they mean that a dog died or that all is to go, or what no dog
// of the household can weigh.
func (t *Turn) inFull(all []read.Reading, least float64) (some []read.Reading) {
	labels := map[string]bool{"": true}
	for _, r := range all {
		full := r.InFull()
		if r.P < least || labels[full] || t.unlikely(r) || least == 0 && (r.Intent == "help" || read.CostOf(r.Intent) == read.Reaches) {
			continue
		}
		labels[full] = true
		some = append(some, r)
	}
	return some
}

// leastOffered is how likely a reading is that is offered (our own choice).
const leastOffered = 0.15

func (t *Turn) keepMeant(s string, some []read.Reading) {
	t.Talk.Meant = &meant{ChangeID(t.Event.ID), s, some}
}

// pressMeant does what was chosen, or takes back what was done and offers the
// other readings.
func (t *Turn) pressMeant(args []string) {
	m := t.Talk.Meant
	if Stale(t, m == nil || Arg(args, 1) != m.By) {
		return
	}
	t.Talk.Meant = nil
	switch choice := Arg(args, 0); choice {
	case "none":
		t.SayMsg("meant.none")
	case "not":
		t.undo(m.By)
		if t.Popped {
			t.offerMeant(read.Statement{Text: m.Text, Readings: m.Says})
		}
	default:
		i, err := strconv.Atoi(choice)
		if err != nil || i < 0 || i >= len(m.Says) || !t.does(m.Says[i], m.Text) {
			t.SayMsg("press.stale")
		}
	}
}

// surelyUrgent is how likely an emergency must be to be answered before what
// fits exactly (our own choice).
const surelyUrgent = 0.7

// ofLines are changes of what is in a recipe: a reason may be told with them.
var ofLines = []read.Intent{read.SetLine, read.MoreOfLine, read.LessOfLine, read.DropLine, read.AddLines}

// ToTheList is what a text says, with "to the list" where it only adds something, without
// an amount, right under the shopping list: "add bin bags".
func ToTheList(t *Turn, s string) (read.Sentence, bool) {
	is, ok := t.Understand(s)
	if first, _ := CutWord(s); strings.EqualFold(first, "add") && len(t.Offered("shop"))+len(OfferedBeside(t, "shop")) > 0 && !ok && !strings.ContainsAny(s, "0123456789") {
		named := slices.ContainsFunc(t.Home.Recipes, func(r planner.Recipe) bool { return read.HasName(s, r.Name) })
		if on, added := t.Understand(s + " to the list"); added && on.Intent == read.ShopAdd && !named {
			return on, true
		}
	}
	return is, ok
}

// OnlyBought reports that a text is the price of a food, or puts something on the
// shopping list, and nothing else, though dogs may not eat it: "onions 1.20 a kilo",
// "put dishwasher tablets on the list".
func OnlyBought(t *Turn, s string) bool {
	is, ok := ToTheList(t, s)
	if !ok || is.Intent != read.ShopAdd && (is.Intent != read.PriceTold || !read.TellsMoney(s)) {
		return false
	}
	what := cmp.Or(is.Food, is.Words)
	if _, _, dogs := DogsIn(t, what); len(dogs) > 0 {
		return false
	}
	eaten, _ := t.Understand(what)
	return eaten.Intent != read.HasEaten
}

// alarmMeant answers a text that is likely enough an emergency, though no sign
// or danger of the lists is in it; what else it may be stands under it.
func (t *Turn) alarmMeant(s string, from float64) bool {
	word, _ := CutWord(strings.ToLower(s))
	if _, command := t.reg.Commands[word]; command || strings.HasPrefix(s, "/") || t.Talk.Kind == "recipe" && strings.ContainsAny(s, "0123456789") {
		return false
	}
	if said, ok := t.Understand(s); ok && slices.Contains(ofLines, said.Intent) || OnlyBought(t, s) {
		return false // "leave out the rice, Pip won't eat it"
	}
	if n, ok := foodline.NoteText(s); ok && (n.Method || n.About != "" && t.DogNamed(n.About) == nil) {
		return false // what is wrong with its text is said where it is kept
	}
	for _, st := range t.heard(s).Says {
		if st.Urgent < from {
			continue
		}
		best := st.Readings[0]
		if !t.reg.hears.Meant(t, read.Reading{Intent: "urgent.signs"}, s) {
			continue
		}
		if read.CostOf(best.Intent) != read.Urgent {
			t.offerMeant(st)
		}
		return true
	}
	return false
}
