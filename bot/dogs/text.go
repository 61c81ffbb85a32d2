package dogs

import (
	_ "embed"
	"slices"
	"strconv"
	"strings"

	"bowlwright/bot/read"
	"bowlwright/bot/read/alarm"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/planner/judge"
	"bowlwright/store"
)

// ByEquation is what a dog's equation gives a day.
func ByEquation(t *talk.Turn, d *planner.Dog) nutrition.Kcal {
	return planner.NeedOf(*d, t.Event.At).Kcal
}

// sinceText says since when a dog's amount is in force, and by whom.
func sinceText(t *talk.Turn, d *planner.Dog) string {
	if d.InForce.Since.IsZero() {
		return ""
	}
	day := talk.DayOf(t, t.DateAt(d.InForce.Since))
	if d.InForce.By == "" || d.InForce.By == t.Event.Person {
		return msg("amount.since", "day", day)
	}
	return msg("amount.since-by", "day", day, "name", talk.NameOf(t, d.InForce.By))
}

// Growing reports that a dog's weight is to grow, so that no calories are
// suggested for it.
func Growing(t *talk.Turn, d *planner.Dog) bool {
	return judge.GoalOf(*d, t.Event.At) == planner.GrowGoal
}

// ExcludedText says what of a recipe a dog may not have, empty for nothing.
func ExcludedText(t *talk.Turn, d *planner.Dog, r planner.Recipe) string {
	var foods []string
	for _, in := range r.Ingredients {
		if f := t.Foods.Food(in.Food); f != nil && nutrition.Excluded(f, d.Excludes) {
			foods = append(foods, f.Name)
		}
	}
	if len(foods) == 0 {
		return ""
	}
	return msg("house.not-for", "dog", d.Name, "foods", say.List(foods))
}

// OnMother answers a sentence about a litter: of the dog that is named, or of the
// only one that carries or nurses pups.
func OnMother(do func(*talk.Turn, *planner.Dog, read.Sentence)) func(*talk.Turn, read.Sentence) {
	return func(t *talk.Turn, s read.Sentence) {
		var mothers []string
		for _, d := range t.Home.Dogs {
			if d.Stage != "" {
				mothers = append(mothers, d.ID)
			}
		}
		if s.Dog == "" && len(mothers) == 1 {
			s.Dog = mothers[0]
		}
		talk.OnDog(do)(t, s)
	}
}

// breeds makes a dog pregnant or nursing; a litter of before is forgotten.
func breeds(d *planner.Dog, stage string) {
	if d.Stage == "" {
		d.Litter = planner.Litter{}
	}
	d.Stage = planner.Stage(stage)
}

// stageText is a stage with what is known of the litter.
func stageText(t *talk.Turn, d *planner.Dog) string {
	switch l := d.Litter; {
	case d.Stage == planner.Pregnant && !l.Due.IsZero():
		return msg("litter.due", "day", t.DateText(l.Due))
	case d.Stage == planner.Nursing && l.Pups > 0 && !l.Whelped.IsZero():
		return msg("litter.nursing", "n", l.Pups, "day", t.DateText(l.Whelped))
	}
	return string(d.Stage)
}

// recentSigns are what a dog showed in the last two weeks, newest first, and how
// many more.
func recentSigns(t *talk.Turn, d *planner.Dog) string {
	all := signsSince(t, d.ID, signDays)
	if len(all) == 0 {
		return ""
	}
	lines := []string{msg("sign.recent")}
	for _, e := range all[:min(len(all), shownSigns)] {
		lines = append(lines, msg("sign.line", "day", t.DateText(e.Date), "text", say.Short(e.Text), "who", talk.NameOf(t, e.Person)))
	}
	if more := len(all) - shownSigns; more > 0 {
		lines = append(lines, msg("sign.more", "n", more))
	}
	return strings.Join(lines, "\n")
}

// shownSigns is how many signs a dog's card shows.
const shownSigns = 5

// BeginSign puts before a bowl what urgentSign says.
func BeginSign(t *talk.Turn, d *planner.Dog, out *say.Reply) {
	if sign := urgentSign(t, d); sign != "" {
		out.Begin(sign)
		out.Offer(t.Button(msg("button.vet-saw"), "weigh", "vet", d.ID))
	}
}

