package bot

import (
	"strings"

	"bowlwright/bot/read"
	"bowlwright/planner"
	"bowlwright/store"
)

// urgent answers at once, whatever is open, what tells of signs or of
// something dangerous: what to do first, then what was noted. The open
// question stays, but for one that a bare yes would settle.
func (t *turn) urgent(s string) bool {
	if strings.HasPrefix(s, "/") {
		return false
	}
	a := read.AlarmIn(s, t.names())
	a.Dogs = t.dogsAskedOf(a.Dogs)
	level := a.Level
	if a.Weak || t.anyFrail(a.Dogs) {
		level = a.Frail
	}
	if a.Eaten != nil && level < read.VetNow {
		level = a.Level
	}
	if a.Alone != nil && a.Eaten == nil && t.talk.Kind == "" {
		a.Eaten, a.Packet, level = a.Alone, true, read.VetNow
	}
	switch {
	case a.Down:
		t.sayMsg("urgent.person-down")
	case a.Cry:
		t.offerNumbers(t.say(para(msg("urgent.now")), para(t.numbersText()), para(msg("urgent.cry"))))
		t.askOnDog()
	case t.isName(s) && !a.Signs:
		return false
	case a.Person:
		t.sayMsg("urgent.person")
	case a.Eaten != nil && manyLines(s) && !a.Signs:
		return false // a recipe, of which the line is refused
	case level == read.VetToday && asksBack(s) && a.Eaten == nil:
		return t.eatenUnknown(s)
	case level >= read.VetToday && t.isHealthNote(s, level):
		return false
	case level >= read.VetToday:
		t.sayAlarm(a, level, s)
		t.askOnDog()
	case a.Dose && t.talk.Kind == "" && !manyLines(s):
		no := ""
		if a.Asked != nil {
			no = dangerText(a.Asked)
		}
		t.say(para(joinParas(no, msg("medicine.no-dose"))))
	case t.newsForWords(a, s):
		t.sayWatch(a, s)
		t.askAgain()
	case t.talk.Step == "health" || t.talk.Step == "name": // which take any words
		return t.dangerAsked(s) || t.eatenUnknown(s)
	default:
		return t.eatenUnknown(s)
	}
	if t.talk.Kind == "sure" {
		t.endDialogue()
	}
	return true
}

// askOnDog asks again what was open of a dog's profile.
func (t *turn) askOnDog() {
	if t.talk.Kind == "dog" || t.talk.Kind == "dog-edit" {
		t.askAgain()
	}
}

// isName reports that a text answers the question for a dog's name: Lily and
// Raisin are dogs there.
func (t *turn) isName(s string) bool {
	return (t.talk.Kind == "dog" || t.talk.Kind == "dog-edit") && t.talk.Step == "name" && len(strings.Fields(s)) == 1
}

// isHealthNote reports that a text answers the question about a dog's health
// with an illness that it has, so that what it shows can wait for the vet that
// it has already; what cannot wait is no note.
func (t *turn) isHealthNote(s string, level read.Level) bool {
	return t.talk.Step == "health" && level < read.VetNow && len(planner.Illness(s)) > 0
}

// newsForWords reports that a text tells of a sign where a question is open
// that takes any words: "was sick this morning" is no note on health. An
// illness that a dog has is one, and so is a mild thing that is part of it.
func (t *turn) newsForWords(a read.Alarm, s string) bool {
	if t.talk.Step != "health" && (t.talk.Step != "name" || len(strings.Fields(s)) < 3) {
		return false
	}
	return a.Level == read.Watch && a.Frail > read.Watch && !a.Past && !asksBack(s) && !manyLines(s) && len(planner.Illness(s)) == 0
}

// dogsAskedOf are the dogs that are named, else the one whose health is asked
// about.
func (t *turn) dogsAskedOf(named []string) []string {
	if len(named) > 0 || t.talk.Kind != "dog-edit" || t.talk.Step != "health" {
		return named
	}
	var draft editDraft
	t.draft(&draft)
	return []string{draft.Dog}
}

// asksBack reports that a text asks what has been: "has she been sick?"
func asksBack(s string) bool {
	word, _ := cutWord(strings.ToLower(s))
	return strings.HasSuffix(s, "?") && (word == "has" || word == "did" || word == "was" || word == "when")
}

// manyLines reports that a text is a list with amounts, as a recipe is.
func manyLines(s string) bool {
	n := 0
	for line := range strings.Lines(s) {
		line = strings.TrimSpace(line)
		if line != "" && line[0] >= '0' && line[0] <= '9' {
			n++
		}
	}
	return n >= 2
}

// A dog that is older, or weighs less, is worse placed to wait (common
// practice, no source).
const (
	frailYears = 10
	frailKilos = 3
)

