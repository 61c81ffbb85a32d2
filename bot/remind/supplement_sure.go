package remind

import (
	"cmp"
	"errors"
	"slices"
	"strings"

	"bowlwright/bot/balance"
	"bowlwright/bot/read"
	"bowlwright/bot/read/alarm"
	"bowlwright/bot/read/span"
	"bowlwright/bot/recipes"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/planner/illness"
)

// askGiven asks whether to keep a dose that is well above a maximum, refuses
// one that is far above, and reports whether it did either. New and changed
// reminders alike pass here.
func askGiven(t *talk.Turn, d remindDraft) bool {
	text, far := tooMuchGiven(t, &d.R)
	vet := onlyByVet(t, &d.R)
	switch {
	case far:
		t.InPlace(t.Say(say.Para(text), say.Para(msg("supplement.too-far"))))
		return true
	case vet != "":
		t.Ask("remind", "sure", d)
		t.Say(say.Para(vet), say.Para(text), say.Para(msg("supplement.vet-sure"))).
			Offer(t.Answer(msg("button.vet-said"), "sure", "keep it"), t.Answer(msg("button.leave-out"), "sure", "no"))
		return true
	case text == "":
		return false
	}
	t.Ask("remind", "sure", d)
	t.Say(say.Para(text), say.Para(msg("supplement.sure"))).
		Offer(t.Answer(msg("button.keep-anyway"), "sure", "keep it"), t.Answer(msg("button.leave-out"), "sure", "no"))
	return true
}

// onlyByVet is why nobody is reminded of something to be given before a vet
// has said so: what poisons dogs, calcium for one that grows, and phosphorus for
// one with kidney disease.
func onlyByVet(t *talk.Turn, r *planner.Reminder) string {
	d := cmp.Or(t.Dog(r.Dog), talk.TheDog(t))
	switch {
	case r.Kind == planner.SupplementReminder && r.Dose != nil && d != nil:
		return mineralByVet(t, r, d)
	case r.Kind != planner.NoteReminder:
		return ""
	case d != nil && planner.AmountOf(*d, t.Event.At).Gate == planner.GrowthGate && read.Says("calcium", r.Text):
		return msg("supplement.calcium-growth", "dog", d.Name)
	}
	if have, dose := t.Reminder(r.ID), read.Pattern("dose"); have != nil && givesOther(t, r) && dose.FindString(have.Text) != dose.FindString(r.Text) {
		return say.JoinParas(poisonText(t, r), msg("supplement.other-dose", "what", r.Text, "was", have.Text))
	}
	return poisonText(t, r)
}

// takeGiven takes the answer to askGiven; what is no yes keeps nothing.
func takeGiven(t *talk.Turn, d remindDraft, in talk.Answer) {
	said := strings.ToLower(strings.Trim(in.Value(), " .!"))
	t.EndDialogue()
	switch {
	case said == "keep it" || said != "keep" && talk.IsYes(said):
		d.done("sure")
		keepDraft(t, d)
	default:
		t.InPlace(t.SayMsg("supplement.not-kept"))
		if in.Press == "" && !talk.IsNo(said) && !t.Aside(in.Text) {
			t.Event.Text = in.Text
			t.RouteWords(in.Text)
		}
	}
}

// keepDraft keeps a new reminder, or the change of one, after what has to be
// asked about it.
func keepDraft(t *talk.Turn, d remindDraft) {
	if d.New {
		finishRemind(t, d)
		return
	}
	if !d.Done["sure"] && askGiven(t, d) {
		return
	}
	if have := t.Reminder(d.R.ID); have != nil {
		head, was := msg("remind.changed"), talk.ReminderTitle(t, have)
		r := changeReminder(t, d.R)
		if was != talk.ReminderTitle(t, r) {
			head = msg("remind.changed-from", "was", was)
		}
		showReminder(t, r, head, t.UndoButton())
		return
	}
	t.SayMsg("press.gone")
}

