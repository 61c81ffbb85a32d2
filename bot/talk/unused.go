package talk

import (
	"bytes"
	"encoding/json"
	"maps"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"

	"bowlwright/bot/read"
	"bowlwright/bot/read/alarm"
	"bowlwright/bot/read/slots"
	"bowlwright/bot/read/span"
	"bowlwright/bot/say"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/store"
)

// sayUnused says what of a text was not understood where the rest was, and which
// dogs, days, foods, amounts and limits are neither in the answer nor in what it keeps.
// Whoever was misheard reads it there and then, and not weeks later in the record.
func (t *Turn) sayUnused() {
	unused := t.unheard
	if text := t.AsTyped(); t.Event.Press == "" && text != "" && text[0] != '/' && !t.Popped && t.answers() {
		unused = append(unused, t.unused(text)...)
	}
	if len(unused) > 0 && len(t.Replies) > 0 {
		first := &t.Replies[0] // a question that is asked again stands last
		first.Body = append(first.Body, say.Whole(msg("unused", "what", say.ListOf(unused, quoted))))
	}
}

// quoted puts marks around what is more than a name or an amount.
func quoted(said string) string {
	if len(strings.Fields(said)) < fragment {
		return said
	}
	return `"` + said + `"`
}

// answers reports that the turn keeps something, or answers a question with a figure.
func (t *Turn) answers() bool {
	kept := t.Before != nil || !t.notes.none()
	if kept || t.lost != "" || len(t.Replies) == 0 || t.Talk.Kind != "" && t.loaded.Kind != "" {
		return kept
	}
	body := t.Replies[0].Body
	return slices.ContainsFunc(body, func(b say.Block) bool { return read.Says("a-figure", read.Without("quotes", b.Text)) }) && !read.Says("turns-down", read.Without("quotes", body[0].Text))
}

// Unused notes a part of a text that the answer to the rest passes over, unless one that
// has it is noted.
func (t *Turn) Unused(part string) {
	part = strings.TrimRight(part, " ?!.")
	if slices.ContainsFunc(t.unheard, func(u string) bool { return strings.Contains(u, part) }) {
		return
	}
	t.unheard = append(slices.DeleteFunc(t.unheard, func(u string) bool { return strings.Contains(part, u) }), part)
}

// unused are the clauses, names and amounts in a text that its answer passes over.
func (t *Turn) unused(text string) (all []string) {
	found := t.slotsOf(text)
	named := found.Named()
	a := t.answered(found.Numbers())
	asTyped := func(e planner.Entry) bool { return strings.Contains(e.Text, text) }
	if len(named) == 0 || slices.ContainsFunc(t.notes.added, asTyped) {
		return all
	}
	for _, n := range named {
		in := func(said string) bool { return strings.Contains(strings.ToLower(said), strings.ToLower(n.Text)) }
		if !a.has(t, n) && !slices.ContainsFunc(all, in) && !slices.ContainsFunc(t.unheard, in) {
			all = append(all, n.Text)
		}
	}
	return all
}

// saidOf is by what an answer says something of an intent, also where it records nothing.
var saidOf = map[string]string{
	"fed.log": "says-fed", "fed.part": "says-fed", "fed.skip": "says-fed", "supp.log": "says-given", "weight.log": "says-kg", "treat.log": "says-treats",
	"kcal.set": "says-kcal", "stool.log": "says-stool", "set.place": "says-place", "home.invite": "says-link", "remind.set": "says-off", "switch.set": "says-step", "goal.set": "says-goal",
}

// sayPassed says which sentences of a message, and which clauses that clearly tell something,
// its answer passes over in silence.
func (t *Turn) sayPassed(text string, parts, clauses []string) {
	done := func(c string) bool {
		says := t.hearAs(c, "").Says
		return len(says) > 0 && t.did(kindOf(says[0].Readings[0]))
	}
	for _, part := range parts {
		switch best, silent := t.silentOn(text, part); {
		case !silent || len(strings.Fields(part)) < 3 || best.P < mayBe && !read.IsQuestion(part):
		case t.clearly(part, surelyElse) != "":
			t.alsoDoes(part, best)
		case !slices.ContainsFunc(read.Clauses(part), done):
			t.Unused(part)
		}
	}
	asks := func(c string) bool { return read.IsQuestion(c) && read.Says("asks-of-it", c) }
	if slices.ContainsFunc(clauses, asks) { // "the pack was out all night, can they still eat it"
		return
	}
	for _, c := range clauses {
		best, silent := t.silentOn(text, c)
		ofDog := t.asksOfDog() && kindOf(best) == "dog" // is told together
		if silent && !ofDog && best.P >= clearFrom && read.CostOf(best.Intent) == read.Writes && len(strings.Fields(c)) >= fragment && !read.IsQuestion(c) {
			t.Unused(c)
		}
	}
}