// anyFrail reports that one of some dogs is for a vet sooner than others;
// where none is named, any of the household.
func (t *turn) anyFrail(ids []string) bool {
	for i := range t.home.Dogs {
		d := &t.home.Dogs[i]
		if len(ids) == 0 && t.isFrail(d) {
			return true
		}
		for _, id := range ids {
			if d.ID == id && t.isFrail(d) {
				return true
			}
		}
	}
	return false
}

func (t *turn) isFrail(d *planner.Dog) bool {
	years, known := d.AgeAt(t.event.At)
	if d.StageAt(t.event.At) == planner.Puppy || known && years >= frailYears || d.Weight > 0 && d.Weight < frailKilos || d.Stage != "" {
		return true
	}
	for _, code := range planner.Illness(d.Health) {
		if code != planner.Allergy {
			return true
		}
	}
	return false
}

// sayAlarm says what to do, and notes what was told.
func (t *turn) sayAlarm(a read.Alarm, level read.Level, s string) {
	dogs := t.dogsMeant(a)
	first := msg("urgent.today")
	if level == read.VetNow {
		first = msg("urgent.now")
	}
	why := ""
	if a.Eaten != nil {
		why = msg("refuse." + a.Eaten.Key)
	}
	wait := ""
	if level == read.VetNow || a.Eaten != nil {
		wait = t.waitText(dogs, a.Packet)
	}
	rest := ""
	if a.Other {
		rest = msg("urgent.rest")
	}
	dose := ""
	if a.Dose {
		dose = msg("medicine.no-dose")
	}
	out := t.say(para(joinParas(first, why)), para(t.fasting(a, dogs, s)), para(wait), para(t.numbersText()), para(joinParas(dose, rest)))
	if !a.Stranger {
		t.noteSign(out, dogs, s, first)
	}
	t.offerNumbers(out)
}

// fastingDays is after how many days without food a dog is for its vet's word
// before it is fed up.
const fastingDays = 3

// fasting keeps a dog's food for its vet where it has eaten nothing for three
// days, and says what it gets until then.
func (t *turn) fasting(a read.Alarm, dogs []*planner.Dog, s string) string {
	if since, _, named := read.DayAsked(s, t.event.At); a.Uneaten && named && since.DaysTo(t.date()) >= fastingDays {
		a.Fasting = true
	}
	if !a.Fasting {
		return ""
	}
	var lines []string
	for _, d := range dogs {
		if d.Died.IsZero() {
			t.mutate("did.sign", dogNames(dogs))
			d.Fasting = t.event.At.UTC()
			lines = append(lines, t.gateText(*d, planner.AmountOf(*d, t.event.At)))
		}
	}
	if len(dogs) == 0 {
		lines = append(lines, msg("gate.fasting-words"))
	}
	return strings.Join(lines, "\n")
}

// waitText is the line that stands under what cannot wait; a packet is taken
// along where something was eaten.
func (t *turn) waitText(dogs []*planner.Dog, packet bool) string {
	text := msg("urgent.wait", "her", t.her(dogs))
	if packet {
		text += " " + msg("urgent.packet")
	}
	return text
}

// her is how the second line speaks of the dog.
func (t *turn) her(dogs []*planner.Dog) string {
	if len(dogs) == 1 {
		switch dogs[0].Sex {
		case planner.Female:
			return msg("urgent.her")
		case planner.Male:
			return msg("urgent.him")
		}
		return dogs[0].Name
	}
	return msg("urgent.the-dog")
}

// dogsMeant are the dogs that are named or told of together, else the only one;
// none where it is a dog of somebody else.
func (t *turn) dogsMeant(a read.Alarm) (dogs []*planner.Dog) {
	for _, id := range a.Dogs {
		if d := t.dog(id); d != nil {
			dogs = append(dogs, d)
		}
	}
	living := t.askedOf(&planner.Reminder{})
	if len(dogs) == 0 && !a.Stranger && (len(living) == 1 || a.Every || a.Both && len(living) == 2) {
		return living
	}
	return dogs
}

// noteSign enters what a dog showed or had eaten into the journal, tells the
// other carers, and asks which dog it is where that is not clear. It is news,
// and nothing of it becomes a note on health.
func (t *turn) noteSign(out *Reply, dogs []*planner.Dog, s, first string) {
	if len(t.home.Dogs) == 0 {
		return
	}
	name := msg("urgent.a-dog")
	if len(dogs) > 0 {
		name = dogNames(dogs)
	}
	t.mutate("did.sign", name)
	ids := []string{""}
	if len(dogs) > 0 {
		t.talk.Dog = dogs[0].ID
		ids = ids[:0]
		for _, d := range dogs {
			ids = append(ids, d.ID)
		}
	}
	var kept planner.Entry
	for _, id := range ids {
		e := planner.Entry{Kind: planner.SignSeen, Dog: id, Text: asTold(s)}
		if day, _, named := read.DayAsked(s, t.event.At); named && day.Before(t.date()) {
			e.Date, e.At = day, planner.Instant(day, noon, t.event.At.Location())
		}
		kept = t.note(e)
	}
	if len(dogs) == 0 {
		out.Body = append(out.Body, para(msg("sign.which", "text", short(kept.Text))))
		for i := range t.home.Dogs {
			out.offer(t.button(t.home.Dogs[i].Name, "sign", "dog", kept.ID, t.home.Dogs[i].ID))
		}
	} else {
		out.Body = append(out.Body, para(msg("sign.noted", "dog", name, "text", short(kept.Text))))
	}
	out.offer(t.undoButton())
	t.tell(t.others(), Reply{Body: []Block{para(first), para(msg("sign.told", "who", t.nameOf(t.event.Person), "dog", name, "text", short(kept.Text)))}})
}