// urgentSign says the worst that a dog showed in the last days for which a vet was
// to be called, at once or that day, or ate in them, where nobody has told of the
// vet since; it is empty where there is nothing.
func urgentSign(t *talk.Turn, d *planner.Dog) string {
	worst, said := alarm.Watch, ""
	poison, _ := Poison(t, d)
	for _, e := range UnseenSigns(t, d, poisonDays) {
		a := alarm.In(e.Text, t.Names())
		level := a.Level
		if Frail(t, d) {
			level = max(level, a.Frail)
		}
		ate := poisoned(t, e)
		if ate && a.Calms && e.ID != poison.ID {
			continue
		}
		if ate && level < alarm.VetToday {
			level = alarm.VetNow
		}
		if level > worst {
			text, day := say.Short(e.Text), t.DateText(e.Date)
			worst, said = level, msg("sign.bowl-today", "dog", d.Name, "text", text, "day", day)
			if level == alarm.VetNow {
				said = msg("sign.bowl", "dog", d.Name, "text", text, "day", day)
			}
		}
	}
	return said
}

// poisonDays is for how many days what was eaten may bring signs (common
// veterinary practice, from memory: grapes, rat bait and sock alike).
const poisonDays = 3

// Poison is what a dog ate last in these days that may still harm it, and of which
// nobody has told that a vet saw it since; what only makes little of it counts where
// there is nothing else: "it was only two".
func Poison(t *talk.Turn, d *planner.Dog) (ate planner.Entry, found bool) {
	for _, e := range UnseenSigns(t, d, poisonDays) {
		if poisoned(t, e) {
			if a := alarm.In(e.Text, t.Names()); !a.Calms {
				return e, true
			}
			ate, found = e, true
		}
	}
	return ate, found
}

// poisoned reports that what was noted of a sign tells of something eaten that
// harms, or that nobody knows.
func poisoned(t *talk.Turn, e planner.Entry) bool {
	a := alarm.In(e.Text, t.Names())
	said, ok := t.Understand(e.Text)
	return a.Poisoned() || !a.Signs && ok && said.Intent == read.HasEaten
}

// UnseenSigns are the signs of so many days of which nobody has told that a vet saw
// the dog since, newest first. One of which it is not told whose it is may be its.
func UnseenSigns(t *talk.Turn, d *planner.Dog, days int) (signs []planner.Entry) {
	for _, e := range t.Entries(store.EntryQuery{Kinds: []planner.EntryKind{planner.SignSeen, planner.VetSaw}, From: t.Event.At.AddDate(0, 0, -days), Newest: true, Limit: mostSigns}) {
		switch {
		case e.Dog != d.ID && (e.Dog != "" || e.Kind == planner.VetSaw):
		case e.Kind == planner.VetSaw || alarm.In(e.Text, t.Names()).ByVet:
			return signs
		default:
			signs = append(signs, e)
		}
	}
	return signs
}

// unwellDays is for how many days after a sign other food is for the vet first
// (our own choice).
const unwellDays = 3

// Unwell has a dog's vet asked before its food is changed, where a sign was told of
// it in the last days and no vet has seen the dog since; empty where none was.
func Unwell(t *talk.Turn, d *planner.Dog) string {
	signs := UnseenSigns(t, d, unwellDays)
	if len(signs) == 0 {
		return ""
	}
	return msg("sign.unwell", "dog", d.Name, "text", say.Short(signs[0].Text), "day", talk.DayOf(t, signs[0].Date))
}

// mostSigns is how many signs and visits of some days are looked through.
const mostSigns = 50

// signDays is for how long a sign stands on a dog's card.
const signDays = 14

func signsSince(t *talk.Turn, dog string, days int) []planner.Entry {
	return t.Entries(store.EntryQuery{Dog: dog, Kinds: []planner.EntryKind{planner.SignSeen}, From: t.Event.At.AddDate(0, 0, -days), Newest: true, Limit: mostSigns})
}

