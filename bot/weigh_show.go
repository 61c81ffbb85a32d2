package bot

import (
	"strconv"
	"time"

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
		skip, err := strconv.Atoi(arg(args, 2))
		if err != nil || skip < 0 || skip > 100_000 {
			skip = 0
		}
		t.listWeights(d, skip)
	case "entry":
		t.showWeighing(d, arg(args, 2))
	case "fix":
		t.askWeighing(d, arg(args, 2))
	case "fix-to":
		t.pressFix(d, arg(args, 2), arg(args, 3))
	case "none":
		out := t.sayMsg("weigh.none-kept", "dog", d.Name)
		out.InPlace = t.event.Message
	case "delete":
		t.deleteWeighing(d, arg(args, 2))
	case "apply":
		t.applyKcal(d, arg(args, 2))
	case "keep":
		t.keepKcal(d)
	case "right", "wrong", "meant", "of-other":
		t.pressDoubt(d, arg(args, 0), args)
	case "vet":
		t.askVet(d)
	case "four":
		t.askFour(fourDraft{Dog: d.ID})
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
	case "growth":
		t.showGrowth(d)
	case "adult":
		t.askAdult(d)
	case "no-adult":
		t.adultUnknown(d)
	case "goal":
		t.askGoal(d)
	case "ideal":
		t.pressIdeal(d, arg(args, 2))
	case "to":
		t.setGoal(d, arg(args, 2), 0)
	case "start":
		t.startPlan(d)
	case "away":
		t.awaySaid(d, "")
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
		head = msg("weigh.is", "dog", d.Name, "weight", bodyWeight(e.Weight, u), "day", t.dayOf(e.Date))
	}
	trend := t.trendText(h)
	if decision.Outcome == planner.Suggest || t.growing(d) {
		trend = "" // it stands with the suggestion, or as weight a week
	}
	r := t.say(para(head), para(t.waitingText(d)), para(trend), para(t.decisionText(d, h, decision, posts)), para(t.goalText(d, h, posts)))
	t.offerWaiting(r, d)
	t.offerDecision(r, d, h, decision)
	t.offerGrowth(r, d, h)
	r.offer(t.button(msg("button.trend"), "weigh", "trend", d.ID), t.button(msg("button.weigh-ins"), "weigh", "list", d.ID))
	r.offer(t.button(msg("button.condition"), "weigh", "score", d.ID), t.button(msg("button.goal"), "weigh", "goal", d.ID))
	r.offer(t.button(msg("button.away"), "weigh", "away", d.ID))
}

// weighingsListed is how many weigh-ins a list shows.
const weighingsListed = 8

// listWeights lists weigh-ins, the newest first, each to be opened; skip says
// how many newer ones are left out.
func (t *turn) listWeights(d *planner.Dog, skip int) {
	all := t.entries(store.EntryQuery{Dog: d.ID, Kinds: scaleKinds, Newest: true, Limit: skip + weighingsListed + 1})
	all = all[min(skip, len(all)):]
	more := len(all) > weighingsListed
	all = all[:min(len(all), weighingsListed)]
	if len(all) == 0 {
		t.sayMsg("weigh.none", "dog", d.Name, "weight", bodyWeight(d.Weight, t.home.Units))
		return
	}
	var rows []tableRow
	for _, e := range all {
		weight := bodyWeight(e.Weight, t.home.Units)
		if e.Kind == planner.Doubted {
			weight += " ?"
		}
		rows = append(rows, tableRow{t.dayOf(e.Date), []string{weight, t.nameOf(e.Person)}})
	}
	head := msg("weigh.list", "dog", d.Name)
	if skip > 0 {
		head = msg("weigh.list-older", "dog", d.Name)
	}
	r := t.say(para(head), tableBlock(rows))
	var row []Button
	for _, e := range all {
		row = append(row, t.button(t.dayOf(e.Date), "weigh", "entry", d.ID, e.ID))
		if len(row) == 3 {
			r.offer(row...)
			row = nil
		}
	}
	r.offer(row...)
	if more {
		r.offer(t.button(msg("button.older"), "weigh", "list", d.ID, strconv.Itoa(skip+weighingsListed)))
	}
	r.offer(t.button(msg("button.weights-file"), "export", "weights", d.ID))
}

// showWeighing shows one weigh-in, to be corrected or deleted.
func (t *turn) showWeighing(d *planner.Dog, id string) {
	e, ok := t.entry(id)
	if !ok || e.Dog != d.ID {
		t.sayMsg("press.gone")
		return
	}
	r := t.say(para(msg("weigh.entry", "dog", d.Name, "weight", bodyWeight(e.Weight, t.home.Units), "day", t.dayOf(e.Date), "name", t.nameOf(e.Person))), para(e.Text))
	if e.Kind == planner.Doubted {
		r.Body = append(r.Body, para(msg("weigh.unconfirmed")))
		r.offer(t.button(msg("button.is-right", "weight", bodyWeight(e.Weight, t.home.Units)), "weigh", "right", d.ID, e.ID))
	}
	r.offer(t.button(msg("button.correct"), "weigh", "fix", d.ID, e.ID), t.button(msg("button.remove"), "weigh", "delete", d.ID, e.ID))
}

func (t *turn) deleteWeighing(d *planner.Dog, id string) {
	e, ok := t.entry(id)
	if !ok || e.Dog != d.ID || e.Kind != planner.Weighed && e.Kind != planner.Doubted {
		t.sayMsg("press.gone")
		return
	}
	t.mutate("did.weighing-deleted", d.Name)
	t.unnote(e)
	if e.Kind == planner.Doubted {
		t.dropDoubtReminder(d.ID)
	}
	was := *d
	t.newestWeight(d)
	out := t.say(para(msg("weigh.deleted", "dog", d.Name, "weight", bodyWeight(e.Weight, t.home.Units), "day", t.dayOf(e.Date))), para(t.kcalAfter(was, *d)))
	out.InPlace = t.event.Message
	out.offer(t.undoButton())
}

// weighDraft is the state of a dialogue about weights.
type weighDraft struct {
	Dog   string `json:"dog"`
	Entry string `json:"entry,omitempty"`
	Ribs  string `json:"ribs,omitempty"`
	Waist string `json:"waist,omitempty"`

	Asked time.Time `json:"asked,omitzero"` // when the question was opened
}

func (t *turn) askWeighing(d *planner.Dog, id string) {
	e, ok := t.entry(id)
	if !ok || e.Dog != d.ID {
		t.sayMsg("press.gone")
		return
	}
	t.ask("weigh", "fix", weighDraft{Dog: d.ID, Entry: id})
	t.sayMsg("weigh.ask-fix", "weight", bodyWeight(e.Weight, t.home.Units), "day", t.dayOf(e.Date)).offer(t.button(msg("button.stop"), "stop"))
}