// longestSign is how much of what was told of a sign is kept.
const longestSign = 300

// asTold is what was told of a sign, in one line.
func asTold(s string) string {
	s = strings.Join(strings.Fields(s), " ")
	if r := []rune(s); len(r) > longestSign {
		return string(r[:longestSign-1]) + "…"
	}
	return s
}

func dogNames(dogs []*planner.Dog) string {
	var names []string
	for _, d := range dogs {
		names = append(names, d.Name)
	}
	return list(names)
}

// pressSign says whose the sign is that was noted.
func (t *turn) pressSign(args []string) {
	e, ok := t.entry(arg(args, 1))
	d := t.dog(arg(args, 2))
	if arg(args, 0) != "dog" || !ok || d == nil || e.Kind != planner.SignSeen {
		t.sayMsg("press.gone")
		return
	}
	t.mutate("did.sign", d.Name)
	t.talk.Dog, e.Dog = d.ID, d.ID
	t.note(e)
	out := t.say(para(msg("sign.noted", "dog", d.Name, "text", short(e.Text))), para(t.fasting(read.AlarmIn(e.Text, t.names()), []*planner.Dog{d}, e.Text)))
	if t.isFrail(d) {
		out.Body = append([]Block{para(msg("urgent.frail", "dog", d.Name))}, out.Body...)
	}
	out.offer(t.undoButton())
	t.tell(t.others(), Reply{Body: []Block{para(msg("sign.noted", "dog", d.Name, "text", short(e.Text)))}})
}

// watchSign takes what was not understood as anything else for a mild sign, or
// a question about a food that is refused.
func (t *turn) watchSign(s string) bool {
	a := read.AlarmIn(s, t.names())
	if a.Food != nil && !manyLines(s) {
		t.sayDanger(a.Food)
		return true
	}
	if a.Level != read.Watch || asksBack(s) {
		return false
	}
	t.sayWatch(a, s)
	return true
}

// sayWatch says that something mild is to be watched, and notes it.
func (t *turn) sayWatch(a read.Alarm, s string) {
	dogs := t.dogsMeant(a)
	first := msg("urgent.watch")
	hold := ""
	var more []Button
	for _, d := range dogs {
		for _, o := range t.openMeals([]string{d.ID}) {
			more = append(more, t.dueButton(msg("button.skip-meal", "when", o.Clock.String()), "skip", o))
		}
		if tr := planner.TransitionOf(t.home, d.ID); tr != nil && !tr.Over(t.date()) {
			hold = msg("urgent.hold-switch")
			more = append(more, t.button(msg("button.transition-show"), "transition", "show", d.ID))
		}
	}
	out := t.say(para(first), para(hold))
	t.noteSign(out, dogs, s, first)
	out.offer(more...)
}

// recentSigns are what a dog showed in the last two weeks, newest first.
func (t *turn) recentSigns(d *planner.Dog) string {
	var lines []string
	for _, e := range t.signsSince(d.ID, signDays) {
		lines = append(lines, msg("sign.line", "day", t.dateText(e.Date), "text", short(e.Text), "who", t.nameOf(e.Person)))
	}
	if len(lines) == 0 {
		return ""
	}
	return msg("sign.recent") + "\n" + strings.Join(lines, "\n")
}

// signDays is for how long a sign stands on a dog's card.
const signDays = 14

func (t *turn) signsSince(dog string, days int) []planner.Entry {
	return t.entries(store.EntryQuery{Dog: dog, Kinds: []planner.EntryKind{planner.SignSeen}, From: t.event.At.AddDate(0, 0, -days), Newest: true, Limit: 5})
}

// signAside hears a mild sign in what is no answer to an open question: not in
// words that are kept as they are, nor in a line of a recipe.
func (t *turn) signAside(s string) bool {
	if t.answersFreely() {
		return false
	}
	if t.talk.Kind == "recipe" && (strings.ContainsAny(s, "0123456789") || t.foods.Find(s).Food != nil) {
		return false
	}
	return t.watchSign(s)
}