// SayConditions says the nine points of the scale, a line and a button each.
func SayConditions(t *talk.Turn, d *planner.Dog, button func(n string) say.Button) *say.Reply {
	var lines []string
	var buttons []say.Button
	for i := 1; i <= 9; i++ {
		n := strconv.Itoa(i)
		lines = append(lines, n+"  "+msg("condition."+n))
		buttons = append(buttons, button(n))
	}
	return t.Say(say.Para(msg("ask.dog-condition", "dog", d.Name)), say.Para(strings.Join(lines, "\n"))).
		Offer(buttons[:3]...).Offer(buttons[3:6]...).Offer(buttons[6:]...)
}

// on says which facts of a dog a change changed.
func on(t *talk.Turn, happened any) {
	h, ok := happened.(*talk.ChangeTold)
	if !ok || h.Change.Kind != "did.dog-changed" {
		return
	}
	for i := range h.After.Dogs {
		is := &h.After.Dogs[i]
		at := slices.IndexFunc(h.Change.Before.Dogs, func(d planner.Dog) bool { return d.ID == is.ID })
		if at < 0 {
			continue
		}
		was := Facts(t, &h.Change.Before.Dogs[at])
		if news := slices.DeleteFunc(Facts(t, is), func(fact string) bool { return slices.Contains(was, fact) }); len(news) > 0 {
			h.Said = strings.Join(news, ", ")
		}
	}
}

// changedText says what is new about a dog; what was only taken away, and the
// kcal, stand in the profile below it.
func changedText(t *talk.Turn, was, d *planner.Dog) string {
	before := Facts(t, was)
	news := slices.DeleteFunc(Facts(t, d), func(fact string) bool { return slices.Contains(before, fact) })
	if d.Health != was.Health && d.Health != "" {
		news = append(news, d.Health)
	}
	if len(news) == 0 {
		return msg("dog.changed", "dog", d.Name)
	}
	return msg("dog.changed-to", "dog", d.Name, "facts", strings.Join(news, ", "))
}

// WhyDog explains the need: equation, source, range, resting energy, ideal
// weight and what was assumed.
func WhyDog(t *talk.Turn, d *planner.Dog) {
	if Held(t, d) {
		return
	}
	n := planner.AmountOf(*d, t.Event.At)
	u := t.Home.Units
	besides := say.TableRow{Label: msg("why.range"), Cells: []string{say.Kcal(n.Low) + "-" + say.Kcal(n.High)}}
	if n.ByHand {
		besides = say.TableRow{Label: msg("why.equation"), Cells: []string{say.Kcal(n.Computed) + " kcal"}}
	}
	rows := []say.TableRow{
		{Label: msg("why.need"), Cells: []string{say.Kcal(n.Kcal) + " kcal"}},
		besides,
		{Label: msg("why.resting"), Cells: []string{say.Kcal(n.Resting) + " kcal"}},
		{Label: msg("why.weight"), Cells: []string{say.BodyWeight(d.Weight, u)}},
		{Label: msg("why.ideal"), Cells: []string{idealText(n, u)}},
		{Label: msg("why.basis"), Cells: []string{say.BodyWeight(n.Basis, u)}},
	}
	if n.LossStart > 0 {
		rows = append(rows, say.TableRow{Label: msg("why.loss"), Cells: []string{say.Kcal(n.LossStart) + " kcal"}})
	}
	blocks := []say.Block{say.Para(NeedText(t, *d, n)), say.TableBlock(rows), say.Para(NeedEquation(n)), say.Para(msg("ideal-from." + n.IdealFrom))}
	if len(n.Assumed) > 0 {
		var what []string
		for _, a := range n.Assumed {
			what = append(what, msg("assumed."+a))
		}
		blocks = append(blocks, say.Para(msg("why.assumed", "what", say.List(what))))
	}
	blocks = append(blocks, say.Para(sinceText(t, d)), say.Para(msg("why.spread")), say.Whole(GateText(*d, n)))
	t.Say(blocks...).Offer(t.Button(msg("button.bowl"), "bowl", "dog", d.ID), t.Button(msg("button.edit"), "dog", "edit", d.ID))
}

func idealText(n planner.Need, u planner.Units) string {
	if n.IdealLow == n.IdealHigh || n.IdealLow == 0 {
		return say.BodyWeight(n.Ideal, u)
	}
	low := strings.Fields(say.BodyWeight(n.IdealLow, u))[0]
	return low + "-" + say.BodyWeight(n.IdealHigh, u)
}
