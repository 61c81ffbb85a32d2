package read

import (
	"cmp"
	"slices"
	"strings"
	"time"

	"bowlwright/bot/read/language"
	"bowlwright/bot/read/span"
	"bowlwright/planner"
)

// Reminder is what somebody wants to be reminded of, taken apart.
type Reminder struct {
	When  span.When
	About About
	Dog   string // id of the dog that is named; empty where none is

	Pronoun bool // the dog under discussion is meant: "her", "to him"

	Last planner.Date // when it was done last, where that is said; Next is when it is due by that
	Next planner.Date

	Thing string // of Giving: what is given, as typed: "vitamin E 200 IU"
	Text  string // the whole without its days and times, as typed: "give Juniper vitamin E 200 IU"
}

// About is the kind of thing that somebody is reminded of.
type About string

// What a reminder can be about, by its first word.
const (
	Anything   About = ""
	Giving     About = "giving"    // a supplement, or something else
	Feeding    About = "feeding"   // the meals
	WeighingIn About = "weighing"  // the scale
	Scoring    About = "condition" // body condition
)

// reminderWords returns what follows "remind me to" and the like; false where
// a text does not begin so.
func reminderWords(text string) (string, bool) {
	text = language.Without("appointment", text)
	if m := language.Pattern("remind-reason").FindStringSubmatch(text); m != nil { // "the vet prescribed levothyroxine, so remind me every day at 7"
		words, ok := reminderWords(m[2])
		if w, err := span.WhenText(words, time.Time{}); err == nil && ok && len(strings.Fields(w.Rest)) <= 2 && language.Says("bare-pronoun", w.Rest) {
			words = "give " + m[1] + " " + strings.TrimPrefix(words, w.Rest)
		}
		return words, ok
	}
	of := SentencesOf(text)
	if at := slices.IndexFunc(of, func(s string) bool { return language.Says("remind-led", s) }); at > 0 && language.Says("leads-up", text) { // "I forgot the worming. Remind me ..."
		text = strings.Join(of[at:], ". ")
	}
	if m := language.Pattern("remind-last").FindStringSubmatch(text); m != nil { // "every weekday at 8 remind me to ..."
		if w, err := span.WhenText(m[1], time.Time{}); err == nil && w.Said() && w.Rest == "" || language.Says("before-meals", language.Without("minutes-said", m[1])) {
			text = m[2] + " " + m[1]
		}
	}
	words := strings.Join(strings.Fields(text), " ")
	if thing, _ := lastDone(words, time.Now()); thing != "" {
		return words, true
	}
	if !language.Says("remind-led", words) {
		return "", false
	}
	led := language.Without("remind-led", words)
	rest := language.Without("remind-opens", led)
	first, _ := span.CutFirst(rest)
	if rest == "" || !strings.HasPrefix(strings.ToLower(led), "to ") && language.In("asking-words", span.Fold(strings.Trim(first, ",:;.!?"))) {
		return "", false
	}
	return language.Without("remind-order", rest), true
}

