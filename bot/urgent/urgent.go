package urgent

import (
	"cmp"
	"slices"
	"strings"

	"bowlwright/bot/dogs"
	"bowlwright/bot/household"
	"bowlwright/bot/menu"
	"bowlwright/bot/read"
	"bowlwright/bot/read/alarm"
	"bowlwright/bot/recipes"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
	"bowlwright/planner/illness"
)

// Urgent answers at once, whatever question is open, a text about signs or
// something dangerous: first what to do, then what was noted. The open question
// stays, unless a bare yes would settle it.
func Urgent(t *talk.Turn, s string) bool {
	if strings.HasPrefix(s, "/") || talk.OnlyBought(t, s) {
		return false
	}
	a := heard(t, s)
	if a.Signs && read.Says("asks-noted", s) {
		t.GoTo(read.Sentence{Intent: read.ShowSigns, Dog: strings.Join(a.Dogs[:min(len(a.Dogs), 1)], "")})
		return true
	}
	if is, ok := t.Understand(s); ok && is.Intent == read.ShowNumbers && !a.Signs && a.Eaten == nil { // "emergency numbers"
		if !household.NumberBeside(t, s) { // "put the vet number in, 614 555 0148"
			t.GoTo(is)
		}
		return true
	}
	s = afterAsking(t, &a, s)
	goOn(t, &a, s)
	same := ofSame(t, &a, s)
	level := a.Level
	if a.Weak || slices.ContainsFunc(toldOf(t, a), func(d *planner.Dog) bool { return dogs.Frail(t, d) }) { // whose dog isn't clear is for the frailest
		level = a.Frail
	}
	if a.Eaten != nil && level < alarm.VetNow {
		level = a.Level
	}
	if a.Alone != nil && a.Eaten == nil && t.Talk.Kind == "" {
		a.Eaten, a.Packet, a.Took, level = a.Alone, true, true, alarm.VetNow
	}
	after, since := goesOnWith(t, &a, s)
	if since || a.Twice && givesMedicine(t) || level == alarm.VetToday && a.Signs && !a.Packet && slices.ContainsFunc(dogsMeant(t, a), func(d *planner.Dog) bool { return cannotWait(t, d, a) }) {
		level = alarm.VetNow
	}
	switch {
	case a.Down:
		t.SayMsg("urgent.person-down")
	case level < alarm.VetNow && read.Says("asks-fast", s):
		t.SayMsg("urgent.unfed-op", "dog", namesOf(dogsMeant(t, a), msg("urgent.the-dog")))
	case overdosed(t, a, s):
	case potTold(t, a, s):
	case t.Talk.Kind == "" && otherDogs(t, a, s):
	case (t.Talk.Kind == "" || a.Wrong && read.Says("taken-off", s)) && nobodyAte(t, a, s):
		told := slices.DeleteFunc(read.SentencesOf(s), func(part string) bool { return read.Says("taken-off", part) }) // the sign is named in it
		rest := read.Without("not-eaten", read.Without("taken-aback", strings.Join(told, ". ")))
		if b := t.Alarm(rest); b.Level == alarm.Watch && len(b.Dogs)+len(t.Talk.Dog) > 0 { // "no tablets. his tummy is a bit funny, that's all"
			b.Dogs = append(b.Dogs, t.Talk.Dog)[:max(len(b.Dogs), 1)]
			sayWatch(t, b, signTold(t, rest))
		}
	case a.Wrong && read.Says("taken-off", s):
		return false
	case (a.Seen && t.Talk.Kind == "" || a.Held() || a.Home) && vetTold(t, a, s):
		if t.Talk.Kind != "" {
			t.AskAgain()
		}
	case (a.Cry || a.Calms && level < alarm.VetToday && a.Eaten == nil) && !a.Seen && !read.Says("undo-that", s) && staysUrgent(t, a, s):
	case a.NamesPassed() && a.Eaten == nil && !a.Seen && t.Talk.Kind == "" && !read.IsQuestion(s) && dogs.SayWell(t, a.Dogs, s):
		for _, part := range read.Clauses(s) {
			if p := t.Alarm(part); !p.NamesPassed() {
				talk.Sentence(t, part)
			}
		}
	case a.Cry:
		household.OfferNumbers(t, t.Say(say.Whole(msg("urgent.now")), say.Whole(household.NumbersText(t)), say.Whole(msg("urgent.cry"))))
		askOnDog(t)
	case (a.Cleared || a.ByVet) && (t.Talk.Kind == "" || len(t.Home.Dogs) == 0) && cleared(t, a, s):
	case household.BareNumber(t, s):
	case strings.HasPrefix(t.Talk.Kind, "dog") && t.Talk.Step == "name" && len(strings.Fields(s)) == 1 && !a.Signs:
		return false // Lily and Raisin are dogs there
	case a.GoesOn && level < alarm.VetToday && a.Eaten == nil && t.Talk.Kind == "" && justTold(t):
		t.Say(say.Whole(msg("urgent.now")), say.Whole(household.NumbersText(t)), say.Whole(msg("urgent.tell-them")))
	case level < alarm.VetToday && a.Eaten == nil && staysOpen(t, a, s):
	case a.Person:
		t.SayMsg("urgent.person")
	case a.Eaten != nil && a.Bare && !a.Signs && (onList(t, a, s) || isProfile(t, s)):
		return false
	case level == alarm.VetToday && t.Talk.Step == "health" && len(illness.In(s)) > 0:
		return false // what an illness shows that it has can wait for the vet that it has
	case level < alarm.VetNow && a.Level == alarm.Watch && t.Talk.Kind == "" && leaves(t, a, s):
	case level >= alarm.VetToday:
		sayAlarm(t, a, level, s, cmp.Or(after, same))
		if besides(t, a, s); since && leftMeal(t, a, s) {
			talk.Sentence(t, s)
		}
		askOnDog(t)
	case a.Doubling && t.Talk.Kind == "" && !read.Says("many-lines", s):
		t.Say(say.Whole(msg("medicine.no-two")))
	case a.Dose && t.Talk.Kind == "" && !read.Says("many-lines", s) && read.Without("moved", s) == s:
		no := ""
		if a.Asked != nil {
			no = recipes.DangerText(a.Asked)
		}
		t.Say(say.Whole(say.JoinParas(no, msg("medicine.no-dose"))))
	case newsForWords(t, a, s):
		sayWatch(t, a, s)
		t.AskAgain()
	case t.Talk.Step == "health" || t.Talk.Step == "name": // which take any words
		return DangerAsked(t, s) || eatenUnknown(t, s)
	default:
		return eatenUnknown(t, s)
	}
	household.NumberBeside(t, s)
	t.EndIf("sure")
	return true
}

