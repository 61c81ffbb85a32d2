package read

import (
	"strings"
	"time"

	"bowlwright/bot/read/alarm"
	"bowlwright/bot/read/foodline"
	"bowlwright/bot/read/rank"
	"bowlwright/bot/read/span"
)

// fits are what fits a text exactly: a wording, and readers of one kind of
// statement.
func fits(text string, c Context) (all []string) {
	n, u, now := c.Names, c.Units, c.Now
	if s, ok := Understand(text, n, u); ok {
		all = append(all, string(s.Intent))
	}
	a := alarm.In(text, n)
	switch {
	case a.Eaten != nil:
		all = append(all, "eaten")
	case a.Level >= alarm.VetToday:
		all = append(all, "alarm")
	case a.Signs:
		all = append(all, "signs")
	}
	if a.Asked != nil || a.Food != nil {
		all = append(all, "danger-asked")
	}
	if a.Dose {
		all = append(all, "dose-asked")
	}
	if a.Person || a.Past || a.Cry {
		all = append(all, "alarm-else")
	}
	if IsQuestion(text) {
		all = append(all, "question")
	}
	if said, ok := DueAnswer(text, n, now); ok {
		all = append(all, "due-"+string(said.Act))
	}
	if SaysGiven(text) {
		all = append(all, "given")
	}
	if _, ok, err := Weighings(text, n, u, now); ok && err == nil {
		all = append(all, "weighings")
	} else if _, ok, err := Weighing(text, n, u, now); ok && err == nil {
		all = append(all, "weighing")
	}
	if _, _, ok := NamedWeight(text, n, u); ok {
		all = append(all, "named-weight")
	}
	if _, ok := Treat(text, n); ok {
		all = append(all, "treat")
	}
	if _, _, ok := DogFacts(text, n, u, now); ok {
		all = append(all, "dog-facts")
	}
	if _, ok := BareFacts(text, u, now); ok {
		all = append(all, "facts")
	}
	if IsSwitch(text, n) {
		all = append(all, "switch")
	}
	if _, err := OrderText(text, n, now); err == nil {
		all = append(all, "rotation")
	}
	if c := CourtesyOf(text); c != NoCourtesy {
		all = append(all, "courtesy-"+string(c))
	}
	if _, ok := StoolSaid(text); ok {
		all = append(all, "stool")
	}
	if _, ok := PartEaten(text); ok {
		all = append(all, "part")
	}
	if foodline.SaysHowOften(text) {
		all = append(all, "how-often")
	}
	if OfMedicine(text) {
		all = append(all, "medicine")
	}
	if _, _, ok := DoneBy(text, c.Carers); ok {
		all = append(all, "by")
	}
	return all
}

// isAlarm reports that what fits is an emergency by the lists of signs and
// dangers.
func isAlarm(fit string) bool { return fit == "eaten" || fit == "alarm" }

// ContextOf is the context of a wording.
func ContextOf(w *rank.Wording) Context {
	return Context{Names: span.Names{Dogs: named(w.Dogs), Recipes: named(w.Recipes)}, Carers: named(w.Carers), Open: w.Open, Now: time.Date(2026, 3, 2, 12, 0, 0, 0, time.UTC)}
}

// FitsOf is what fits a text of a wording exactly, for training.
func FitsOf(w *rank.Wording, text string) []string {
	return fits(strings.TrimSpace(span.Clean(text)), ContextOf(w))
}

func named(names []string) (all []span.Named) {
	for _, name := range names {
		if name != "-" {
			all = append(all, span.Named{ID: name, Name: name})
		}
	}
	return all
}