// ReminderText takes apart what somebody wants to be reminded of: "give
// Juniper vitamin E 200 IU every 3 days at 07:30", "vet on Friday 10:00",
// "every Sunday at 9 to weigh Juniper". Its errors are those of WhenText.
func ReminderText(s string, n span.Names, now time.Time) (Reminder, error) {
	thing, last := lastDone(s, now)
	s = language.Without("clock-slip", cmp.Or(thing, s))
	bound, apart := span.BindNames(s, n)
	w, err := span.WhenText(bound, now)
	if err != nil {
		return Reminder{}, err
	}
	if !language.Says("early-said", s) && len(w.Times) > 0 && !slices.ContainsFunc(w.Times, func(c planner.Clock) bool { return c < planner.At(1, 0) || c >= planner.At(6, 0) }) {
		for i := range w.Times { // nobody is reminded at 3 in the night
			w.Times[i] += planner.At(12, 0)
		}
	}
	var next planner.Date
	if !last.IsZero() {
		next = w.NextAfter(last)
		w.MonthDay, w.From = last.Day, next
	}
	if !next.IsZero() && next.Before(planner.DateOf(now)) { // it is due since then
		w.MonthDay, w.From = 0, planner.Date{}
	}
	r := Reminder{When: w, Last: last, Next: next, Text: apart(strings.TrimRight(language.Without("reminder-closes", language.Without("reminder-opens", w.Rest)), " ,;"))}
	if len(w.Times) > 1 && language.Says("medicine", r.Text) && !w.Repeats && !w.Monthly && w.On.IsZero() && w.At.IsZero() && w.From.IsZero() {
		r.When.Repeats = true // a medicine that is given at several times of a day is given every day
	}
	if language.Says("bare-pronoun", r.Text) {
		r.Text = "" // "remind me of it every morning": of what is not said
	}
	verb, rest := span.CutFirst(r.Text)
	switch span.Fold(verb) {
	case "give", "giving", "administer":
		r.About = Giving
	case "feed", "feeding":
		r.About = Feeding
	case "weigh", "weighing", "weigh-in", "weighin":
		r.About = WeighingIn
	default:
		rest = r.Text
	}
	dog, left := dogIn(rest, n)
	left = language.Without("given-is", left)
	r.Dog, r.Pronoun = dog, dog == "" && left != rest && !SaysThem(rest)
	if language.Says("to-be-fed", left) { // "remind me at 8 that Pip should be fed"
		r.About = Feeding
	}
	if verb, thing := span.CutFirst(left); r.About == Anything && (dog != "" || r.Pronoun) && language.In("giving-words", span.Fold(verb)) && strings.Contains(thing, " ") {
		r.About, left = Giving, thing // "Juniper gets zinc 15 mg"
	}
	r.Thing = language.Without("thing-opens", left)
	if words := span.Fold(left); r.About == Anything && strings.Contains(words, "condition") && !strings.Contains(words, "conditioner") {
		r.About = Scoring
	}
	if r.About == Giving && left == "" {
		r.About = Anything
	}
	return r, nil
}

// lastDone is the order to remind of what a text says was done last and how often it is,
// and the day on which it was: "wormed her 12 September, every 3 months".
func lastDone(s string, now time.Time) (order string, last planner.Date) {
	day := language.Pattern("done-day").FindStringSubmatchIndex(s)
	if day == nil || !language.Says("was-done", s) || language.Says("not-done-yet", s) || IsQuestion(s) {
		return "", last
	}
	said := strings.ToLower(s[day[2]:day[3]])
	was, ok := pastDay(said, now)
	if last = was.Date; !ok || was.ahead {
		if last, _, ok = PastSpan("in "+strings.TrimPrefix(said, "in "), now); !ok {
			last, _, ok = PastSpan(said, now)
		}
	}
	left := s[:day[0]] + ", " + s[day[1]:]
	w, err := span.WhenText(left, now)
	if !ok || err != nil || !w.Monthly && w.Cadence.EveryDays < 2 || len(strings.Fields(w.Rest)) > 9 {
		return "", planner.Date{}
	}
	return strings.Join(strings.Fields(language.Without("done-words", left)), " "), last
}

// EachReminder takes apart a text that asks for several reminders, each with days of
// its own ("fish oil every 2 days and worming every 3 months"), or doses of which
// each has its time ("gabapentin 100 mg at 8 and metacam 1 ml at 19:00 every day").
// How often is said once for all doses, and so is the dog. A reminder that is one
// comes back alone. The error is that of ReminderText.
func EachReminder(s string, n span.Names, now time.Time) ([]Reminder, error) {
	all, err := ReminderText(s, n, now)
	each := reminderParts(s, n, now)
	if len(each) < 2 || !all.Last.IsZero() {
		return []Reminder{all}, err
	}
	dog := all.Dog // of those that name none; the last that was named
	if at := slices.IndexFunc(each, func(r Reminder) bool { return r.Dog != "" }); at >= 0 {
		dog = each[at].Dog
	}
	for i := range each {
		r := &each[i]
		if !ownDays(r.When) {
			r.When.Repeats, r.When.Cadence = all.When.Repeats, all.When.Cadence
		}
		if r.About == Anything && language.Says("dose", r.Text) {
			r.About = all.About
		}
		at := slices.IndexFunc(n.Dogs, func(d span.Named) bool { return d.ID == dog })
		switch {
		case r.Dog != "":
			dog = r.Dog
		case at >= 0 && (r.Pronoun || language.Says("dose", r.Text) || r.About != Anything):
			if r.Pronoun && r.Thing != "" {
				r.Text = r.Thing
			}
			r.Dog, r.Text = dog, r.Text+" for "+n.Dogs[at].Name
		}
	}
	return each, nil
}