// afterAsking takes something eaten, of which it is not said what, for the danger that was
// asked about just before: "is paracetamol ok?", "he already ate half a tablet". It is
// noted with that name, by which the note is read later.
func afterAsking(t *talk.Turn, a *alarm.Alarm, s string) string {
	was := t.Talk.Query
	if was == nil || a.Eaten != nil || read.IsQuestion(s) || !read.Says("had-that", s) || t.Event.At.Sub(was.At) > mostGoingOn {
		return s
	}
	before := t.Alarm(was.Text)
	if asked := cmp.Or(before.Asked, before.Food); asked != nil {
		a.Eaten, a.Level, a.Frail = asked, alarm.VetNow, alarm.VetNow
		if len(a.Dogs) == 0 {
			a.Dogs = before.Dogs
		}
		s = strings.TrimRight(s, " .!") + " (" + asked.Name + ")"
	}
	return s
}

// askOnDog asks again what was open of a dog's profile.
func askOnDog(t *talk.Turn) {
	if t.Talk.Kind == "dog" || t.Talk.Kind == "dog-edit" {
		t.AskAgain()
	}
}

// onList reports that a text goes on with the shopping list that was said last, or is a
// line of the recipe that is typed.
func onList(t *talk.Turn, a alarm.Alarm, s string) bool {
	return a.Adds && len(t.Offered("shop")) > 0 || t.Talk.Kind == "recipe" && read.FromAmount(s) == s
}