// tooMuchGiven says of what a dose brings its dog well more than it is to have
// or, of what has no maximum, than it needs in a day, and whether that is far too
// much; empty where it does not. A single dose
// is judged, or a day's where there are several.
func tooMuchGiven(t *talk.Turn, r *planner.Reminder) (text string, far bool) {
	d := t.Dog(r.Dog)
	if d == nil || r.Dose == nil {
		return "", false
	}
	text, far = recipes.DoseAbove(t, r.Dose, d, max(1, balance.DosesADay(r.Schedule)))
	return cmp.Or(text, tenTimes(t, r, d)), far
}

// doseChoices is an error: words that may be of several supplements, between
// which the carer has to choose.
type doseChoices struct{ foods []*nutrition.Food }

// text asks which of them words mean.
func (c doseChoices) text(words string) string {
	return msg("supplement.which", "text", say.Short(words), "foods", say.ListOf(c.foods, func(f *nutrition.Food) string { return f.Name }))
}

func (doseChoices) Error() string { return "bot: several supplements are meant" }

// tracePhosphorus is how many mg of phosphorus in a dose are no matter (our own
// choice): a small dog needs some 200 mg a day.
const tracePhosphorus = 10

// mineralByVet is what is to be said where a dose brings calcium for a growing
// dog, or phosphorus for one with kidney disease.
func mineralByVet(t *talk.Turn, r *planner.Reminder, d *planner.Dog) string {
	growing := planner.AmountOf(*d, t.Event.At).Gate == planner.GrowthGate
	kidney := slices.Contains(illness.In(d.Health), illness.Kidney)
	f := t.Foods.Food(r.Dose.Food)
	listed := f != nil && f.Per100[nutrition.Phosphorus].High > 0
	for _, x := range recipes.ExtrasOf(t, r.Dose, d, 1) {
		switch {
		case growing && x.Nutrient == nutrition.Calcium && x.PerDay > 0:
			return msg("supplement.calcium-growth", "dog", d.Name)
		case kidney && x.Nutrient == nutrition.Phosphorus && (x.PerDay >= tracePhosphorus || x.NotKnown && !x.Unlisted && listed):
			return msg("supplement.phosphorus-kidney", "dog", d.Name, "food", say.Capital(x.Name))
		}
	}
	return ""
}

// choicesOf are those of an error, and whether it is one of several supplements.
func choicesOf(err error) (c doseChoices, ok bool) {
	ok = errors.As(err, &c)
	return c, ok
}

// askWhichDose asks which of several supplements was meant.
func askWhichDose(t *talk.Turn, d remindDraft, words string) bool {
	_, _, err := readDose(t, words)
	c, several := choicesOf(err)
	if !several {
		return false
	}
	d.Typed = words
	t.Ask("remind", "what", d)
	out := t.Say(say.Para(c.text(words)))
	for _, f := range c.foods {
		out.Offer(t.Answer(f.Name, "what", "["+f.Key+"]"))
	}
	out.Offer(t.StopButton())
	return true
}

func noCalcium(f *nutrition.Food) bool { return !(f.Per100[nutrition.Calcium].High > 0) }

// whichDose answers words that may mean several foods: the supplement among
// them where there is only one, else, of calcium, a doseChoices.
func whichDose(t *talk.Turn, words string, p span.Problem) (dose planner.Dose, wrong string, err error) {
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
		return readDose(t, words+" ["+given[0].Key+"]")
	}
	return dose, "", doseChoices{given}
}

// TwiceText says what two doses of a supplement on one day come to: every
// maximum that the day is above then, or that none is known.
func TwiceText(t *talk.Turn, r *planner.Reminder) string {
	if r.Dose == nil {
		return say.Where(read.Says("medicine", r.Text) || alarm.NamesMedicine(r.Text), msg("supplement.two-medicine"))
	}
	d := cmp.Or(t.Dog(r.Dog), talk.TheDog(t))
	head := msg("supplement.two", "dose", talk.DoseAmount(t, talk.DoseOf(t, r)))
	if d == nil {
		return head
	}
	if unknown := recipes.NoStrength(t, r.Dose); unknown != "" {
		return say.JoinParas(head, unknown, msg("supplement.two-unknown"))
	}
	if _, far := recipes.DoseAbove(t, r.Dose, d, 2); far {
		return say.JoinParas(head, msg("supplement.two-far", "dog", d.Name))
	}
	above := ""
	if kcal, profile := needsOf(t, d); kcal > 0 && profile != nil {
		above = say.JoinParas(overdoses(t, r, d, "overdose.dose-", 2, map[nutrition.Subject]bool{})...)
	}
	return say.JoinParas(head, cmp.Or(above, msg("supplement.two-known")))
}