// reminderParts are the reminders that a text falls into, the shortest first ones;
// none where a part says nothing to be reminded of, or not when.
func reminderParts(s string, n span.Names, now time.Time) []Reminder {
	for _, at := range append(language.Pattern("reminder-parts").FindAllStringIndex(s, -1), []int{len(s), len(s)}) {
		r, err := ReminderText(s[:at[0]], n, now)
		if err != nil || r.Thing == "" && r.About == Anything || !ownDays(r.When) && !(len(r.When.Times) > 0 && language.Says("dose", r.Text)) {
			continue
		}
		if strings.TrimSpace(s[at[1]:]) == "" {
			return []Reminder{r}
		}
		if rest := reminderParts(s[at[1]:], n, now); rest != nil {
			return append([]Reminder{r}, rest...)
		}
	}
	return nil
}

// ownDays reports that a text says on which days.
func ownDays(w span.When) bool { return w.Repeats || w.Monthly || !w.On.IsZero() || !w.At.IsZero() }

// dogIn finds the dog that a text names, and returns the text without it:
// "Juniper vitamin E", "vitamin E to Juniper", "her vitamin E" (no dog).
func dogIn(s string, n span.Names) (id, rest string) {
	l, dogs := span.WordsOf(s), span.SplitNames(n.Dogs)
	for i := range l.Tokens {
		id, end := span.LongestAt(dogs, l.Tokens, i)
		if end == 0 {
			id, end = span.PossessedAt(dogs, l.Tokens, i)
		}
		if end == 0 {
			continue
		}
		from := i
		for l.Any(from-1, "to", "for") {
			from--
		}
		behind := ""
		if end = l.After(end, "'s"); end < len(l.Tokens) {
			behind = s[l.Tokens[end].Start:]
		}
		return id, span.JoinFields(s[:l.Tokens[from].Start] + " " + behind)
	}
	if len(l.Tokens) > 1 && (language.In("dog-pronouns", l.Word(0)) || language.In("whose-pronoun", l.Word(0))) {
		return "", span.JoinFields(s[l.Tokens[1].Start:])
	}
	if last := len(l.Tokens) - 2; last > 0 && l.Any(last, "to") && language.In("dog-pronouns", l.Word(last+1)) {
		return "", span.JoinFields(s[:l.Tokens[last].Start])
	}
	return "", s
}

// Stock is how many of a supplement somebody has or bought.
type Stock struct {
	Count float64
	Form  string // "capsule" and the like, where one is named
	More  bool   // bought: on top of what is left
	Food  string // the other words, as typed
}

// mostStock is the largest count that is taken for meant.
const mostStock = 100_000

// StockText reads "60 capsules", "stock 60 vitamin E capsules", "I bought
// 90", "42 left". The error is a Problem: BadNumber, Negative, TooLong.
func StockText(s string) (Stock, error) {
	l, err := span.LexQuantity(s)
	if err != nil {
		return Stock{}, err
	}
	var out Stock
	found := false
	for i := range l.Tokens {
		out.More = out.More || l.Any(i, "bought", "got", "more", "add", "ordered", "received")
		if found || l.Tokens[i].Used || l.Tokens[i].Kind != span.NumberToken { // "an" and "a" are no count here
			continue
		}
		n, end := l.NumberAt(i)
		if end == 0 {
			return Stock{}, span.NewProblem(span.BadNumber, s)
		}
		if l.Any(i-1, "-") && l.Joined(i-1, "-") || n.Value < 0 {
			return Stock{}, span.NewProblem(span.Negative, s)
		}
		out.Count, found = n.Whole(), true
		l.Use(i, end)
	}
	if !found || out.Count > mostStock {
		return Stock{}, span.NewProblem(span.BadNumber, s)
	}
	for i := range l.Tokens {
		if u := span.UnitWords[l.Word(i)]; u.Kind == span.ByForm {
			out.Form = cmp.Or(out.Form, u.Name)
			l.Use(i, i+1)
		}
		if l.Any(i, "i", "we", "have", "ve", "bought", "got", "stock", "left", "of", "more", "another", "in", "is", "are", "there", "now", "only", "the", "a", "add", "ordered", "received", "g", "for", "set", "to",
			"opened", "started", "began", "new", "bottle", "tub", "box", "packet", "jar", "today", "about", "still", "just", "with", "has", "it", "this", "theres", "s", "another", "(", ")") {
			l.Use(i, i+1)
		}
	}
	out.Food = l.Unused()
	return out, nil
}
