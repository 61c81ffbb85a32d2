package urgent

import (
	"slices"
	"strings"
	"time"

	"bowlwright/bot/dogs"
	"bowlwright/bot/household"
	"bowlwright/bot/read"
	"bowlwright/bot/read/alarm"
	"bowlwright/bot/read/span"
	"bowlwright/bot/remind"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
	"bowlwright/store"
)

// pressSign says whose the sign is that was noted.
func pressSign(t *talk.Turn, args []string) {
	if talk.Arg(args, 0) == "nobody" {
		pressNobody(t, args[1:])
		return
	}
	e, ok := t.Entry(talk.Arg(args, 1))
	d := t.Dog(talk.Arg(args, 2))
	if talk.Gone(t, talk.Arg(args, 0) != "dog" || !ok || d == nil || e.Kind != planner.SignSeen) {
		return
	}
	t.Mutate("did.sign", d.Name)
	a, after := t.Alarm(e.Text), ""
	if a.Dogs = []string{d.ID}; a.Level < alarm.VetNow && a.Eaten == nil {
		after, _ = goesOnWith(t, &a, e.Text)
	}
	t.Talk.Dog, e.Dog = d.ID, d.ID
	t.Note(e)
	out := t.Say(say.Whole(say.JoinParas(say.Where(after != "", msg("urgent.now")), after)), say.Whole(msg("sign.noted", "dog", d.Name, "text", say.Short(e.Text))), say.Whole(fasting(t, a, []*planner.Dog{d}, e.Text)))
	if dogs.Frail(t, d) {
		out.Begin(msg("urgent.frail", "dog", d.Name))
	}
	out.Offer(t.UndoButton())
	t.Tell(talk.Others(t), say.Reply{Body: []say.Block{say.Whole(msg("sign.noted", "dog", d.Name, "text", say.Short(e.Text)))}})
}

// NamesSign takes a dog's bare name as the answer to "Which dog is it?", if
// this person was just asked that.
func NamesSign(t *talk.Turn, s string) bool {
	d := t.DogNamed(strings.Trim(s, " .!"))
	if d == nil {
		return false
	}
	// Several may be of the same minute.
	for _, e := range t.Entries(store.EntryQuery{Kinds: []planner.EntryKind{planner.SignSeen}, From: t.Event.At.Add(-mostAnswer), Newest: true, Limit: 5}) {
		if e.Dog == "" && e.Person == t.Event.Person {
			pressSign(t, []string{"dog", e.ID, d.ID})
			return true
		}
	}
	return false
}

// mostAnswer is for how long a bare name is taken for an answer.
const mostAnswer = 30 * time.Minute

// mostGoingOn is for how long a few words are taken to go on with an
// emergency (our own choice).
const mostGoingOn = time.Hour

// justTold reports that this person told of an emergency within the hour.
func justTold(t *talk.Turn) bool {
	e, told := lastEmergency(t)
	return told && e.Person == t.Event.Person
}

// lastEmergency is what was told last, within the hour, of what cannot wait.
func lastEmergency(t *talk.Turn) (e planner.Entry, told bool) {
	for _, e := range t.Entries(store.EntryQuery{Kinds: []planner.EntryKind{planner.SignSeen}, From: t.Event.At.Add(-mostGoingOn), Newest: true, Limit: 5}) {
		if a := t.Alarm(e.Text); a.Level == alarm.VetNow || a.Eaten != nil || a.Alone != nil {
			return e, true
		}
	}
	return e, false
}

// goesOnWith reports that a text tells of a further sign, or of a meal that was left, within
// the hour of an emergency, or within days of one of which no vet knows: it is no milder
// than that was, and of the same dog where none is named. after is what was told of it.
func goesOnWith(t *talk.Turn, a *alarm.Alarm, s string) (after string, since bool) {
	left := !a.Signs && leftMeal(t, *a, s)
	if !a.Signs && !left || a.Stranger {
		return "", false
	}
	e, told := lastEmergency(t)
	was, mild, open := t.Alarm(e.Text), a.Frail <= alarm.Watch && !left, false // an itch is no sign of it
	told = told && (len(a.Dogs) == 0 || e.Dog == "" || slices.Contains(a.Dogs, e.Dog)) && (!mild || was.Poisoned() || len(a.Dogs) == 0)
	if !told && !mild {
		if e, open = poisonOf(t, *a); !open {
			_, e, _ = openOf(t, *a)
			open = e.ID != "" && !t.Alarm(e.Text).Held()
		}
	}
	if !told && !open {
		return "", false
	}
	if of := talk.TalkedOf(t); len(a.Dogs) == 0 && !a.Both && !a.Every && e.Dog != "" && (told || of == nil || of.ID == e.Dog) {
		a.Dogs = []string{e.Dog}
	}
	a.Took = a.Took || t.Alarm(e.Text).Took
	if open && e.Text != asTold(s) {
		after = msg("urgent.after", "eaten", toldWhen(t, e, say.Short(e.Text)))
	}
	return after, true
}