// besides is what a dog gets a day but for one reminder.
func besides(t *talk.Turn, d *planner.Dog, r *planner.Reminder) (m nutrition.Mixture) {
	if l, ok := eatenNow(t, d); ok {
		m = l.Mixture
		m.Extras = m.Extras[:len(m.Extras)-len(balance.RemindedOf(t, d, ""))]
	}
	m.Extras = append(slices.Clone(m.Extras), balance.RemindedOf(t, d, r.ID)...)
	return m
}

// bareDose reports that words are a supplement and how often it is given, and
// nothing else: "fish oil daily".
func bareDose(t *talk.Turn, r read.Reminder, dose planner.Dose) bool {
	return r.When.Repeats && emptyDose(dose) && onlyNames(t, r.Thing, dose.Food)
}

// DoseWords takes "give Juniper fish oil 1 tsp daily" and "Juniper gets zinc 15
// mg every 3 days" as if they began with "remind me to", and reports whether a
// text was one. Such a text says how often, or that it is given to a dog; a
// recipe line says neither, or has an amount.
func DoseWords(t *talk.Turn, s string) bool {
	if len(s) > 160 || strings.ContainsAny(s, "?\n") || len(t.Home.Dogs) == 0 || read.SaysOneOf(s, "has-been") || read.Says("carer-does", s) {
		return false
	}
	given := read.Without("dose-starts", s)
	each, err := read.EachReminder(given, t.Names(), t.Event.At)
	if given != s && talk.IsUnclear(err) {
		talk.SayWhenTrouble(t, err, s)
		return true
	}
	if err != nil || slices.ContainsFunc(each, func(r read.Reminder) bool { return read.Says("amount-alone", r.Thing) }) { // "Biscuit 280 g a day": a bowl
		return false
	}
	if len(each) > 1 {
		if !slices.ContainsFunc(each, func(r read.Reminder) bool {
			return read.Says("dose", r.Text) && (r.Dog != "" || r.Pronoun || r.About == read.Giving || len(r.When.Times) > 0)
		}) {
			return false
		}
		for _, r := range each {
			if read.Says("dose", r.Text) || r.About != read.Anything {
				makeReminder(t, r, s)
			} else {
				t.Unused(r.Thing) // "zinc 15 mg daily, from the vet"
			}
		}
		return true
	}
	r := each[0]
	often := r.When.Repeats || r.When.Monthly || r.When.Meal != "" || r.When.PerDay > 0
	switch {
	case r.About == read.Giving:
	case r.About != read.Anything || !often:
		return false
	}
	dose, wrong, err := readDose(t, r.Thing)
	if _, several := choicesOf(err); err != nil && !several || err == nil && wrong == "" && emptyDose(dose) && !often {
		return false
	}
	if r.Dog == "" && !r.Pronoun && r.About != read.Giving && !bareDose(t, r, dose) {
		return false
	}
	return remindDose(t, r)
}

