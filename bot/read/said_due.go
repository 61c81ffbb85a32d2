package read

import (
	"slices"
	"strings"
	"time"
	"unicode"

	"bowlwright/bot/read/language"
	"bowlwright/bot/read/span"
	"bowlwright/planner"
)

// DueAct is what somebody says became of what fell due.
type DueAct string

// What can be said of it.
const (
	SaidFed   DueAct = "fed"
	SaidGiven DueAct = "given"
	SaidDone  DueAct = "done"
	SaidSkip  DueAct = "skip"
	SaidLater DueAct = "later"
)

// DueSaid is an answer to what fell due, in few words.
type DueSaid struct {
	Act     DueAct
	Dogs    []string // ids, none where no dog is named
	All     bool     // "all fed", where no dog is named
	But     []string // ids of the reminders that all leaves out
	Thing   string   // the other words: "vitamin e"
	Minutes int      // of SaidLater, by how many; 0 where that is not said
	// TimeAlone says that no more than a time was said: "in 5 hours".
	TimeAlone bool
}

// Clauses are the parts of a text between its commas, "and"s and "but"s.
func Clauses(s string) (all []string) {
	for _, part := range language.Pattern("clause-end").Split(s, -1) {
		if part = strings.TrimSpace(part); part != "" {
			all = append(all, part)
		}
	}
	return all
}

// OrdersIn are the orders about reminders that a text gives one after the other.
func OrdersIn(s string) (all []string) {
	s, from := language.Without("next-order", s), 0
	for _, m := range language.Pattern("order-next").FindAllStringSubmatchIndex(s, -1) {
		all, from = append(all, s[from:m[0]]), m[2]
	}
	return append(all, s[from:])
}

// SentencesOf are the sentences of a text, as far as marks part them.
func SentencesOf(s string) (all []string) {
	from := 0
	for _, m := range language.Pattern("sentence-ends").FindAllStringIndex(s, -1) {
		if !language.Says("abbreviates", s[from:min(m[1]+1, len(s))]) {
			all, from = append(all, strings.TrimRight(s[from:m[1]], " .!;\n")), m[1]
		}
	}
	return append(all, strings.TrimRight(s[from:], " .!;\n"))
}

// firstAt is where the first of what a pattern finds begins, or -1, and lastAt where the
// last does.
func firstAt(name, s string) int {
	if m := language.Pattern(name).FindStringIndex(s); m != nil {
		return m[0]
	}
	return -1
}

func lastAt(name, s string) int {
	at := -1
	for _, m := range language.Pattern(name).FindAllStringIndex(s, -1) {
		at = m[0]
	}
	return at
}

// DoneBy reads who of some carers fed a dog or gave it something, and what is
// left of the text without the name: "Tomas fed Juniper", "Juniper was fed by
// Tomas".
func DoneBy(s string, carers []span.Named) (id, rest string, ok bool) {
	if len(s) > 100 || strings.ContainsAny(s, "?\n") {
		return "", "", false
	}
	s = strings.TrimRight(s, " .!")
	for _, c := range carers {
		n := len(c.Name)
		switch {
		case n == 0 || n+4 > len(s):
		case strings.EqualFold(s[:n], c.Name) && language.Says("done-verb", s[n:]):
			return c.ID, strings.TrimSpace(language.Pattern("done-verb").ReplaceAllString(s[n:], "$1")), true
		case strings.EqualFold(s[len(s)-n:], c.Name) && strings.HasSuffix(strings.ToLower(s[:len(s)-n]), " by ") && language.Says("done", s):
			return c.ID, strings.TrimSpace(s[:len(s)-n-len(" by ")]), true
		}
	}
	return "", "", false
}

// duePhrases are wordings of several words by the one that stands for them.
var duePhrases = func() *strings.Replacer {
	var pairs []string
	for phrase, act := range language.Kinds[string]("due") {
		pairs = append(pairs, " "+phrase+" ", " "+act+" ")
	}
	return strings.NewReplacer(pairs...)
}()

// dueActs are the words that say what became of it.
var dueActs = map[string]DueAct{"fed": SaidFed, "given": SaidGiven, "gave": SaidGiven, "done": SaidDone, "skip": SaidSkip, "later": SaidLater}

