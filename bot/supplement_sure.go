package bot

import (
	"slices"
	"strings"

	"bowlwright/bot/read"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// farAbove is how many times a maximum one dose must bring before it is kept
// only on a yes: a slip of the unit, more often than not (our own choice).
const farAbove = 10

// askGiven asks whether a dose that is far too much, or that cannot be judged
// and harms where it is, is really to be kept, and reports whether it asked.
func (t *turn) askGiven(d remindDraft) bool {
	text := t.farTooMuch(&d.R)
	if d.R.Kind == planner.NoteReminder && givesVitaminA(d.R.Text) {
		text = msg("supplement.vitamin-a")
	}
	if text == "" {
		return false
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
		t.finishRemind(d)
	default:
		t.inPlace(t.sayMsg("supplement.not-kept"))
		if in.press == "" && !isNo(said) {
			t.aside(in.text)
		}
	}
}

// farTooMuch says of what one dose brings many times the most that its dog is
// to have in a day; empty where it does not.
func (t *turn) farTooMuch(r *planner.Reminder) string {
	d := t.dog(r.Dog)
	if d == nil || r.Dose == nil {
		return ""
	}
	aDay := planner.AmountOf(*d, t.event.At).Kcal
	profile := planner.RequirementsFor(*d, t.event.At, t.home.Profile)
	if aDay <= 0 || profile == nil {
		return ""
	}
	var lines []string
	for _, o := range nutrition.Overdoses(nutrition.Mixture{Extras: t.extrasOf(r.Dose, d, 1)}, profile, aDay) {
		if o.Amount >= farAbove*o.Max {
			day := float64(aDay) / 1000
			lines = append(lines, msg("supplement.far", "times", trim(o.Amount/o.Max, 0), "nutrient", o.Subject.Name(), "dog", d.Name,
				"most", sig(o.Max*day), "unit", unitText(o.Subject.Unit()), "table", msg("profile."+o.Profile)))
		}
	}
	return joinParas(lines...)
}

// givesVitaminA reports that a reminder is to give vitamin A, which is no
// supplement of the table.
func givesVitaminA(text string) bool {
	said := strings.Fields(strings.ToLower(text))
	for i, w := range said {
		if w == "retinol" || i > 0 && w == "a" && (said[i-1] == "vitamin" || said[i-1] == "vit") {
			return true
		}
	}
	return false
}

func noCalcium(f *nutrition.Food) bool { return !(f.Per100[nutrition.Calcium].High > 0) }

// whichDose answers words that may mean several foods: the supplement among
// them where there is only one, else, of calcium, the names to choose from.
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
	var names []string
	for _, f := range given {
		names = append(names, f.Name)
	}
	return dose, msg("supplement.which", "text", short(words), "foods", list(names)), nil
}
