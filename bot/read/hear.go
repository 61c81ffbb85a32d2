// Package read takes in what a carer typed. Hear says what a message says:
// statement by statement, as ranked readings with what to do about each. Understand
// reads sentences that fit exactly, and the other functions read one kind of
// statement: a weigh-in, a dog in one line, a rotation. What is done about them is
// decided in the rooms of package bot.
//
// It stands on packages of its own: language (the word lists), span (words, numbers,
// units, days and times), foodline (recipe lines and labels), alarm (signs and
// dangers), rank (what a statement means) and slots (what it names).
//
// Nothing fails as a whole because a part failed: what was not understood comes
// back as a span.Problem with the text it is about.
package read

import (
	"runtime/debug"
	"slices"
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"

	"bowlwright/bot/read/alarm"
	"bowlwright/bot/read/language"
	"bowlwright/bot/read/rank"
	"bowlwright/bot/read/slots"
	"bowlwright/bot/read/span"
)

// Heard is what a text says.
type Heard struct {
	Urgent bool        `json:"urgent"` // it may be an emergency, whatever else it is
	Says   []Statement `json:"says"`
}

// Statement is a part of a text that says one thing: what it may mean,
// likeliest first, and what is to be done about it.
type Statement struct {
	Text     string    `json:"-"`
	Readings []Reading `json:"readings"`
	Do       Doing     `json:"do"`
	Urgent   float64   `json:"-"` // how likely it is an emergency
}

// Reading is one way to take a statement.
type Reading struct {
	Intent string            `json:"intent"`
	P      float64           `json:"p"` // how likely it is
	Slots  map[string]string `json:"slots"`
}

// Hear reads a text. Who has heard alarms in it before says which; nil: it hears them
// itself. The same text and context give the same answer.
func Hear(text string, c span.Context, alarms func(string) alarm.Alarm) Heard {
	text = strings.TrimSpace(span.Clean(text))
	text, _ = span.FirstRunes(text, mostHeard)
	if utf8.RuneCountInString(text) < 2 {
		return Heard{}
	}
	in := rank.Input{Text: text, Dogs: namesOf(c.Names.Dogs), Recipes: namesOf(c.Names.Recipes), Carers: namesOf(c.Carers), Open: c.Open}
	var h Heard
	parts := Ranker().Statements(&in)
	if alarms == nil {
		alarms = func(s string) alarm.Alarm { return alarm.In(s, c.Names) }
	}
	alarming := func(s string) bool { // one of the lists of signs and dangers has it
		a := alarms(s)
		return a.Eaten != nil || a.Level >= alarm.VetToday
	}
	dire := alarming(text) // a sign may be told in two statements
	for _, s := range parts {
		st := Statement{Text: s.Text, Urgent: urgentIn(s.Ranked)}
		if dire && len(parts) == 1 || len(parts) > 1 && alarming(s.Text) {
			st.Urgent = 1 // whatever the ranker makes of it
		}
		named := slots.In(s.Text, c)
		for _, r := range s.Ranked[:shown] {
			st.Readings = append(st.Readings, Reading{r.Intent, r.P, named.Of(r.Intent)})
		}
		st.Do = doing(s.Ranked, c.Open, enough(named, st.Readings[0]), len(parts) == 1)
		if best := &st.Readings[0]; len(parts) == 1 && best.P < 1 && CostOf(best.Intent) == Writes {
			if _, told := ToldMeal(s.Text, c.Names, c.Units); told && strings.HasPrefix(best.Intent, "fed.") {
				st.Do, best.P = Act, 1
			} else if st.Do == Act && language.In("meal-said-by", best.Intent) && len(best.Slots) == 0 && !language.Says("of-feeding", s.Text) {
				st.Do = Confirm // "rang the vet" is no meal left out
			} else if st.Do != Act && exactly(best.Intent, s.Text, c) {
				st.Do = Act
			}
		}
		h.Urgent = h.Urgent || dire || st.Urgent >= UrgentFrom
		h.Says = append(h.Says, st)
	}
	return h
}

// exactly reports that a sentence says the same as a reading.
func exactly(intent, text string, c span.Context) bool {
	s, ok := Understand(text, c.Names, c.Units)
	return ok && (string(s.Intent) == intent || strings.HasPrefix(string(s.Intent), intent+"."))
}

// Ready loads what messages are read by. Else the first message does, and what
// runs beside it stands still meanwhile. All of it stays in use: looking for garbage
// among it took a quarter of the time.
func Ready() {
	defer debug.SetGCPercent(debug.SetGCPercent(-1))
	patterns()
	alarm.Alarms()
	Ranker()
}

// StrangeName returns a word within a text that is written as a name and is
// none that is known; empty where there is none.
func StrangeName(text string, n span.Names) string {
	words := strings.FieldsFunc(text, func(r rune) bool { return !unicode.IsLetter(r) && r != '-' })
	for i, w := range words {
		letters := []rune(w)
		if i == 0 || len(letters) < 3 || !unicode.IsUpper(letters[0]) || !unicode.IsLower(letters[1]) || Ranker().Knows(w) {
			continue
		}
		if isPartOf := func(known span.Named) bool { return HasName(known.Name, w) }; !slices.ContainsFunc(n.Dogs, isPartOf) && !slices.ContainsFunc(n.Recipes, isPartOf) {
			return w
		}
	}
	return ""
}

// Answers reports that an intent is an answer to a question, or says the same.
func Answers(open, intent string) bool { return rank.SameAsAnswer(open, "answer", intent) }

const (
	mostHeard = 2000 // runes of a text that are heard; a recipe pasted is longer
	shown     = 3    // readings of a statement
)

func namesOf(all []span.Named) (names []string) {
	for _, n := range all {
		names = append(names, n.All()...)
	}
	return names
}

//go:generate go run ./rank/train

// Ranker is the model that the program carries.
var Ranker = sync.OnceValue(func() *rank.Model {
	return language.Must(rank.Load(language.Open("weights.gob.zst"), slots.Lexicon()))
})
