package bot

import (
	"errors"
	"slices"
	"strings"

	"bowlwright/bot/read"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// How many times a maximum one day's dose may bring: above the one it is kept
// only on a yes, and from the other on not at all, since that is a slip of the
// unit more often than not (both our own choice).
const (
	wellAbove = 2
	farAbove  = 10
)

// askGiven asks whether a dose that is well above a maximum is really to be
// kept, or says that it is not where it is far above, and reports whether it
// did either. It is asked of a new reminder and of a changed one alike.
func (t *turn) askGiven(d remindDraft) bool {
	text, times := t.tooMuchGiven(&d.R)
	switch {
	case text == "":
		return false
	case times >= farAbove:
		t.inPlace(t.say(para(text), para(msg("supplement.too-far"))))
		return true
	}
	t.ask("remind", "sure", d)
	t.say(para(text), para(msg("supplement.sure"))).
		offer(t.answer(msg("button.keep-anyway"), "sure", "keep it"), t.answer(msg("button.leave-out"), "sure", "no"))
	return true
}

// takeGiven takes the answer to askGiven; what is no yes keeps nothing.
func (t *turn) takeGiven(d remindDraft, in answer) {
	said := strings.ToLower(strings.Trim(in.value(), " .!"))
	t.endDialogue()
	switch {
	case said == "keep it" || said != "keep" && isYes(said):
		d.done("sure")
		t.keepDraft(d)
	default:
		t.inPlace(t.sayMsg("supplement.not-kept"))
		if in.press == "" && !isNo(said) {
			t.aside(in.text)
		}
	}
}

// keepDraft keeps a new reminder, or the change of one, after what has to be
// asked about it.
func (t *turn) keepDraft(d remindDraft) {
	if d.New {
		t.finishRemind(d)
		return
	}
	if !d.Done["sure"] && t.askGiven(d) {
		return
	}
	if r := t.changeReminder(d.R); r != nil {
		t.showReminder(r, msg("remind.changed"), t.undoButton())
		return
	}
	t.sayMsg("press.gone")
}

// tooMuchGiven says of what a dose brings its dog well more than it is to have
// in a day, and how many times the most; empty where it does not. A single dose
// is judged, or a day's where there are several.
func (t *turn) tooMuchGiven(r *planner.Reminder) (text string, times float64) {
	d := t.dog(r.Dog)
	if d == nil || r.Dose == nil {
		return "", 0
	}
	return t.doseAbove(r.Dose, d, max(1, dosesADay(r.Schedule)), wellAbove)
}

// doseAbove says of what a dose that is given so often on a day brings so many
// times the most that a dog is to have, or more.
func (t *turn) doseAbove(dose *planner.Dose, d *planner.Dog, perDay, least float64) (text string, times float64) {
	aDay := planner.AmountOf(*d, t.event.At).Kcal
	profile := planner.RequirementsFor(*d, t.event.At, t.home.Profile)
	if aDay <= 0 || profile == nil {
		return "", 0
	}
	var lines []string
	for _, o := range nutrition.Overdoses(nutrition.Mixture{Extras: t.extrasOf(dose, d, perDay)}, profile, aDay) {
		if o.Kind == nutrition.LegalMax && o.Amount < farAbove*o.Max {
			continue // what the law lets be added is far below what harms
		}
		if o.Amount >= least*o.Max {
			times = max(times, o.Amount/o.Max)
			lines = append(lines, msg("supplement.far", "times", timesText(o.Amount/o.Max), "nutrient", o.Subject.Name(), "dog", d.Name,
				"most", sig(o.Max*float64(aDay)/1000), "unit", unitText(o.Subject.Unit()), "table", msg("profile."+o.Profile)))
		}
	}
	return joinParas(lines...), times
}

// timesText prints how many times: "2.5", "700".
func timesText(x float64) string {
	if x < farAbove {
		return trim(x, 1)
	}
	return trim(x, 0)
}

// doseChoices is an error: words that may be of several supplements, between
// which the carer has to choose.
type doseChoices struct{ foods []*nutrition.Food }

// text asks which of them words mean.
func (c doseChoices) text(words string) string {
	var names []string
	for _, f := range c.foods {
		names = append(names, f.Name)
	}
	return msg("supplement.which", "text", short(words), "foods", list(names))
}

func (doseChoices) Error() string { return "bot: several supplements are meant" }

// calciumGrowing is what is to be said where calcium is given to a growing dog.
func (t *turn) calciumGrowing(r *planner.Reminder, d *planner.Dog) string {
	if planner.AmountOf(*d, t.event.At).Gate != planner.GrowthGate {
		return ""
	}
	for _, x := range t.extrasOf(r.Dose, d, 1) {
		if x.Nutrient == nutrition.Calcium && x.PerDay > 0 {
			return msg("supplement.calcium-growth", "dog", d.Name)
		}
	}
	return ""
}

// isDoseChoice reports that words are of one of several supplements.
func isDoseChoice(err error) bool {
	var c doseChoices
	return errors.As(err, &c)
}

// askWhichDose asks which of several supplements was meant.
func (t *turn) askWhichDose(d remindDraft, words string) bool {
	_, _, err := t.readDose(words)
	var c doseChoices
	if !errors.As(err, &c) {
		return false
	}
	d.Typed = words
	t.ask("remind", "what", d)
	out := t.say(para(c.text(words)))
	for _, f := range c.foods {
		out.offer(t.answer(f.Name, "what", "["+f.Key+"]"))
	}
	out.offer(t.stopButton())
	return true
}

func noCalcium(f *nutrition.Food) bool { return !(f.Per100[nutrition.Calcium].High > 0) }

// whichDose answers words that may mean several foods: the supplement among
// them where there is only one, else, of calcium, a doseChoices.
func (t *turn) whichDose(words string, p read.Problem) (dose planner.Dose, wrong string, err error) {
	var given []*nutrition.Food
	for _, f := range p.Finding.Choices {
		if f.Has(nutrition.Supplement) {
			given = append(given, f)
		}
	}
	switch {
	case len(given) == 0 || strings.Contains(words, "[") || len(given) > 1 && slices.ContainsFunc(given, noCalcium):
		return dose, "", errNoSupplement
	case len(given) == 1:
		return t.readDose(words + " [" + given[0].Key + "]")
	}
	return dose, "", doseChoices{given}
}