// DueAnswer reads "fed", "later", "later in an hour", "skip Bracken", "skip
// the vitamin E". It reports false for what is a question, or says more.
func DueAnswer(s string, n span.Names, now time.Time) (DueSaid, bool) {
	if len(s) > 80 || strings.ContainsAny(s, "?\n") || asks(s) {
		return DueSaid{}, false
	}
	var said DueSaid
	from, to, dogs := DogsNamed(s, n)
	said.Dogs = dogs
	rest := span.Choose(len(dogs) > 0, s[:from]+" "+s[to:], s)
	rest, _ = span.BindNames(rest, n)
	w, err := span.WhenText(rest, now)
	if err == nil && !w.At.IsZero() {
		said.Minutes, rest = int(w.At.Sub(now).Minutes()), w.Rest
	} else if words := dueWords(w.Rest); err == nil && (len(words) == 0 && language.Says("time-ahead", rest) || slices.Equal(words, []string{"later"})) {
		said.Minutes, rest = minutesTo(w, now), w.Rest // "at 9", "later, at 9"
	} else if err == nil && len(w.Times) == 1 && w.On.IsZero() && minutesTo(w, now) == 0 && (len(dogs) > 1 || len(span.AllNamed(rest)) > 0) {
		rest = w.Rest // "all fed at 06:30"
	}
	if err == nil && (!w.Until.IsZero() || w.Days > 0) || strings.HasSuffix(strings.ToLower(s), " this week") {
		return DueSaid{}, false // of days: a pause
	}
	words := dueWords(rest)
	if said.Minutes > 0 && (len(words) == 0 || slices.Equal(words, []string{"remind", "me"})) {
		said.TimeAlone, words = len(words) == 0, []string{"later"}
	}
	var thing []string
	for _, w := range words {
		switch act, ok := dueActs[w]; {
		case ok && said.Act != "" && said.Act != act:
			return DueSaid{}, false // "fed, later a walk"
		case ok:
			said.Act = act
		case w == "both" && len(n.Dogs) > 2: // which two is not said
		case w == "all" || w == "dogs" || w == "both" || w == "everyone" || w == "everybody":
			said.All = len(dogs) == 0
		case !language.In("due-filler", w):
			thing = append(thing, w)
		}
	}
	said.Thing = strings.Join(thing, " ")
	if said.Act == SaidGiven && said.Thing == "" && language.Says("meal-left-out", rest) {
		return DueSaid{}, false // "dinner given to both" is no dose
	}
	return said, said.Act != "" && (said.Minutes == 0 || said.Act == SaidLater)
}

// minutesTo is how long it is to a time that is named, today or tomorrow; 0
// where none is, or it is over.
func minutesTo(w span.When, now time.Time) int {
	day := planner.DateOf(now)
	if len(w.Times) != 1 || w.Repeats || w.Monthly || w.Meal != "" || !w.From.IsZero() || !w.On.IsZero() && w.On != day && w.On != day.AddDays(1) {
		return 0
	}
	if !w.On.IsZero() {
		day = w.On
	}
	return max(int(planner.Instant(day, w.Times[0], now.Location()).Sub(now).Minutes()), 0)
}

// dueWords are the words of such an answer, its phrases put into one word.
func dueWords(s string) []string {
	words := strings.FieldsFunc(strings.ToLower(s), func(r rune) bool {
		return !unicode.IsLetter(r) && !unicode.IsDigit(r) && r != '\'' && r != '’' && r != '-'
	})
	for i, w := range words {
		words[i] = strings.Trim(w, "'’")
	}
	text := " " + strings.ReplaceAll(strings.Join(words, " "), "’", "'") + " "
	return strings.Fields(duePhrases.Replace(text))
}

// IsQuestion reports that a text asks something, or begins as what asks does.
func IsQuestion(s string) bool { return strings.HasSuffix(strings.TrimSpace(s), "?") || asks(s) }

// asks reports that a text begins as a question does: "did anyone feed her".
func asks(s string) bool {
	first, rest := span.CutFirst(s)
	second, _ := span.CutFirst(rest)
	switch w := span.Fold(strings.Trim(first, ",.!?")); w {
	case "has", "have", "had":
		return !language.In("said-after", span.Fold(second)) // "has had her fish oil" tells
	case "were", "when", "will", "am":
		return true
	case "and", "so", "but", "ok", "okay":
		return asks(rest) // "ok and what now"
	case "for", "in", "of", "on", "at":
		return language.In("asking-words", span.Fold(second)) // "for how many days"
	default:
		return language.In("asking-words", w)
	}
}

// Part is the part of a day that somebody asks about.
type Part string

// The parts of a day.
const (
	WholeDay  Part = ""
	FirstPart Part = "first" // the morning, breakfast
	LastPart  Part = "last"  // the evening, dinner
	BothParts Part = "both"  // each of them named
)

// and is a part of a day and another of it.
func (p Part) and(q Part) Part {
	switch {
	case p == WholeDay:
		return q
	case q == WholeDay || p == q:
		return p
	}
	return BothParts
}