// leftMeal reports that a text tells that a dog left some of its meal: after an emergency
// that is a sign.
func leftMeal(t *talk.Turn, a alarm.Alarm, s string) bool {
	is, ok := t.Understand(s)
	return (ok && is.Intent == read.AtePart && is.Grams == 0 || !read.IsQuestion(s) && read.Says("meal-left", s)) && a.Level < alarm.VetToday && t.Talk.Kind == ""
}

// toldOf are the dogs that are named, else all.
func toldOf(t *talk.Turn, a alarm.Alarm) []*planner.Dog {
	return slices.DeleteFunc(t.Dogs(), func(d *planner.Dog) bool { return len(a.Dogs) > 0 && !slices.Contains(a.Dogs, d.ID) })
}

// openOf is the first of them that, in the last days, ate what may still harm it, or showed
// that for which a vet was to be called at once, and of which no vet knows; nil if there is
// none.
func openOf(t *talk.Turn, a alarm.Alarm) (d *planner.Dog, e planner.Entry, ate bool) {
	for _, d := range toldOf(t, a) {
		e, level := dogs.WorstSign(t, d, dogs.PoisonDays)
		if poison, ate := dogs.Poison(t, d); level >= alarm.VetNow && ate {
			return d, poison, true
		}
		if level >= alarm.VetNow {
			return d, e, false
		}
	}
	return nil, e, false
}

// poisonOf is what one of the dogs that are named, else of all, ate in the last
// days that may still harm it.
func poisonOf(t *talk.Turn, a alarm.Alarm) (planner.Entry, bool) {
	if len(t.Home.Dogs) == 0 {
		return dogs.Poison(t, &planner.Dog{})
	}
	for _, d := range toldOf(t, a) {
		if e, ate := dogs.Poison(t, d); ate {
			return e, true
		}
	}
	return planner.Entry{}, false
}

// cleared takes that all is well. A vet's word is kept beside what a dog ate or showed, so
// that it is no longer warned of.
func cleared(t *talk.Turn, a alarm.Alarm, s string) bool {
	of := slices.DeleteFunc(toldOf(t, a), func(d *planner.Dog) bool {
		_, level := dogs.WorstSign(t, d, dogs.PoisonDays)
		_, ate := dogs.Poison(t, d)
		return level < alarm.VetNow && !ate
	})
	_, ate := poisonOf(t, a)
	_, said := t.Understand(s)
	if short := len(strings.Fields(s)) <= mostCalming && !strings.ContainsAny(strings.TrimRight(s, " .!"), "0123456789?.\n"); !a.Cleared && !ate && (!a.ByVet || len(of) == 0 && (!short || said)) {
		return false
	}
	if !ate && len(of) == 0 && dogs.SayWell(t, a.Dogs, s) {
		return true
	}
	if out := t.SayMsg("urgent.well"); (ate || len(of) > 0) && a.ByVet {
		if len(a.Dogs) == 0 && !a.Both && !a.Every {
			of = theOneSeen(t, of, "") // "she says it's nothing" is the vet
		}
		noteSign(t, out, of, s, msg("urgent.well"))
	}
	return true
}

// ofSame takes what is no more than named for what a dog is known to have eaten:
// "it was only two raisins"; and some of a dish for that which another had, with what was
// in it: "he got a little broth", the day after onion soup. after says of what it was.
func ofSame(t *talk.Turn, a *alarm.Alarm, s string) (after string) {
	if dish := func(s string) bool { return read.Says("of-dish", s) && len(span.Mentions(s, t.Names().Recipes)) == 0 }; a.Eaten == nil && a.HadPot && !a.Denied && dish(s) {
		e, ate := poisonOf(t, alarm.Alarm{})
		if was := t.Alarm(e.Text); ate && was.Eaten != nil && dish(e.Text) {
			a.Eaten, a.Also, a.Took, a.Level, a.Frail = was.Eaten, was.Also, true, was.Level, was.Frail
			return msg("urgent.after", "eaten", toldWhen(t, e, say.Short(e.Text)))
		}
	}
	if a.Eaten == nil || !a.Bare && !a.Calms || len(a.Dogs) > 0 || a.Both || a.Every || a.Stranger {
		return ""
	}
	if e, ate := poisonOf(t, *a); ate && e.Dog != "" {
		if was := t.Alarm(e.Text); was.Eaten != nil && was.Eaten.Key == a.Eaten.Key {
			a.Dogs = []string{e.Dog}
		}
	}
	return ""
}

