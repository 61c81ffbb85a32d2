package urgent

import (
	"cmp"
	"slices"
	"strings"

	"bowlwright/bot/day"
	"bowlwright/bot/dogs"
	"bowlwright/bot/household"
	"bowlwright/bot/read"
	"bowlwright/bot/read/alarm"
	"bowlwright/bot/read/span"
	"bowlwright/bot/recipes"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/store"
)

// offerWithout offers to leave out for good what is blamed for a sign: that a carer
// thinks so is enough to give none of it.
func offerWithout(t *talk.Turn, out *say.Reply, of []*planner.Dog, s string) {
	if len(of) != 1 || !read.Says("blames", s) || t.Alarm(s).Took {
		return
	}
	var foods []string
	if reason := strings.ToLower(read.Find("food-reason", s)); len(t.Foods.Find(reason).Choices) > 0 {
		foods = append(foods, reason)
	}
	for _, w := range span.SplitWords(talk.WithoutDogs(t, s)) {
		if nutrition.NamesKind(w.Text) && !read.In("not-blamed", w.Text) {
			foods = append(foods, w.Text)
		}
	}
	if foods = slices.DeleteFunc(foods, func(w string) bool { return slices.Contains(of[0].Excludes, w) }); len(foods) > 0 {
		out.Offer(t.Button(msg("button.without", "food", foods[0], "dog", of[0].Name), "dog", "without", of[0].ID, foods[0]))
	}
}

// WatchSign takes what nothing else understood as a mild sign, or as a question
// about a food that is refused.
func WatchSign(t *talk.Turn, s string) bool {
	a := heard(t, s)
	if a.Food != nil && !read.Says("many-lines", s) {
		sayAsked(t, a.Food, a.Also, s)
		return true
	}
	asks := read.Says("asks-cause", s) // "is banana why his poo was soft?"
	if !asks && (a.Level != alarm.Watch || read.Says("asks-back", s)) {
		return false
	}
	if asks || read.Says("asks-usual", s) && len(a.Dogs) == 0 && !read.SaysShe(s) { // "is farting normal"
		t.SayMsg("urgent.for-vet")
		return true
	}
	if a.Uneaten && read.Says("take-off", s) && day.TakeOff(t, dogsMeant(t, a)) {
		return true
	}
	clauses := read.Clauses(s)
	if len(clauses) > 1 && len(a.Dogs) < 2 && len(weights(t, clauses[0])) == 0 && read.Find("weight-beside", strings.ToLower(clauses[0])) == "" {
		first := clauses[0]
		if !say.HasLetters(talk.WithoutDogs(t, first)) { // "Fern and Nala ate, Pip threw his up"
			first = t.Unasked(s)[0].Text
		}
		done := t.As(first, func() bool { return talk.Sentence(t, first) || dogs.HealthAside(t, first) })
		if done && read.Says("food-reason", s) { // "no chicken for Nell, it gives her wind"
			return true
		}
	}
	sayWatch(t, a, s)
	rest, _ := read.OtherAsked(s)
	if is, ok := t.Understand(rest); rest != s && ok && is.Intent == read.EatsOther {
		t.GoTo(is) // "only rice today for Nell because she has been sick"
	}
	besides(t, a, s)
	if last := clauses[max(len(clauses)-1, 0):]; len(clauses) > 1 && read.BeginsQuestion(last[0]) {
		talk.Sentence(t, last[0]) // "he is always hungry, is he getting enough"
	}
	return true
}

// sayWatch says that something mild is to be watched, and notes it.
func sayWatch(t *talk.Turn, a alarm.Alarm, s string) {
	if told := signTold(t, s); len(a.Dogs) > 1 && told != s { // "that was just gas, he's fine. daisy had hers too"
		sex := read.SexSaid(told)
		a.Dogs = slices.DeleteFunc(slices.Clone(a.Dogs), func(id string) bool {
			d := t.Dog(id)
			return len(t.Alarm(told).Dogs) > 0 && !slices.Contains(t.Alarm(told).Dogs, id) || d != nil && !talk.MayBe(d, sex)
		})
	}
	of := dogsMeant(t, a)
	if a.Passed && dogs.SayWell(t, a.Dogs, signTold(t, s)) || sameSign(t, a, of, s) {
		return
	}
	first := msg(say.Choose(read.Says("two-days", s), "urgent.watched", "urgent.watch"))
	if a.Passed {
		first = msg("urgent.watch-passed")
	}
	var more []say.Button
	for _, d := range of {
		if _, before := dogs.WorstSign(t, d, 1); before >= alarm.VetToday && a.Frail > alarm.Watch {
			first = msg("urgent.today")
		}
		for _, o := range day.OpenMeals(t, []string{d.ID}) {
			more = append(more, talk.DueButton(t, msg("button.skip-meal", "when", o.Clock.String()), "skip", o))
		}
	}
	out := t.Say(say.Whole(first))
	note(t, out, a, of, s, first)
	out.Offer(more...)
}