// Of are the times of a day's meals that are of a part of it.
func (p Part) Of(times []planner.Clock) []planner.Clock {
	switch {
	case p == FirstPart && len(times) > 0:
		return times[:1]
	case p == LastPart && len(times) > 0:
		return times[len(times)-1:]
	}
	return times
}

// DayAsked finds the day and the part of it that a question about what has
// been is about: "did she get her breakfast", "who fed Pip last night". The day
// is today where none is named; named reports whether one is.
func DayAsked(s string, now time.Time) (day planner.Date, part Part, named bool) {
	day = planner.DateOf(now)
	first, last := firstAt("first-part", s), firstAt("last-part", s)
	switch { // of both it is the one said first: "no dinner tonight, vet in the morning"
	case first >= 0 && (last < 0 || first < last):
		part = FirstPart
	case last >= 0:
		part = LastPart
	}
	words := strings.ToLower(askedDay.FindString(s))
	for _, w := range []string{words, language.Without("day-part", words)} { // "sat night"
		if was, ok := wasDay(w, now); w != "" && ok {
			return was, part, true
		}
	}
	return day, part, words != ""
}

// DaysAsked finds the days that a question about what has been goes over, where they
// are more than one: "what has she eaten since Sunday", "this week".
func DaysAsked(s string, now time.Time) (from, until planner.Date, ok bool) {
	words := language.Pattern("days-asked").FindString(strings.ToLower(s))
	if days := DaysFed(s, now); words == "" && len(days) > 1 { // "yesterday and today"
		if from, until = days[0], days[len(days)-1]; until.Before(from) {
			return until, from, true
		}
		return from, until, true
	}
	from, until, ok = PastSpan(words, now)
	return from, until, ok && from.Before(until)
}

// DaysFed are the days that are named of what has been fed, today among them: "ate
// everything yesterday and today"; none where none is named.
func DaysFed(s string, now time.Time) (days []planner.Date) {
	s = strings.Join(ofMeals(s), ", ")
	for _, words := range askedDay.FindAllString(s, -1) {
		if day, ok := wasDay(strings.ToLower(words), now); ok && !slices.Contains(days, day) {
			days = append(days, day)
		}
	}
	if from, until, ok := PastSpan("the weekend", now); ok && language.Says("weekend", s) {
		days = append(days, from, until)
	}
	return days
}

// ofMeals are the clauses of a text but for what a meal went without: "gave him breakfast
// and forgot the oil last night".
func ofMeals(s string) []string {
	return slices.DeleteFunc(Clauses(s), func(c string) bool { return language.Says("left-out-once", c) })
}

// FedDay is a day of which meals are told, and which part of it.
type FedDay struct {
	Day  planner.Date
	Part Part
}

// MealsFed are the days of which a text tells meals, today where none is named. The
// meals of each are those that its own clause names, or one beside it that names no day:
// "dinner was fine yesterday, both ate breakfast today".
func MealsFed(s string, now time.Time) []FedDay {
	all, named, from := []FedDay{{Day: planner.DateOf(now)}}, false, 0 // from: the days of the last clause with any
	for _, clause := range ofMeals(s) {
		_, part, _ := DayAsked(clause, now)
		if NamesBothMeals(clause) {
			part = BothParts
		}
		days := DaysFed(clause, now)
		for i := from; i < len(all) && len(days) == 0; i++ {
			all[i].Part = all[i].Part.and(part)
		}
		switch {
		case len(days) == 0:
			continue
		case !named:
			part, all = part.and(all[0].Part), nil
		case part == WholeDay && !language.Says("fed-again", clause): // "breakfast on Saturday and Sunday"
			part = all[from].Part
		}
		named, from = true, len(all)
		for _, day := range days {
			all = append(all, FedDay{day, part})
		}
	}
	return all
}

// SaysShe reports that a text speaks of the dog under discussion: "has she
// eaten".
func SaysShe(s string) bool { return SaysOneOf(s, "one-dog") }

// SaysThem reports that a text speaks of several: "feed them at 8".
func SaysThem(s string) bool { return SaysOneOf(s, "several-dogs") }

// PartEaten reads how much of its meal a dog has eaten, as a share: "left a
// quarter of it", "only ate half". It reports false where that is not told.
func PartEaten(s string) (share float64, ok bool) {
	all := span.Shares(s)
	if len(all) == 0 || all[0].Share >= 1 {
		return 0, false
	}
	before, behind := s[:all[0].From], s[all[0].To:]
	ate := lastAt("part-eaten", before)
	if left := lastAt("part-left", before); left > ate || left == ate && language.Says("left-behind", behind) {
		return 1 - all[0].Share, true
	}
	return all[0].Share, true
}