// mostCalming is how many words are taken to be no more than that all is well, or
// whether it can wait (our own choice).
const mostCalming = 16

// staysUrgent does not let a dog that seems well take back what it ate in the last
// days, or that for which a vet was to be called at once, of which no vet knows:
// signs come late, and what has passed has not gone.
func staysUrgent(t *talk.Turn, a alarm.Alarm, s string) bool {
	if _, grams := read.AmountOff(s); grams > 0 || a.Stranger || a.Other || len(strings.Fields(s)) > mostCalming {
		return false // "1 kg thigh without skin" calms nobody
	}
	d, e, ate := openOf(t, a)
	if d == nil || len(a.Dogs) == 0 && !talk.MayBe(d, read.SexSaid(s)) {
		return false
	}
	was := toldWhen(t, e, say.Short(e.Text))
	t.Talk.Dog = d.ID
	t.Say(say.Whole(msg("urgent.now")), say.Whole(say.Choose(ate, msg("urgent.late", "eaten", was), msg("urgent.passed", "eaten", was))), say.Whole(household.NumbersText(t))).Offer(dogs.HoldButtons(t, d, nil)...)
	return true
}

// vetTold notes that a vet has seen a dog, with all that was told of it: the one that
// is named, else those of which it was not known. Signs told beside it are news. A dog
// that the vet keeps is waited for until it is home.
func vetTold(t *talk.Turn, a alarm.Alarm, s string) bool {
	if a.Level >= alarm.VetToday && a.Eaten == nil && !a.Held() || a.Stranger {
		return false
	}
	if is, ok := t.Understand(s); ok && !a.Held() && !a.Home && is.Intent != read.CanEat && is.Intent != read.ShopGot {
		return false // it says more, or is asked when
	}
	for _, clause := range read.Clauses(strings.ReplaceAll(s, ". ", ", ")) { // "Fia's ear is raw and Murph's bloods are back fine"
		if of := t.Alarm(clause); !of.Seen && len(strings.Fields(clause)) > 2 && len(of.Dogs) < len(a.Dogs) {
			a.Dogs = slices.DeleteFunc(slices.Clone(a.Dogs), func(id string) bool { return slices.Contains(of.Dogs, id) })
		}
	}
	seen := dogsMeant(t, a)
	if len(a.Dogs) == 0 {
		seen = slices.DeleteFunc(t.Dogs(), func(d *planner.Dog) bool { return len(dogs.UnseenSigns(t, d, dogs.HeldDays)) == 0 })
		if !a.Both && !a.Every {
			seen = theOneSeen(t, seen, s)
		}
	}
	if d := talk.TheDog(t); a.Held() {
		if len(seen) == 0 && d != nil {
			seen = []*planner.Dog{d}
		}
		name := namesOf(seen, msg("urgent.the-dog"))
		first := msg(say.Choose(a.Stays, "urgent.vet-keeps", "urgent.vet-fasts"), append(dogs.FastWords(t, name, s, t.Event.At), "dog", name)...)
		diabetic := say.LinesOf(seen, func(d *planner.Dog) string { return dogs.Diabetic(t, d) })
		noteSign(t, t.Say(say.Whole(say.JoinParas(first, diabetic))), seen, s, first)
		return true
	} else if !a.Seen {
		seen = slices.DeleteFunc(seen, func(d *planner.Dog) bool { return !a.Home || !dogs.HeldByVet(t, d).Held() })
	}
	for _, d := range seen {
		if e, ate := dogs.Poison(t, d); a.Eaten != nil && !(ate && t.Alarm(e.Text).Eats(a.Eaten.Key)) {
			return false
		}
	}
	for _, d := range seen {
		t.GoTo(read.Sentence{Intent: read.VetSaw, Dog: d.ID, Words: asTold(s)})
		dogs.NoteFound(t, d, s)
	}
	if t.Picked = t.Picked || len(seen) == 1; len(seen) > 0 {
		besides(t, a, s)
	}
	if len(seen) > 0 && remind.Orders(t, s) {
		return true
	}
	for i, clause := range read.Clauses(strings.ReplaceAll(s, ". ", ", ")) {
		switch rests := func() bool { return remind.PauseWords(t, clause) }; { // "and no carprofen until Thursday"
		case i == 0 || len(seen) == 0 || t.As(clause, rests):
		case read.BeginsQuestion(clause) || recordsBeside(t, clause):
			t.Aside(clause)
		case alarm.NamesMedicine(clause) && read.Find("no-dose", clause) == "":
			t.Unused(clause)
		}
	}
	return len(seen) > 0
}