// mayBe is how likely it must be that a sentence says something for it to be said as not
// used (our own choice).
const mayBe = 0.3

// silentOn is what one sentence of a message likely says, and whether the answer says nothing
// of it: it records nothing of its kind, and has at most a third of its words (our own choice).
func (t *Turn) silentOn(text, part string) (best read.Reading, is bool) {
	says := t.hearAs(part, "").Says
	if len(says) == 0 || t.Alarm(part).Level > alarm.Watch {
		return best, false
	}
	best = says[0].Readings[0]
	kind, of, a := kindOf(best), saidOf[best.Intent], t.answered(nil)
	asks := slices.ContainsFunc(t.Replies, func(r say.Reply) bool {
		return len(r.Buttons) > 0 && strings.Contains(r.Body[0].Text, "?")
	})
	answers := func(st read.Statement) bool {
		return kindOf(st.Readings[0]) == kind && (read.CostOf(best.Intent) == read.Reads || t.Before == nil && (asks || len(read.SentencesOf(text)) == 1))
	}
	does := func(r read.Reading) bool { return r.P >= leastOffered && t.did(kindOf(r)) }
	if q := t.reg.Forms[t.loaded.Kind].Asked[t.loaded.Step]; q != "" { // "no he's fine", noted as no illness
		if was := t.hearAs(part, q).Says; len(was) == 1 && was[0].Readings[0].Intent == "answer" {
			return best, false
		}
	}
	if len(t.Home.Dogs) == 0 && kind != "dog" || read.In("intent:small-talk", best.Intent) || of != "" && read.Says(of, a.said) || slices.ContainsFunc(t.heard(text).Says, answers) || slices.ContainsFunc(says[0].Readings, does) {
		return best, false
	}
	for _, n := range t.slotsOf(part).Named() { // "he ought to be 26 pounds", said in kg
		if n.Kind == slots.Amount && a.has(t, n) {
			return best, false
		}
	}
	said, all := 0, 0
	words := wordsOf(read.Without("small-words", part))
	for _, x := range t.slotsOf(part).Numbers() { // "fourteen", but for "a cup"
		if x != 1 {
			words[span.Plain(x)]++
		}
	}
	for w := range words {
		all++
		said += say.Choose(a.anyOf(w), 1, 0)
	}
	return best, all > 1 && 3*said <= all
}

// did reports that something of a kind of intent was recorded in this turn.
func (t *Turn) did(kind string) bool {
	done := say.Each(t.change.Also, func(d store.Done) string { return d.Kind })
	if (t.Talk.Kind == "food" || kind == "recipe" && t.Talk.Kind == kind) && !bytes.Equal(t.Talk.Draft, t.draftWas) {
		return true // a label, or a line of a recipe
	}
	return t.Before != nil && slices.ContainsFunc(append(done, t.change.Kind), func(did string) bool {
		return slices.Contains(kindsOf[kind], strings.TrimPrefix(did, "did."))
	})
}

// kindsOf are by the kinds of intents the changes that record such.
var kindsOf = map[string][]string{
	"fed":       {"fed", "not-fed", "less", "other", "reminder-added"},
	"treat":     {"treat", "fed"},
	"supp":      {"given", "not-given", "reminder-added", "reminder-changed", "reminder-stopped", "stock", "note-done"},
	"remind":    {"meals", "reminder-added", "reminder-changed", "reminder-stopped", "paused", "put-off", "quiet", "resumed", "moved", "feed-times", "note-done"},
	"feedtimes": {"feed-times", "dog-changed", "meals"},
	"weight":    {"weighed", "dog-added", "weighing-changed", "weighing-deleted"},
	"dog":       {"dog-added", "dog-changed", "scored", "profile", "risk", "meals", "grown-weight", "sign"},
	"fix":       {"dog-added", "dog-changed"},
	"goal":      {"goal", "dog-added"},
	"kcal":      {"kcal-set", "kcal-applied", "kcal-kept"},
	"health":    {"sign", "vet-saw", "well", "stool"},
	"stool":     {"stool", "sign", "well"},
	"recipe":    {"recipe-added", "recipe-changed", "recipe-noted", "recipe-stands", "eats"},
	"batch":     {"packs", "freezer", "yield", "pot", "cup"},
	"switch":    {"transition", "transition-hold", "transition-on", "transition-stopped"},
	"rotation":  {"rotation", "rotation-stopped", "kept-days"},
	"cost":      {"price", "price-gone", "currency"},
	"shop":      {"shop-added", "shop-dropped", "shop-made", "shop-tick"},
	"set":       {"units", "zone", "zone-of", "number"},
}

