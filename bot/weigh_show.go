package bot

import (
	"strconv"
	"strings"

	"bowlwright/bot/read"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/store"
)

// pressWeigh does what a button about weights asks.
func (t *turn) pressWeigh(args []string) {
	d := t.dog(arg(args, 1))
	if d == nil {
		t.sayMsg("press.gone")
		return
	}
	t.talk.Dog = d.ID
	switch arg(args, 0) {
	case "show", "dog":
		t.showWeights(d)
	case "trend":
		t.showTrend(d)
	case "list":
		t.listWeights(d)
	case "entry":
		t.showWeighing(d, arg(args, 2))
	case "fix":
		t.askWeighing(d, arg(args, 2))
	case "delete":
		t.deleteWeighing(d, arg(args, 2))
	case "apply":
		t.applyKcal(d, arg(args, 2))
	case "keep":
		t.keepKcal(d)
	case "why":
		t.whyDecision(d)
	case "score":
		t.askScore(d)
	case "scored":
		n, err := strconv.Atoi(arg(args, 2))
		if err != nil {
			t.sayMsg("press.stale")
			return
		}
		t.recordScore(d, n, false)
	case "goal":
		t.askGoal(d)
	case "to":
		t.setGoal(d, arg(args, 2))
	case "away":
		t.ask("weigh", "away", weighDraft{Dog: d.ID})
		t.sayMsg("away.ask", "dog", d.Name).offer(t.button(msg("button.stop"), "stop"))
	default:
		t.sayMsg("press.stale")
	}
}

// showWeights says the weight, where it goes, and what that means.
func (t *turn) showWeights(d *planner.Dog) {
	t.talk.Dog = d.ID
	h, decision, posts := t.judge(d)
	u := t.home.Units
	head := msg("weigh.none", "dog", d.Name, "weight", bodyWeight(d.Weight, u))
	if e, ok := t.lastWeighed(d); ok {
		head = msg("weigh.is", "dog", d.Name, "weight", bodyWeight(e.Weight, u), "day", dayText(e.Date))
	}
	r := t.say(para(head), para(t.trendText(h)), para(t.decisionText(d, h, decision, posts)), para(t.goalText(d, h, posts)))
	t.offerDecision(r, d, decision)
	r.offer(t.button(msg("button.trend"), "weigh", "trend", d.ID), t.button(msg("button.weigh-ins"), "weigh", "list", d.ID))
	r.offer(t.button(msg("button.condition"), "weigh", "score", d.ID), t.button(msg("button.goal"), "weigh", "goal", d.ID))
	r.offer(t.button(msg("button.away"), "weigh", "away", d.ID))
}

// trendText is the change of weight in words.
func (t *turn) trendText(h planner.History) string {
	s := planner.SlopeOf(h)
	if s.WeighIns < 3 {
		return ""
	}
	weeks := trim(s.Days/7, 0)
	return msg("trend.text", "slope", slopeText(s), "n", s.WeighIns, "weeks", weeks)
}

// weighingsListed is how many weigh-ins a list shows.
const weighingsListed = 8

// listWeights lists the last weigh-ins, each to be opened.
func (t *turn) listWeights(d *planner.Dog) {
	all := t.entries(store.EntryQuery{Dog: d.ID, Kinds: []planner.EntryKind{planner.Weighed}, Newest: true, Limit: weighingsListed})
	if len(all) == 0 {
		t.sayMsg("weigh.none", "dog", d.Name, "weight", bodyWeight(d.Weight, t.home.Units))
		return
	}
	var rows []tableRow
	for _, e := range all {
		rows = append(rows, tableRow{dayText(e.Date), []string{bodyWeight(e.Weight, t.home.Units), t.nameOf(e.Person)}})
	}
	r := t.say(para(msg("weigh.list", "dog", d.Name)), tableBlock(rows))
	var row []Button
	for _, e := range all {
		row = append(row, t.button(dayText(e.Date), "weigh", "entry", d.ID, e.ID))
		if len(row) == 3 {
			r.offer(row...)
			row = nil
		}
	}
	r.offer(row...)
	r.offer(t.button(msg("button.export-weights"), "export", "weights", d.ID))
}

// showWeighing shows one weigh-in, to be corrected or deleted.
func (t *turn) showWeighing(d *planner.Dog, id string) {
	e, ok := t.entry(id)
	if !ok || e.Dog != d.ID {
		t.sayMsg("press.gone")
		return
	}
	t.say(para(msg("weigh.entry", "dog", d.Name, "weight", bodyWeight(e.Weight, t.home.Units), "day", dayText(e.Date), "name", t.nameOf(e.Person))), para(e.Text)).
		offer(t.button(msg("button.correct"), "weigh", "fix", d.ID, e.ID), t.button(msg("button.remove"), "weigh", "delete", d.ID, e.ID))
}