// sameSign adds to a sign that was noted of a dog that it is less now, or what is told of it
// within the hour, which is news of it and no other sign.
func sameSign(t *talk.Turn, a alarm.Alarm, of []*planner.Dog, s string) bool {
	if len(of) != 1 {
		return false
	}
	signs := dogs.UnseenSigns(t, of[0], toldDays)
	if len(signs) == 0 || t.Alarm(signs[0].Text).Level != alarm.Watch {
		return false
	}
	e, less := signs[0], read.Says("eases", s) && !read.Says("eases-not", s)
	if !less && (e.Dog == "" || !a.Renews(e.Text) || t.Event.At.Sub(e.Entered) > mostGoingOn || read.Says("comes-again", s)) {
		return false
	}
	out := t.Say(say.Whole(msg(say.Choose(less, "urgent.eased", "urgent.same"), "told", toldWhen(t, signs[0], say.Short(signs[0].Text)))))
	if !strings.Contains(e.Text, asTold(s)) {
		t.Mutate("did.sign", of[0].Name)
		e.Text = asTold(e.Text + "; " + talk.DayOf(t, t.Date()) + ": " + s)
		t.Note(e)
		out.Offer(t.UndoButton())
	}
	return true
}

// SignAside hears a mild sign in what is no answer to an open question: not in
// words that are kept as they are, nor in a line of a recipe.
func SignAside(t *talk.Turn, s string) bool {
	if talk.AnswersFreely(t) {
		return false
	}
	if t.Talk.Kind == "recipe" && (strings.ContainsAny(s, "0123456789") || t.Foods.Find(s).Food != nil) {
		return false
	}
	return WatchSign(t, s)
}

// Tell answers what is taken for an emergency though no sign or danger is known
// by its words.
func Tell(t *talk.Turn, s string) bool {
	a := t.Alarm(s)
	if a.Denied || a.Past || a.Habit || a.Person || a.Wrong || a.Bare && onList(t, a, s) {
		return false
	}
	if !a.Signs && a.Eaten == nil && read.Says("gives-told", s) && (read.Says("dog-food", s) || len(whoseMedicine(t, s)) > 0) {
		return false // its own food, or its own medicine
	}
	if a.HadPot && a.Food != nil && len(a.Dogs) > 0 { // of what it is in: "a pot with onion, and gave Pip some of it. Can I wait?"
		a.Eaten = a.Food
		sayAlarm(t, a, alarm.VetNow, s, "")
		return true
	}
	if asked := cmp.Or(a.Asked, a.Food); asked != nil && a.Eaten == nil && !a.Signs {
		out := t.Say(say.Whole(recipes.DangerText(asked)), say.Whole(msg("urgent.if-eaten")), say.Whole(household.NumbersText(t)))
		household.OfferNumbers(t, out)
		return true
	}
	if a.Level == alarm.Watch && a.Frail == alarm.Watch { // which is known by its words
		sayWatch(t, a, s)
		return true
	}
	level := alarm.VetToday
	a.Signs, a.Frail = true, max(a.Frail, level)
	after, since := goesOnWith(t, &a, s)
	if since {
		level = alarm.VetNow
	}
	sayAlarm(t, a, level, s, after)
	return true
}

// Watch answers what is taken for a mild sign. Nothing is noted of a question,
// nor of a sign that the dog does not have.
func Watch(t *talk.Turn, s string) bool {
	a := t.Alarm(s)
	switch {
	case a.Habit:
		return false
	case len(t.Home.Dogs) == 0 && !a.Signs:
		t.SayMsg("urgent.for-vet")
	case (a.Well || a.NamesPassed()) && !a.Signs && !a.Past && !read.IsQuestion(s) && dogs.SayWell(t, a.Dogs, s):
	case a.Denied || (a.Well || a.Past) && !a.Signs && !read.IsQuestion(s):
		t.SayMsg("urgent.well")
	case read.IsQuestion(s):
		t.SayMsg("urgent.for-vet")
	case a.Later && !a.Signs:
		t.SayMsg("urgent.fed-by-vet")
	default:
		sayWatch(t, a, s)
	}
	return true
}

// toldWhen is what was told of a sign or of something eaten, and when.
func toldWhen(t *talk.Turn, e planner.Entry, text string) string {
	when := t.DateText(e.Date)
	if at := e.At.In(t.Event.At.Location()); at != planner.Instant(e.Date, say.Noon, at.Location()) {
		when += ", " + planner.ClockOf(at).String()
	}
	return msg("signs.told-when", "text", text, "when", when)
}

// For how many days what was noted of signs is told again, and how much of it.
const (
	toldDays = 14
	mostTold = 8
)

