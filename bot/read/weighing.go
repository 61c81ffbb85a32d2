package read

import (
	"cmp"
	"errors"
	"math"
	"slices"
	"strings"
	"time"

	"bowlwright/bot/read/language"
	"bowlwright/bot/read/span"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// WeighingSaid is a weigh-in as a carer writes it: back-dated, or as the
// difference of two weights on a bathroom scale.
type WeighingSaid struct {
	Dog    string              // id, where the text names one
	Weight nutrition.Kilograms // of the dog
	Day    planner.Date        // zero: now
	Way    string              // how it was weighed, as typed, where on a bathroom scale
}

// What is asked about weights.
const (
	WeighChange  Intent = "weight.log.change"    // by how much a dog's weight has changed: Dog, Weight
	WeighHow     Intent = "help.weigh"           // how a dog is weighed
	ShowWeight   Intent = "weight.show"          // the weight, where it goes, whether the amount is right: Dog
	ShowTrend    Intent = "weight.show.picture"  // the picture: Dog
	ListWeighIns Intent = "weight.show.list"     // Dog
	DropWeighIn  Intent = "weight.fix.drop"      // delete the last one: Dog
	FixWeighIn   Intent = "weight.fix"           // correct the last one: Dog
	AskScore     Intent = "dog.set.score"        // the body condition: Dog
	GoalHold     Intent = "goal.set.hold"        // Dog
	GoalLose     Intent = "goal.set"             // Dog, Weight where an ideal weight is named
	GoalLoseBy   Intent = "goal.set.lose-by"     // Dog, Weight: by how much
	GoalGainBy   Intent = "goal.set.gain-by"     // the same
	GoalWeight   Intent = "goal.set.weight"      // Dog, Weight: where it is to get to
	GoalGain     Intent = "goal.set.gain"        // Dog, Weight where an ideal weight is named
	ShowGoal     Intent = "goal.show"            // Dog
	SetIdeal     Intent = "dog.set.ideal"        // Dog, Weight
	ShowGrowth   Intent = "growth.show"          // how a growing dog grows: Dog
	WellAgain    Intent = "dog.set.well"         // an illness is over: Dog
	SetAdult     Intent = "dog.set.adult"        // what it will weigh when grown: Dog, Weight
	LookOut      Intent = "health.signs.lookout" // by which signs something is seen: Dog
	VetSaw       Intent = "health.signs.vet"     // a vet has seen it: Dog
	FedAway      Intent = "fed.other"            // a dog was fed differently: Dog; the text is for PastSpan
)

// Codes of problems with weigh-ins.
const (
	WeighedAhead span.Code = "weighed-ahead" // on a day to come
	WeighedYear  span.Code = "weighed-year"  // on a day to come, or of a year ago, as WeighingSaid.Day has it
	NotHeavier   span.Code = "not-heavier"   // with the dog it is not more than without
)

// Weighings reads the weigh-ins of several dogs, each named: "Juniper 19.4,
// Bracken 33.8", or a line each. It reports whether a text is that; the error
// is as of Weighing.
func Weighings(text string, names span.Names, u planner.Units, now time.Time) (all []WeighingSaid, ok bool, err error) {
	if len(text) > 400 || strings.ContainsAny(text, "?/") {
		return nil, false, nil
	}
	if m := language.Pattern("mended-weight").FindStringSubmatch(text); m != nil {
		kg, dog, is := NamedWeight(m[2], names, u)
		all, ok, err = Weighings(m[1], names, u, now)
		if i := slices.IndexFunc(all, func(w WeighingSaid) bool { return w.Dog == dog }); is && i >= 0 {
			all[i].Weight = kg // "Juniper 19.4, Bracken 33.8, sorry, Juniper 19.6"
			return all, ok, err
		}
	}
	text = onlyWeighed(language.Without("weight-spoken", span.Clean(text)), names, now)
	parts := strings.FieldsFunc(strings.ReplaceAll(text, " and ", "\n"), func(r rune) bool { return r == '\n' || r == ';' })
	if len(parts) == 1 {
		parts = strings.Split(parts[0], ", ")
	}
	if at := span.Mentions(text, names.Dogs); len(parts) == 1 && len(at) > 1 && at[0].From == 0 { // "Juniper 19.4 Bracken 33.8"
		parts = nil
		for i, m := range at {
			end := len(text)
			if i+1 < len(at) {
				end = at[i+1].From
			}
			parts = append(parts, text[m.From:end])
		}
	}
	if len(parts) == 1 && strings.Trim(parts[0], " ,.;\t") == text {
		return nil, false, nil // one weigh-in at most, which Weighing reads
	}
	seen := map[string]bool{}
	days := map[string]bool{} // by dog and day
	for _, part := range parts {
		if part = strings.Trim(part, " ,.;\t"); part == "" {
			continue
		}
		said, is, wrong := Weighing(part, names, u, now)
		is = is || said.Weight > 0
		if n := len(all); n > 0 && is && said.Dog == "" && !said.Day.IsZero() && !all[n-1].Day.IsZero() {
			said.Dog = all[n-1].Dog // "Juniper 19.2 today and 19.4 on Sunday"
		}
		key := said.Dog + said.Day.String()
		if !is || said.Dog == "" || days[key] || seen[said.Dog] && said.Day.IsZero() {
			return nil, false, nil
		}
		days[key] = true
		if wrong != nil {
			return nil, true, wrong
		}
		seen[said.Dog] = true
		all = append(all, said)
	}
	if len(all) < 2 {
		return nil, false, nil
	}
	// A day before all of it or behind it is that of each, and that of "Juniper was 19.4
	// last Sunday and Bracken 33.8"; behind a comma the next was weighed now.
	day, at := all[len(all)-1].Day, span.Mentions(parts[0], names.Dogs)
	if day.IsZero() && (strings.Contains(text, " and ") || len(at) > 0 && strings.TrimSpace(parts[0][:at[0].From]) != "") {
		day = all[0].Day
	}
	for i := range all {
		if all[i].Day.IsZero() {
			all[i].Day = day
		}
	}
	return all, true, nil
}

// onlyWeighed is a text about several dogs' weights without what stands around
// them and says only that they were weighed: "weighed them: Tass 18.2, Bamse 23.7,
// both on the vet's scale". A day other than today stays: it is theirs.
func onlyWeighed(text string, names span.Names, now time.Time) string {
	at := span.Mentions(text, names.Dogs)
	last := strings.LastIndexAny(text, "0123456789")
	if len(at) < 2 || last < 0 {
		return text
	}
	around := func(s string) bool {
		words := strings.FieldsFunc(strings.ToLower(s), func(r rune) bool { return strings.ContainsRune(" ,.:;!\n", r) })
		return !slices.ContainsFunc(words, func(w string) bool {
			day, named := span.Weekdays[w]
			return !language.In("weigh-around", w) && (!named || day != now.Weekday())
		})
	}
	if lead := text[:at[0].From]; strings.TrimSpace(lead) != "" && around(lead) {
		text, last = text[at[0].From:], last-at[0].From
	}
	if end := strings.IndexAny(text[last:], ",.;!\n"); end >= 0 && around(text[last+end:]) {
		text = text[:last+end]
	}
	return text
}

// SaidOnce is a text without a weight that it says again in another unit: "15.9 kg today, 35
// pounds". What is more than a fiftieth away is another weight (our own choice).
func SaidOnce(s string) string {
	m := language.Pattern("weight-again").FindStringSubmatchIndex(s)
	if m == nil {
		return s
	}
	first, second := s[m[2]:m[3]], s[m[6]:m[7]]
	is, err := span.BodyWeight(first, planner.Units{})
	again, wrong := span.BodyWeight(second, planner.Units{})
	if inKilos := strings.ContainsAny(first, "kK"); err != nil || wrong != nil || inKilos == strings.ContainsAny(second, "kK") || math.Abs(float64(is/again)-1) > 0.02 {
		return s
	}
	return SaidOnce(s[:m[4]] + s[m[1]:])
}

// NamedWeight reads a weight with a dog's name and no more: "Juniper 19.4",
// "19.4 kg Juniper", "Juniper weighs 19.4 kg".
func NamedWeight(s string, names span.Names, u planner.Units) (kg nutrition.Kilograms, dog string, ok bool) {
	said, dated, err := Weighing(span.JoinFields(s), names, u, time.Time{})
	return said.Weight, said.Dog, err == nil && !dated && said.Weight > 0 && said.Dog != ""
}

// Weighing reads "me 71.2 with dog 90.6", "19.4 on Sunday", "Juniper 19.4 kg
// yesterday", and reports whether a text is of that kind; a weight alone is
// not, though said has it and what dog it is of, but one of nothing or less is.
// The error is a Problem: WeighedAhead, WeighedYear, NotHeavier, Zero, Negative. now is the time in the
// household's zone; a weekday is the last one, and a date without a year the last that was where that is
// not long ago.
func Weighing(text string, names span.Names, u planner.Units, now time.Time) (said WeighingSaid, ok bool, err error) {
	s := strings.ToLower(strings.TrimSpace(span.Clean(text)))
	if len(s) > 120 || strings.ContainsAny(s, "?\n/") && !strings.Contains(s, "/20") {
		return said, false, nil
	}
	s, said.Dog = withoutName(s, names)
	s = strings.TrimSuffix(strings.Join(strings.Fields(s), " "), ".")
	s = language.Without("bathroom-said", language.Without("weigh-tail", s))
	if m := language.Pattern("bathroom").FindStringSubmatch(s); m != nil {
		return said.difference(m[1], m[2], u, text)
	}
	if m := language.Pattern("bathroom-back").FindStringSubmatch(s); m != nil && strings.Contains(s, "with") {
		return said.difference(m[2], m[1], u, text)
	}
	kg, err := span.BodyWeight(strings.Trim(strings.Join(weighedWords(s), " "), " ,:"), u)
	var p span.Problem
	switch {
	case err == nil: // "3 st 1 lb" is no pound on the third
		if !strings.Contains(s, "/") { // "5/20" may be a date or a score
			said.Weight = kg
		}
		return said, false, nil
	case errors.As(err, &p) && (p.Code == span.Zero || p.Code == span.Negative):
		return said, true, span.NewProblem(p.Code, text)
	}
	return said.dated(s, u, now)
}

// difference is a dog's weight on a bathroom scale.
func (w WeighingSaid) difference(me, both string, u planner.Units, typed string) (WeighingSaid, bool, error) {
	a, err := span.BodyWeight(strings.Trim(me, " ,:"), u)
	b, err2 := span.BodyWeight(strings.Trim(both, " ,:"), u)
	if err != nil || err2 != nil {
		return w, false, nil
	}
	if b <= a {
		return w, true, span.NewProblem(NotHeavier, typed)
	}
	w.Weight, w.Way = b-a, strings.TrimSpace(typed)
	return w, true, nil
}

// weighedWords are the words of a text without those that only say that it is
// a weight.
func weighedWords(s string) []string {
	words := strings.Fields(s)
	for len(words) > 0 && language.In("weigh-words", strings.Trim(words[0], ":,")) {
		words = words[1:]
	}
	return words
}

// dated is a weight with a day behind it or before it.
func (w WeighingSaid) dated(s string, u planner.Units, now time.Time) (WeighingSaid, bool, error) {
	words := weighedWords(s)
	for i := len(words) - 1; i > 0; i-- {
		before, after := strings.Join(words[:i], " "), strings.Join(words[i:], " ")
		for _, try := range [][2]string{{before, after}, {after, before}} {
			kg, err := span.BodyWeight(strings.Trim(try[0], " ,:"), u)
			if err != nil || kg >= 1000 { // "1 March 2026"
				continue
			}
			day, ok := pastDay(strings.Trim(try[1], " ,:"), now)
			if !ok {
				continue
			}
			w.Weight, w.Day = kg, day.Date
			switch {
			case day.ahead:
				return w, true, span.NewProblem(WeighedAhead, s)
			case day.doubtful():
				return w, true, span.NewProblem(WeighedYear, s)
			}
			return w, true, nil
		}
	}
	return w, false, nil
}

// CorrectedWeight reads a weight that takes the place of one that was typed
// before it: "actually 27.6", "sorry, 19.4 kg", "change it to 27.5".
func CorrectedWeight(s string, u planner.Units) (nutrition.Kilograms, bool) {
	if kg, ok := WeightPutRight(s, u); ok {
		return kg, true
	}
	s = strings.ToLower(strings.TrimSpace(span.Clean(s)))
	if len(s) > 60 {
		return 0, false
	}
	m := language.Pattern("corrects").FindString(s)
	if m == "" {
		return 0, false
	}
	kg, err := span.BodyWeight(s[len(m):], u)
	return kg, err == nil
}

// WithFigure is a text with the figure that another puts in the place of one of its own:
// of that which is named, or that which is by far the nearest; empty where it does not.
func WithFigure(text, right string) string {
	_, of := language.Match("figure-right", strings.TrimSpace(right))
	was, is := of["was"], of["is"]
	number := func(s string) float64 {
		n, _ := span.Number(strings.ReplaceAll(language.Find("figure", s), ":", "."))
		return n
	}
	all := language.Pattern("figure").FindAllStringSubmatchIndex(text, -1)
	kind := func(s string) span.AmountKind { return span.UnitWords[strings.Trim(s, "0123456789.,: ")].Kind }
	bare := language.Find("figure", is) == is
	off := func(m []int) float64 {
		told := text[m[0]:m[1]]
		if !bare && m[1] > m[3] && kind(is) != kind(told) || strings.Contains(is, ":") && strings.ContainsAny(told, ".,") {
			return math.Inf(1) // grams are no kcal, and a time is no weight
		}
		return math.Abs(math.Log(number(told) / number(cmp.Or(was, is))))
	}
	slices.SortStableFunc(all, func(a, b []int) int { return cmp.Compare(off(a), off(b)) })
	nearest := span.Choose(was == "", likeFigure, 0)
	if len(all) == 0 || !(off(all[0]) <= nearest) || len(all) > 1 && !(off(all[1]) > 3*off(all[0])) {
		return ""
	}
	end := span.Choose(bare, all[0][3], all[0][1]) // the unit stays behind a bare figure
	return text[:all[0][0]] + is + text[end:]
}

// likeFigure is how far a figure may be from one that it puts right, as the logarithm of
// their ratio: about a factor of 1.7 (our own choice).
const likeFigure = 0.55

// WithDay is a text with the day that another puts in the place of one of its own: of that
// which is named, or the only one; empty where it does not.
func WithDay(text, right string) string {
	day := language.Pattern("a-day")
	said, told := day.FindAllString(right, -1), day.FindAllStringIndex(text, -1)
	if kind := language.Without("day-right", day.ReplaceAllString(right, "@")); kind == "not-is" {
		slices.Reverse(said)
	} else if kind != "is" {
		return ""
	}
	if len(said) > 1 { // which of them is wrong is named
		told = slices.DeleteFunc(told, func(m []int) bool { return !strings.EqualFold(text[m[0]:m[1]], said[1]) })
	}
	if len(told) != 1 {
		return ""
	}
	head := strings.TrimSuffix(text[:told[0][0]], "on ")
	if !language.Says("needs-no-on", head+"@"+said[0]) {
		head += "on "
	}
	return head + said[0] + text[told[0][1]:]
}

// LastWeight is a text that names a dog and its weight with the weight that is
// meant, and no more: "Juniper 19.5, no 19.4" with its last one, "Juniper 19.4,
// has she lost weight?" with that before the question, and so with the day. Any other text it leaves
// as it is.
func LastWeight(s string, names span.Names, u planner.Units, now time.Time) string {
	if len(s) > 120 {
		return s
	}
	if m := language.Pattern("mended-day").FindStringSubmatch(s); m != nil {
		if _, ok := pastDay(strings.ToLower(m[2]), now); ok {
			return m[1] + " on " + m[2]
		}
	}
	if m := language.Pattern("mended-weight").FindStringSubmatch(s); m != nil {
		from, to, dogs := DogsNamed(m[1], names)
		_, wrong := span.BodyWeight(m[1], u)
		if _, err := span.BodyWeight(m[2], u); err == nil && (len(dogs) == 1 || len(dogs) == 0 && (wrong == nil || language.Says("weight", m[1]))) {
			return strings.TrimSpace(m[1][from:to] + " " + m[2])
		}
	}
	if m := language.Pattern("asks-behind").FindStringSubmatch(s); m != nil {
		if _, _, ok := NamedWeight(m[1], names, u); ok {
			return m[1]
		}
	}
	return s
}