// isProfile reports that a text is a line about a dog, with a medicine that it may
// have of a vet.
func isProfile(t *talk.Turn, s string) bool {
	d, _ := read.DogLine(strings.TrimPrefix(strings.TrimPrefix(s, "dog "), "Dog "), t.Home.Units, t.Event.At)
	return d.Name != "" && d.Weight > 0 && len(illness.In(s)) > 0
}

// newsForWords reports that a text tells of a sign while the open question
// takes any words: "was sick this morning" is no note on health. An illness
// that a dog has is one, and so is a mild thing that is part of it.
func newsForWords(t *talk.Turn, a alarm.Alarm, s string) bool {
	if t.Talk.Step != "health" && (t.Talk.Step != "name" || len(strings.Fields(s)) < 3) {
		return false
	}
	return a.Level == alarm.Watch && a.Frail > alarm.Watch && !a.Past && !read.Says("asks-back", s) && !read.Says("many-lines", s) && len(illness.In(s)) == 0
}

// A puppy goes without food less long than others (common practice, no source).
const infantYears = 1.0 / 3

// cannotWait reports that what is for the vet today is for now: a small puppy eats
// nothing, or a frail dog showed something else in the last day.
func cannotWait(t *talk.Turn, d *planner.Dog, a alarm.Alarm) bool {
	years, known := d.AgeAt(t.Event.At)
	_, before := dogs.WorstSign(t, d, 1)
	return a.Uneaten && known && years < infantYears || dogs.Frail(t, d) && before >= alarm.VetToday
}

// sayAlarm says what to do, what was told before it that it comes after, and notes
// what was told.
func sayAlarm(t *talk.Turn, a alarm.Alarm, level alarm.Level, s, after string) {
	dogs := dogsMeant(t, a)
	first := say.Choose(level == alarm.VetNow, msg("urgent.now"), msg("urgent.today"))
	why := ""
	switch {
	case a.Eaten != nil:
		why = whyText(a)
	case a.Asked != nil: // "he's limping, can he have ibuprofen?"
		why = recipes.DangerText(a.Asked)
	}
	wait := say.Where(level == alarm.VetNow || a.Eaten != nil, waitText(t, dogs, a))
	chilled := say.Where(a.Chilled, msg("urgent.chilled"))
	rest := say.Where(a.Other && len(read.SentencesOf(s)) < 2, msg("urgent.rest"))
	dose := say.JoinParas(say.Where(a.Doubling, msg("medicine.no-two")), say.Where(a.Dose, msg("medicine.no-dose")))
	out := t.Say(say.Whole(say.JoinParas(first, why, after, chilled)), say.Whole(fasting(t, a, dogs, s)), say.Whole(wait), say.Whole(household.NumbersText(t)), say.Whole(say.JoinParas(dose, rest)))
	note(t, out, a, dogs, s, first)
	household.OfferNumbers(t, out)
}

// fastingDays is after how many days without food a dog is for its vet's word
// before it is fed up.
const fastingDays = 3

// fasting keeps a dog's food for its vet where it has eaten nothing for three
// days, and says what it gets until then.
func fasting(t *talk.Turn, a alarm.Alarm, dogs_ []*planner.Dog, s string) string {
	if since, _, named := read.DayAsked(talk.DaysIn(t, s), t.Event.At); a.Uneaten && named && since.DaysTo(t.Date()) >= fastingDays {
		a.Fasting = true
	}
	if !a.Fasting {
		return ""
	}
	var lines []string
	for _, d := range dogs_ {
		if d.Died.IsZero() {
			t.Mutate("did.sign", talk.NamesOf(dogs_))
			d.Fasting = t.Event.At.UTC()
			lines = append(lines, dogs.GateText(*d, planner.AmountOf(*d, t.Event.At)))
		}
	}
	if len(dogs_) == 0 {
		lines = append(lines, msg("gate.fasting-words"))
	}
	return strings.Join(lines, "\n")
}