// sayNoted says what was noted that a dog showed or ate, the newest first, each with
// its time: what a vet asks.
func sayNoted(t *talk.Turn, d *planner.Dog) {
	all := t.Entries(store.EntryQuery{Kinds: []planner.EntryKind{planner.SignSeen}, From: t.Event.At.AddDate(0, 0, -toldDays), Newest: true})
	all = slices.DeleteFunc(all, func(e planner.Entry) bool { return e.Dog != d.ID && e.Dog != "" })
	if len(all) == 0 {
		t.SayMsg("signs.none", "dog", d.Name, "days", toldDays)
		if read.Says("asks-written", t.AsTyped()) {
			t.GoTo(read.Sentence{Intent: read.ShowDog, Dog: d.ID})
		}
		return
	}
	lines := []string{msg("signs.noted", "dog", d.Name)}
	for _, e := range all[:min(len(all), mostTold)] {
		lines = append(lines, "- "+toldWhen(t, e, e.Text))
	}
	more := say.Where(len(all) > mostTold, msg("signs.more", "n", len(all)-mostTold))
	t.Say(say.Whole(say.JoinParas(strings.Join(lines, "\n"), more)))
}

// PartRight puts right in a note where a sign was told to be: "not the knee, it was her hip".
func PartRight(t *talk.Turn, s string) bool {
	of := read.Pattern("part-right").FindStringSubmatch(read.Without("part-behind", s))
	for _, e := range t.Entries(store.EntryQuery{Kinds: []planner.EntryKind{planner.SignSeen}, From: t.Event.At.AddDate(0, 0, -toldDays), Newest: true, Limit: mostTold}) {
		if of != nil && t.Talk.Kind == "" && t.Dog(e.Dog) != nil && strings.Contains(e.Text, of[1]) {
			t.Mutate("did.sign", t.Dog(e.Dog).Name)
			e.Text = strings.Replace(e.Text, of[1], of[2], 1)
			t.SayMsg("urgent.part-right", "dog", t.Dog(e.Dog).Name, "text", say.Short(t.Note(e).Text)).Offer(t.UndoButton())
			return true
		}
	}
	return false
}

// WhyVet says for what a vet is to be called, where that is asked after an alarm.
func WhyVet(t *talk.Turn, s string) bool {
	asked := read.Says("asks-why-vet", s)
	if !asked && !read.Says("why-alone", s) {
		return false
	}
	_, _, named := talk.DogsIn(t, s)
	for _, e := range t.Entries(store.EntryQuery{Kinds: []planner.EntryKind{planner.SignSeen}, From: t.Event.At.AddDate(0, 0, -dogs.PoisonDays), Newest: true, Limit: mostTold}) {
		d := t.Dog(e.Dog)
		if len(named) > 0 && !slices.Contains(named, d) || !asked && (t.Event.At.Sub(e.Entered) > mostAnswer || len(t.Offered("undo")) == 0) {
			continue
		}
		a, why := t.Alarm(e.Text), msg("urgent.why-watch")
		level := a.Level
		if d != nil && dogs.Frail(t, d) {
			level = a.Frail
		}
		switch {
		case a.Eaten != nil:
			why = whyText(a)
		case level == alarm.VetNow, level == alarm.VetToday:
			why = msg(say.Choose(level == alarm.VetNow, "urgent.why-now", "urgent.why-today"))
		}
		t.Say(say.Whole(msg("urgent.why", "told", toldWhen(t, e, say.Short(e.Text)))), say.Whole(why), say.Whole(msg("urgent.why-wrong")))
		return true
	}
	return false
}

// signTold is what was told of a sign without what else the same message tells, where it
// says no less: whole sentences, and parts of a long one. Of something eaten, and where a
// vet is to be called at once, all of it is for the vet.
func signTold(t *talk.Turn, s string) string {
	a := t.Alarm(s)
	if a.CannotWait() || a.Seen || a.Held() || !a.Signs {
		return s
	}
	var kept []string
	for _, sentence := range strings.Split(read.Pattern("clause-ends").ReplaceAllString(s, "\n"), "\n") {
		if say.Short(sentence) != sentence {
			kept = append(kept, strings.Split(sentence, ", ")...)
		} else if sentence != "" {
			kept = append(kept, sentence)
		}
	}
	all := len(kept)
	for i := 0; i < len(kept); {
		rest := slices.Concat(kept[:i], kept[i+1:])
		if b := t.Alarm(strings.Join(rest, ", ")); b.Level == a.Level && b.Frail == a.Frail && b.Uneaten == a.Uneaten && b.Well == a.Well && b.Passed == a.Passed {
			kept = rest
		} else {
			i++
		}
	}
	return say.Choose(len(kept) == all, s, strings.Join(kept, ", "))
}