// answered is what an answer says or keeps, in words and numbers.
type answered struct {
	words map[string]int
	dated bool      // it keeps another day than today
	by    []float64 // how much numbers of the record have changed
	typed []float64
	said  string // what it says, in small letters
	keeps bool   // it keeps something
}

func (t *Turn) answered(typed []float64) *answered {
	a := &answered{words: wordsOf(t.change.About), typed: typed, keeps: t.Before != nil || !t.notes.none()}
	for _, r := range t.Replies {
		for _, b := range r.Body {
			maps.Copy(a.words, wordsOf(b.Text))
			a.said += strings.ToLower(b.Text) + "\n"
		}
	}
	for _, e := range t.notes.added {
		if r := t.Recipe(e.Recipe); r != nil { // a meal of it
			maps.Copy(a.words, wordsOf(r.Name))
		}
	}
	kept := func(of ...any) map[string]int {
		all := map[string]int{}
		data, err := json.Marshal(of)
		if err == nil {
			var record any
			err = json.Unmarshal(data, &record)
			t.countKept(record, all)
		}
		t.Fail(err)
		return all
	}
	now := kept(t.Home, t.notes.added, t.Talk.Draft, t.Talk.Link)
	was := kept(t.asWas, t.notes.removed, t.draftWas)
	added, gone := more(now, was), more(was, now)
	maps.Copy(a.words, added)
	for w := range added {
		a.dated = a.dated || len(w) == len(time.DateOnly) && w[4] == '-' && w != t.Date().String()
	}
	maps.Copy(a.words, gone) // what was taken out
	for w := range gone {
		for v := range added {
			a.by = append(a.by, math.Abs(number(v)-number(w)))
		}
	}
	for _, d := range t.Home.Dogs { // a goal may be told as so much more or less
		for v := range added {
			a.by = append(a.by, math.Abs(number(v)-float64(d.Weight)))
		}
	}
	return a
}

// countKept counts the words and numbers of a record. The figures of an id, a day
// or an instant are none that a carer types.
func (t *Turn) countKept(record any, all map[string]int) {
	switch v := record.(type) {
	case map[string]any:
		for name, x := range v {
			all[strings.ToLower(name)]++
			t.countKept(x, all)
		}
	case []any:
		for _, x := range v {
			t.countKept(x, all)
		}
	case float64:
		all[strconv.FormatFloat(v, 'f', -1, 64)]++
	case string:
		if len(v) >= len(time.DateOnly) && v[4] == '-' {
			all[v[:len(time.DateOnly)]]++
			if at, err := time.Parse(time.RFC3339, v); err == nil {
				all[at.In(t.Event.At.Location()).Format("15")]++
			}
		}
		if strings.ContainsRune(v, ' ') || !strings.ContainsAny(v, "0123456789") || len(v) < 6 {
			for w, n := range wordsOf(v) {
				all[w] += n
			}
		}
	}
}

var aWord = regexp.MustCompile(`[0-9]+(?:\.[0-9]+)?|\pL+[0-9]*`)

var aRun = regexp.MustCompile(`[0-9]+`)

// wordsOf are the words and numbers of a text, and how often it has each.
func wordsOf(s string) map[string]int {
	all := map[string]int{}
	for _, w := range aWord.FindAllString(strings.ToLower(s), -1) {
		all[w]++
	}
	return all
}

// more are the words that one has more often than the other.
func more(a, b map[string]int) map[string]int {
	a = maps.Clone(a)
	maps.DeleteFunc(a, func(w string, n int) bool { return n <= b[w] })
	return a
}

// number is what a word of digits says, else no number.
func number(w string) float64 {
	x, err := strconv.ParseFloat(w, 64)
	if err != nil {
		return math.NaN()
	}
	return x
}