func (t *turn) deleteWeighing(d *planner.Dog, id string) {
	e, ok := t.entry(id)
	if !ok || e.Dog != d.ID || e.Kind != planner.Weighed {
		t.sayMsg("press.gone")
		return
	}
	t.mutate("did.weighing-deleted", d.Name)
	t.unnote(e)
	t.newestWeight(d)
	out := t.sayMsg("weigh.deleted", "dog", d.Name, "weight", bodyWeight(e.Weight, t.home.Units), "day", dayText(e.Date))
	out.InPlace = t.event.Message
	out.offer(t.undoButton())
}

// weighDraft is the state of a dialogue about weights.
type weighDraft struct {
	Dog   string `json:"dog"`
	Entry string `json:"entry,omitempty"`
	Ribs  string `json:"ribs,omitempty"`
	Waist string `json:"waist,omitempty"`
}

func (t *turn) askWeighing(d *planner.Dog, id string) {
	e, ok := t.entry(id)
	if !ok || e.Dog != d.ID {
		t.sayMsg("press.gone")
		return
	}
	t.ask("weigh", "fix", weighDraft{Dog: d.ID, Entry: id})
	t.sayMsg("weigh.ask-fix", "weight", bodyWeight(e.Weight, t.home.Units), "day", dayText(e.Date)).offer(t.button(msg("button.stop"), "stop"))
}

// weighDialogue takes the answer to an open question about weights.
func (t *turn) weighDialogue(in answer) {
	var w weighDraft
	t.draft(&w)
	d := t.dog(w.Dog)
	if d == nil {
		t.endDialogue()
		t.sayMsg("press.gone")
		return
	}
	switch t.talk.Step {
	case "fix":
		t.fixWeighing(d, w, in)
	case "away":
		t.takeAway(d, in)
	case "ribs", "waist", "tuck":
		t.takeScoreStep(d, w, in)
	default:
		t.endDialogue()
		t.sayMsg("press.stale")
	}
}

// fixWeighing takes another weight, another day, or both, for a weigh-in.
func (t *turn) fixWeighing(d *planner.Dog, w weighDraft, in answer) {
	e, ok := t.entry(w.Entry)
	if !ok {
		t.endDialogue()
		t.sayMsg("press.gone")
		return
	}
	kg, err := read.BodyWeight(in.value(), t.home.Units)
	said, dated, wrong := read.Weighing(in.value(), t.names(), t.home.Units, t.event.At)
	switch {
	case wrong != nil:
		t.say(para(msg("weigh-wrong.weighed-ahead")))
		return
	case err == nil:
		e.Weight = kg
	case dated && !said.Day.IsZero():
		e.Weight, e.Date = said.Weight, said.Day
		e.At = planner.Instant(said.Day, noon, t.event.At.Location())
		if e.At.After(t.event.At) {
			e.At = t.event.At
		}
	default:
		if t.sentence(in.text) {
			return
		}
		t.say(para(problemOf(err, in.value())))
		return
	}
	changed := *d
	changed.Weight = e.Weight
	if err := changed.Validate(t.event.At); err != nil {
		t.say(para(fieldText(err, t.home.Units)))
		return
	}
	t.endDialogue()
	t.mutate("did.weighing-changed", d.Name)
	t.note(e)
	t.newestWeight(d)
	t.sayMsg("weigh.fixed", "dog", d.Name, "weight", bodyWeight(e.Weight, t.home.Units), "day", dayText(e.Date)).
		offer(t.undoButton(), t.button(msg("button.trend"), "weigh", "trend", d.ID))
}

// askGoal asks what the weight is to do.
func (t *turn) askGoal(d *planner.Dog) {
	h := t.history(d)
	r := t.say(para(t.goalText(d, h, nil)), para(msg("goal.ask", "dog", d.Name)))
	if planner.GoalOf(*d, t.event.At) == planner.GrowGoal {
		r.Body = []Block{para(msg("goal.grow", "dog", d.Name, "ideal", ""))}
		return
	}
	r.offer(t.button(msg("button.goal-hold"), "weigh", "to", d.ID, "hold"), t.button(msg("button.goal-lose"), "weigh", "to", d.ID, "lose"),
		t.button(msg("button.goal-gain"), "weigh", "to", d.ID, "gain"))
	r.offer(t.button(msg("button.goal-auto"), "weigh", "to", d.ID, "auto"))
}