// MedicineWords takes "Bruno gets benazepril 5 mg at 8 and 20" for a reminder to be
// made, where nothing else was understood. It is no note on health.
func MedicineWords(t *talk.Turn, s string) bool {
	r, err := read.ReminderText(s, t.Names(), t.Event.At)
	ofDay := t.Date().AddDays(1).Before(r.When.On) && !r.When.Weekday && r.About == read.Anything && len(strings.Fields(r.Text)) < 4 && !read.Says("was-done", s) && !read.Says("not-done-yet", s) // "flea tablet jan 8"
	if read.IsQuestion(s) || strings.Contains(s, "\n") || read.Says("ate-told", s) || err != nil || read.Says("names-no-reminder", r.Text) || !ofDay && (r.Dog == "" || len(r.When.Times) == 0 && r.When.Meal == "") || !read.Says("medicine", r.Text) || r.About != read.Giving && r.About != read.Anything {
		return false
	}
	if w := &r.When; !w.Repeats && !w.Monthly && w.On.IsZero() && w.At.IsZero() {
		w.Repeats, w.Cadence = true, planner.Cadence{EveryDays: 1}
	}
	remindNote(t, r)
	return true
}

// OtherDose takes "vit E is 400 not 200", "Bruno now gets benazepril 2.5 mg" for another
// dose of what a reminder is of: its days and times stay, but for those that are said.
func OtherDose(t *talk.Turn, s string) bool {
	said := read.Without("dose-was", s)
	amount := cmp.Or(read.Pattern("dose").FindString(said), read.Pattern("bare-dose").FindString(said))
	if amount == "" || !read.Says("other-dose", s) || read.IsQuestion(s) || strings.Contains(s, "\n") {
		return false
	}
	words := strings.Fields(read.Pattern("no-word").ReplaceAllString(strings.Replace(said, amount, " ", 1), " "))
	thing := strings.Join(slices.DeleteFunc(words, func(w string) bool { return read.In("dose-says", strings.ToLower(w)) }), " ")
	named := read.DogsOf(s, t.Names())
	found := slices.DeleteFunc(GivenNamed(t, thing, named), func(r *planner.Reminder) bool { return !isGiven(t, r) })
	if last := lastChanged(t); last != nil && isGiven(t, last) && read.GivenThing(thing, t.Names()) == "" && (len(named) == 0 || slices.Contains(named, last.Dog)) {
		found = []*planner.Reminder{last}
	}
	changed := say.Each(found, func(r *planner.Reminder) remindDraft { return remindDraft{R: *r} })
	for i := range changed {
		if !changed[i].dosed(t, amount, s) {
			return false
		}
	}
	switch len(found) {
	case 0:
		return false
	case 1:
		if w, err := span.WhenText(s, t.Event.At); err == nil && w.Repeats && (len(w.Times) > 0 || w.Cadence.EveryDays > 1 || len(w.Cadence.Weekdays) > 0) {
			changed[0].moved(t, w)
		}
		if was := talk.ReminderTitle(t, found[0]); was == talk.ReminderTitle(t, &changed[0].R) {
			showReminder(t, found[0], msg("supplement.have"))
		} else if !askGiven(t, changed[0]) {
			sayOther(t, changed[0].R, was)
		}
	default:
		whichReminder(t, found, "edit", say.Choose(found[0].Dose == nil, "text", "what"))
	}
	return true
}

// dosed gives a reminder another dose, and reports whether an amount is one of it: a bare
// number only where the dose before is named too.
func (d *remindDraft) dosed(t *talk.Turn, amount, typed string) bool {
	was := read.Pattern("dose").FindString(talk.ReminderTitle(t, &d.R))
	if bare := read.Pattern("bare-dose"); !read.Says("dose", amount) && amount != "half" {
		if number := bare.FindString(was); number == "" || !strings.Contains(typed, number) {
			return false
		}
		amount = bare.ReplaceAllString(was, amount)
	}
	if d.R.Dose == nil {
		d.R.Text = strings.Replace(d.R.Text, was, amount, 1)
		return was != "" && amount != "half"
	}
	dose, wrong, err := readDose(t, amount+" ["+d.R.Dose.Food+"]")
	switch have := d.R.Dose; {
	case amount == "half":
		dose, wrong, err = have.Times(0.5), "", nil
	case dose.Count > 0 && have.Count > 0 && dose.Form == have.Form:
		dose = have.Times(dose.Count / have.Count)
	}
	d.R.Dose = &dose
	return err == nil && wrong == "" && !emptyDose(dose)
}