// dogsMeant are the dogs that are named or told of together, else the only one;
// none where it is a dog of somebody else.
func dogsMeant(t *talk.Turn, a alarm.Alarm) (dogs_ []*planner.Dog) {
	for _, id := range a.Dogs {
		if d := t.Dog(id); d != nil {
			dogs_ = append(dogs_, d)
		}
	}
	if d := talk.TheDog(t); len(dogs_) == 0 && t.Talk.Dog != "" && d != nil && len(t.Replies) > 0 && read.SaysShe(t.Event.Text) {
		return []*planner.Dog{d} // "just rice for Nell today, she had the runs"; no "he" is Nell
	}
	living := dogs.AskedOf(t, &planner.Reminder{})
	if len(dogs_) == 0 && !a.Stranger && (len(living) == 1 || a.Every || a.Both && len(living) == 2) {
		return living
	}
	return dogs_
}

// namesOf are the names of some dogs, or what stands for them where it is not clear whose
// the matter is.
func namesOf(dogs []*planner.Dog, nobody string) string {
	if len(dogs) == 0 {
		return nobody
	}
	return talk.NamesOf(dogs)
}

// note notes what was told, but for a dog that is none of the household.
func note(t *talk.Turn, out *say.Reply, a alarm.Alarm, dogs []*planner.Dog, s, first string) {
	switch {
	case a.Unknown != "":
		out.Add(msg("sign.unknown", "name", say.Capital(a.Unknown))).Offer(t.Button(msg("button.add-dog"), "dog", "add"))
	case !a.Stranger:
		noteSign(t, out, dogs, s, first)
	}
}

// noteSign enters into the journal what a dog showed or ate, tells the other
// carers, and asks which dog it is if that is not clear. It is news: none of it
// becomes a note on health.
func noteSign(t *talk.Turn, out *say.Reply, dogs []*planner.Dog, s, first string) {
	if len(t.Home.Dogs) == 0 { // what is said next may go on with it
		t.Note(planner.Entry{Kind: planner.SignSeen, Text: asTold(s)})
		return
	}
	name := namesOf(dogs, msg("urgent.a-dog"))
	t.Mutate("did.sign", name)
	s = signTold(t, s)
	ids := []string{""}
	if len(dogs) > 0 {
		t.Talk.Dog = dogs[0].ID
		ids = ids[:0]
		for _, d := range dogs {
			ids = append(ids, d.ID)
		}
	}
	var kept planner.Entry
	for _, id := range ids {
		e := planner.Entry{Kind: planner.SignSeen, Dog: id, Text: asTold(s)}
		if day, _, named := read.DayAsked(talk.DaysIn(t, s), t.Event.At); named && day.Before(t.Date()) && !t.Alarm(s).Held() { // "in till Monday" is still to come
			e.Date, e.At = day, planner.Instant(day, say.Noon, t.Event.At.Location())
		}
		kept = t.Note(e)
	}
	if len(dogs) == 0 {
		out.Add(msg("sign.which", "text", say.Short(kept.Text)))
		for i := range t.Home.Dogs {
			out.Offer(t.Button(t.Home.Dogs[i].Name, "sign", "dog", kept.ID, t.Home.Dogs[i].ID))
		}
	} else {
		out.Add(msg("sign.noted", "dog", name, "text", say.Short(kept.Text)))
	}
	menu.HoldForSign(t, out, dogs)
	offerWithout(t, out, dogs, s)
	out.Offer(t.UndoButton())
	t.Tell(talk.Others(t), say.Reply{Body: []say.Block{say.Whole(first), say.Whole(msg("sign.told", "who", talk.NameOf(t, t.Event.Person), "dog", name, "text", say.Short(kept.Text)))}})
}