// has reports that an answer says or keeps what is named, or needs not.
func (a *answered) has(t *Turn, n slots.Naming) bool {
	words := strings.Fields(strings.ToLower(n.Text))
	last := words[len(words)-1]
	switch n.Kind {
	case slots.Dog:
		d, told := t.DogNamed(n.Text), len(slices.DeleteFunc(t.Dogs(), func(d *planner.Dog) bool { return !a.anyOf(d.Name) }))
		return len(t.Home.Dogs) == 1 || a.anyOf(n.Text) || a.words["dogs"] > 0 || d != nil && a.words[strings.ToLower(d.ID)] > 0 || !a.keeps && told == 0 || d == nil && told != 1
	case slots.Day:
		return a.hasDay(t, strings.ToLower(n.Text))
	case slots.Time:
		at, half := planner.Clock(n.N), planner.At(12, 0)
		return a.words[at.String()[:2]]+a.words[((at + half) % (2 * half)).String()[:2]] > 0
	case slots.Lasts:
		return a.dated || a.words[words[0]]+a.words[span.Plain(n.N)] > 0 || a.says(say.DayText(t.Date().AddDays(int(n.N)))) || a.says(say.DayText(t.Date().AddDays(int(n.N)-1)))
	case slots.Said:
		return a.keeps || a.anyOf(last) || strings.Contains(a.said, " in all ") // "meets AAFCO adult in all 40"
	case slots.Except:
		return len(words) == 1 || !a.anyOf(last) || strings.Contains(a.said, last+"less") || strings.Contains(a.said, " but for ") || strings.Contains(a.said, "no "+last) || strings.Contains(a.said, "not "+last) || strings.Contains(a.said, "without "+last)
	case slots.Food:
		found := t.Foods.Find(n.Text)
		of := func(f *nutrition.Food) bool { return f != nil && a.anyOf(f.Name) }
		return slices.ContainsFunc(append(found.Choices, found.Food), of) || a.anyOf(n.Text) || strings.Contains(a.said, read.Without("stem", strings.ToLower(n.Text))) // "worming", of which "worm Pip" is said
	}
	if n.Counted && !a.keeps { // "are 4 cups enough", answered in grams
		return true
	}
	for w := range a.words {
		if a.counts(number(w), n) {
			return true
		}
	}
	if digits := aRun.FindAllString(n.Text, -1); !slices.ContainsFunc(digits, func(w string) bool { return a.words[w]+a.words["0"+w] == 0 }) {
		return true // "6.30", which the answer writes 06:30
	}
	return slices.ContainsFunc(a.by, func(x float64) bool { return a.counts(x, n) })
}

// hasDay reports that the answer says a day, or keeps it; of words that are no day
// alone ("last month") that it keeps another day than today.
func (a *answered) hasDay(t *Turn, text string) bool {
	text = read.Without("day-lead", text)
	day, is := read.DayThatWas(text, t.Event.At)
	ahead, err := span.Date(text, t.Event.At)
	said := func(d planner.Date) bool {
		return d == t.Date() || a.words[d.String()] > 0 || a.says(say.DayText(d)) || a.says(d.Weekday().String()) || a.says(d.Weekday().String()[:3]) || d == t.Date().AddDays(-1) && a.says("yesterday")
	}
	none := !is && err != nil
	named := func(w string) bool { return len(w) > 3 && (a.anyOf(w) || a.words[w[:3]] > 0) }
	if none && (read.Says("says-range", a.said) || slices.ContainsFunc(strings.Fields(text), named)) { // "this week"
		return true
	}
	kept := a.dated && (none || strings.ContainsAny(text, "0123456789"))
	return kept || a.says(text) || read.Says("no-day", text) || read.Says("of-days", a.said) ||
		is && said(day) || err == nil && (said(ahead) || !ahead.Before(t.Date()) && said(ahead.AddDays(1)))
}

// says reports that all words of a text are there.
func (a *answered) says(text string) bool { return len(more(wordsOf(text), a.words)) == 0 }

// anyOf reports that one of the words of a name is there, in singular or plural.
func (a *answered) anyOf(name string) bool {
	for w := range wordsOf(name) {
		if a.words[w] > 0 || len(w) > 2 && (a.words[w+"s"] > 0 || a.words[strings.TrimSuffix(w, "s")] > 0) {
			return true
		}
	}
	return false
}

// perUnit are what an amount's number becomes in another unit: of kg, mg, lb, oz,
// stone and pence, of kJ (all by definition). What is counted has none.
var perUnit = []float64{1000, 0.001, 453.592, 0.453592, 28.3495, 6350.29, 6.35029, 2.20462, 35.274, 100, 1 / 4.184}

// counts reports that a number is an amount, perhaps in another unit, as many times
// as was typed, or shared by two or three; a volume may be said in grams.
func (a *answered) counts(x float64, n slots.Naming) bool {
	is := func(y float64) bool { return math.Abs(x-y) <= 0.006*x } // the kitchen's rounding
	inUnit := func(f float64) bool { return is(n.N * f) }
	return inUnit(1) || inUnit(1./2) || inUnit(1./3) || slices.ContainsFunc(a.typed, inUnit) ||
		!n.Counted && slices.ContainsFunc(perUnit, inUnit) ||
		n.Volume && x > 0.85*n.N && x < 1.05*n.N
}