// recordsBeside reports that a clause beside a vet's visit says something to be recorded
// that is no finding of the vet's: "take Nell off the stew".
func recordsBeside(t *talk.Turn, clause string) bool {
	said := t.Unasked(clause)
	if len(said) != 1 || said[0].Do != read.Act || len(strings.Fields(clause)) < 3 {
		return false
	}
	best := said[0].Readings[0].Intent
	return slices.Contains([]string{"recipe.use", "switch.set"}, best)
}

// theOneSeen are those of the dogs with something open that a vet saw, where no dog is
// named: the one that "him" fits, else the one whose danger was told of last. Several are
// meant only where they share a note.
func theOneSeen(t *talk.Turn, open []*planner.Dog, s string) []*planner.Dog {
	sex := read.SexSaid(s)
	unfit := func(d *planner.Dog) bool { return !talk.MayBe(d, sex) }
	fits := slices.DeleteFunc(slices.Clone(open), unfit)
	if living := slices.DeleteFunc(dogs.AskedOf(t, &planner.Reminder{}), unfit); len(fits) == 0 && len(living) == 1 {
		fits = living
	}
	if len(fits) == 0 {
		fits = open
	}
	if len(fits) < 2 {
		return fits
	}
	worst := func(d *planner.Dog) planner.Entry {
		if e, level := dogs.WorstSign(t, d, dogs.PoisonDays); level == alarm.VetNow {
			return e
		}
		e := dogs.UnseenSigns(t, d, dogs.HeldDays)[0]
		e.At = e.At.AddDate(0, 0, -toldDays) // after what is dangerous
		return e
	}
	last := slices.MaxFunc(fits, func(a, b *planner.Dog) int { return worst(a).At.Compare(worst(b).At) })
	e := worst(last)
	return slices.DeleteFunc(fits, func(d *planner.Dog) bool { return d != last && (e.Dog != "" || worst(d).ID != e.ID) })
}

// longestSign is how much of what was told of a sign is kept.
const longestSign = 300

// asTold is what was told of a sign, in one line.
func asTold(s string) string {
	return say.Cut(strings.Join(strings.Fields(s), " "), longestSign)
}

// staysOpen answers again what was told of a poisoning within the hour where no dog is
// kept yet, so that what is said next is not taken for the beginning of a profile.
func staysOpen(t *talk.Turn, a alarm.Alarm, s string) bool {
	if len(t.Home.Dogs) > 0 || t.Talk.Kind != "" || read.Says("many-lines", s) || !justTold(t) {
		return false
	}
	e, ate := poisonOf(t, a)
	if !ate {
		return false
	}
	same, other := false, false // whether it asks about what was eaten, or what was not
	for _, asked := range []*alarm.Danger{a.Asked, a.Food} {
		if was := t.Alarm(e.Text).Eaten; asked != nil {
			same, other = was != nil && was.Key == asked.Key, true
		}
	}
	is, exact := t.Understand(s)
	d, _ := read.DogLine(s, t.Home.Units, t.Event.At)
	likely := talk.Likeliest(t, s).Intent
	if !same && (other || exact && !read.In("intent:household", string(is.Intent)) || d.Name != "" && d.Weight > 0 || strings.HasPrefix(likely, "chat.") && !a.Calms) {
		return false
	}
	t.Say(say.Whole(msg("urgent.now")), say.Whole(msg("urgent.late", "eaten", toldWhen(t, e, say.Short(e.Text)))), say.Whole(msg("urgent.fed-by-vet")), say.Whole(household.NumbersText(t)))
	return true
}

// givesMedicine reports that a dog of the household is given a medicine.
func givesMedicine(t *talk.Turn) bool {
	return slices.ContainsFunc(t.Home.Reminders, func(r planner.Reminder) bool { return read.Says("medicine", r.Text) || alarm.NamesMedicine(r.Text) })
}

// mostWordsOn is how many words are taken to go on with a sign just told of,
// where they name no dog (our own choice).
const mostWordsOn = 6

// goOn hears a sign told in a few words together with what this person told of
// just before, for the same dog: "vomited once", then "blood in it".
func goOn(t *talk.Turn, a *alarm.Alarm, s string) {
	if !a.Signs || !a.More || len(a.Dogs) > 0 || a.Both || a.Every || a.Stranger || len(strings.Fields(s)) > mostWordsOn {
		return
	}
	for _, e := range t.Entries(store.EntryQuery{Kinds: []planner.EntryKind{planner.SignSeen}, From: t.Event.At.Add(-mostAnswer), Newest: true, Limit: 5}) {
		if e.Person != t.Event.Person || e.Dog == "" {
			continue
		}
		both := t.Alarm(e.Text + ", " + s)
		a.Level, a.Frail = max(a.Level, both.Level), max(a.Frail, both.Frail)
		a.Dogs, a.Weak, a.Cry = []string{e.Dog}, a.Weak || both.Weak, false
		return
	}
}