// setGoal sets what the weight is to do. To lose or gain there must be an
// ideal weight to go to.
func (t *turn) setGoal(d *planner.Dog, goal string) {
	changed := *d
	switch goal {
	case "hold", "lose", "gain":
		changed.Goal = planner.Goal(goal)
	case "auto":
		changed.Goal = ""
	default:
		t.sayMsg("press.stale")
		return
	}
	h := t.history(&changed)
	if changed.Goal == planner.LoseGoal && (h.Ideal == 0 || h.Ideal >= d.Weight) || changed.Goal == planner.GainGoal && h.Ideal <= d.Weight {
		t.sayMsg("goal.no-ideal", "dog", d.Name).
			offer(t.button(msg("button.set-ideal"), "dog", "field", d.ID, "ideal"), t.button(msg("button.condition"), "weigh", "score", d.ID))
		return
	}
	t.mutate("did.goal", d.Name)
	d.Goal = changed.Goal
	h, _, posts := t.judge(d)
	t.say(para(t.goalText(d, h, posts)), para(t.startText(d))).offer(t.undoButton(), t.button(msg("button.bowl"), "bowl", "dog", d.ID))
}

// startText says where a plan to lose weight begins, where the dog is not
// fed by a figure of its own.
func (t *turn) startText(d *planner.Dog) string {
	n := planner.NeedOf(*d, t.event.At)
	if planner.GoalOf(*d, t.event.At) != planner.LoseGoal || n.Gate != "" {
		return ""
	}
	return msg("goal.start", "kcal", kcal(nutrition.RestingEnergy(n.Ideal)))
}

// takeAway notes days on which a dog was fed differently.
func (t *turn) takeAway(d *planner.Dog, in answer) {
	from, until, ok := t.daysSaid(in.text)
	if !ok {
		if t.sentence(in.text) {
			return
		}
		t.sayMsg("away.unread", "text", short(in.text))
		return
	}
	t.endDialogue()
	t.noteAway(d, from, until, in.text)
}

// daysSaid reads a span of days that has been or has begun: "1 to 14 March",
// "from Monday", "last 10 days".
func (t *turn) daysSaid(s string) (from, until planner.Date, ok bool) {
	w, err := read.WhenText(strings.TrimSpace(s), t.event.At)
	today := planner.DateOf(t.event.At)
	if err != nil {
		return from, until, false
	}
	from, until = w.From, w.Until
	switch {
	case from.IsZero() && !w.On.IsZero():
		from = w.On
		if until.IsZero() && w.Days == 0 {
			until = from
		}
	case from.IsZero() && w.Days > 0 && until.IsZero():
		from, until = today.AddDays(-w.Days), today
	}
	if from.IsZero() && until.IsZero() {
		return from, until, false
	}
	if from.IsZero() {
		from = today
	}
	if w.Days > 0 && until.IsZero() {
		until = from.AddDays(w.Days - 1)
	}
	if until.IsZero() {
		until = today
	}
	for !from.Before(today.AddDays(31)) { // a date without a year is the last that was
		from.Year--
		until.Year--
	}
	if until.Before(from) || from.DaysTo(until) > 366 {
		return from, until, false
	}
	return from, until, true
}

func (t *turn) noteAway(d *planner.Dog, from, until planner.Date, typed string) {
	t.mutate("did.away", d.Name)
	at := planner.Instant(from, noon, t.event.At.Location())
	if at.After(t.event.At) {
		at = t.event.At
	}
	t.note(planner.Entry{Kind: planner.Away, Dog: d.ID, At: at, Date: from, Until: until, Text: short(typed)})
	t.sayMsg("away.done", "dog", d.Name, "from", dayText(from), "until", dayText(until)).offer(t.undoButton())
}

// awayWords takes "Juniper was fed differently from 1 to 14 March", and
// reports whether a text was of that kind.
func (t *turn) awayWords(s string) bool {
	low := strings.ToLower(s)
	at := -1
	for _, w := range []string{"fed differently", "fed elsewhere", "fed by others", "at grandma", "at my parents", "at the sitter", "with the sitter"} {
		if i := strings.Index(low, w); i >= 0 {
			at = i + len(w)
			break
		}
	}
	if at < 0 || strings.Contains(s, "?") || len(t.home.Dogs) == 0 {
		return false
	}
	d := t.theDog()
	for i := range t.home.Dogs {
		if strings.Contains(low, strings.ToLower(t.home.Dogs[i].Name)) {
			d = &t.home.Dogs[i]
		}
	}
	if d == nil {
		return false
	}
	rest := strings.TrimLeft(s[at:], "'s, ")
	from, until, ok := t.daysSaid(rest)
	if !ok {
		t.ask("weigh", "away", weighDraft{Dog: d.ID})
		t.sayMsg("away.ask", "dog", d.Name).offer(t.button(msg("button.stop"), "stop"))
		return true
	}
	t.noteAway(d, from, until, s)
	return true
}
