package weighing

import (
	"strconv"
	"time"

	"bowlwright/bot/dogs"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
	"bowlwright/planner/judge"
	"bowlwright/store"
)

// weighVerbs are what buttons about weights do.
func weighVerbs() map[string]func(t *talk.Turn, d *planner.Dog, more []string) {
	doubt := func(action string) func(*talk.Turn, *planner.Dog, []string) {
		return func(t *talk.Turn, d *planner.Dog, more []string) { pressDoubt(t, d, action, more...) }
	}
	return map[string]func(t *talk.Turn, d *planner.Dog, more []string){
		"show":     talk.Tapped(showWeights),
		"dog":      talk.Tapped(showWeights),
		"trend":    talk.Tapped(showTrend),
		"list":     talk.TappedOn(pressList),
		"entry":    talk.TappedOn(showWeighing),
		"fix":      talk.TappedOn(askWeighing),
		"fix-to":   pressFix,
		"none":     talk.Tapped(func(t *talk.Turn, d *planner.Dog) { t.InPlace(t.SayMsg("weigh.none-kept", "dog", d.Name)) }),
		"delete":   talk.TappedOn(deleteWeighing),
		"apply":    talk.TappedOn(applyKcal),
		"keep":     talk.Tapped(keepKcal),
		"right":    doubt("right"),
		"wrong":    doubt("wrong"),
		"meant":    doubt("meant"),
		"of-other": doubt("of-other"),
		"vet":      talk.Tapped(askVet),
		"four":     talk.Tapped(func(t *talk.Turn, d *planner.Dog) { fourQuestions().ask(t, chosen{Dog: d.ID}) }),
		"why":      talk.Tapped(whyDecision),
		"score":    talk.Tapped(askScore),
		"scored":   talk.TappedOn(pressScored),
		"growth":   talk.Tapped(showGrowth),
		"adult":    talk.Tapped(askAdult),
		"no-adult": talk.Tapped(adultUnknown),
		"goal":     talk.Tapped(askGoal),
		"ideal":    talk.TappedOn(pressIdeal),
		"to":       talk.TappedOn(func(t *talk.Turn, d *planner.Dog, goal string) { setGoal(t, d, goal, 0) }),
		"start":    talk.Tapped(startPlan),
		"away":     talk.Tapped(func(t *talk.Turn, d *planner.Dog) { awaySaid(t, d, "") }),
	}
}

// pressList lists weigh-ins from the one on that a button names.
func pressList(t *talk.Turn, d *planner.Dog, from string) {
	skip, err := strconv.Atoi(from)
	if err != nil || skip < 0 || skip > 100_000 {
		skip = 0
	}
	listWeights(t, d, skip)
}

// showWeights says the weight, where it goes, and what that means.
func showWeights(t *talk.Turn, d *planner.Dog) {
	t.Talk.Dog = d.ID
	h, decision, posts := Judge(t, d)
	trend := say.Where(decision.Outcome != judge.Suggest && !dogs.Growing(t, d), trendText(t, h)) // else it stands with the suggestion, or as weight a week
	r := t.Say(say.Para(weightText(t, d)), say.Para(waitingText(t, d)), say.Para(trend), say.Whole(warningFirst(t, d, h, decision, posts)), say.Para(otherThanWarning(t, d, h, decision, posts)), say.Waits(goalText(t, d, h, posts)))
	offerWaiting(t, r, d)
	if d.PlanRests() {
		r.Offer(goalHere(t, d))
	}
	offerDecision(t, r, d, h, decision)
	offerGrowth(t, r, d, h)
	r.Offer(t.Button(msg("button.trend"), "weigh", "trend", d.ID), t.Button(msg("button.weigh-ins"), "weigh", "list", d.ID))
	r.Offer(t.Button(msg("button.condition"), "weigh", "score", d.ID), t.Button(msg("button.goal"), "weigh", "goal", d.ID))
	r.Offer(t.Button(msg("button.away"), "weigh", "away", d.ID))
	stillWithPups(t, d)
}

// weighingsListed is how many weigh-ins a list shows.
const weighingsListed = 8

// listWeights lists weigh-ins, the newest first, each to be opened; skip says
// how many newer ones are left out.
func listWeights(t *talk.Turn, d *planner.Dog, skip int) {
	all := t.Entries(store.EntryQuery{Dog: d.ID, Kinds: talk.ScaleKinds, Newest: true, Limit: skip + weighingsListed + 1})
	all = all[min(skip, len(all)):]
	more := len(all) > weighingsListed
	all = all[:min(len(all), weighingsListed)]
	if len(all) == 0 {
		t.SayMsg("weigh.none", "dog", d.Name, "weight", say.BodyWeight(d.Weight, t.Home.Units))
		return
	}
	var rows []say.TableRow
	var row []say.Button
	for _, e := range all {
		row = append(row, t.Button(talk.DayOf(t, e.Date), "weigh", "entry", d.ID, e.ID))
		weight := say.BodyWeight(e.Weight, t.Home.Units) + say.Where(e.Kind == planner.Doubted, " ?")
		rows = append(rows, say.TableRow{Label: talk.DayOf(t, e.Date), Cells: []string{weight, talk.NameOf(t, e.Person)}})
	}
	r := t.Say(say.Para(msg(say.Choose(skip > 0, "weigh.list-older", "weigh.list"), "dog", d.Name)), say.TableBlock(rows))
	r.Rows(3, row...)
	if more {
		r.Offer(t.Button(msg("button.older"), "weigh", "list", d.ID, strconv.Itoa(skip+weighingsListed)))
	}
	r.Offer(t.Button(msg("button.weights-file"), "export", "weights", d.ID))
}

// showWeighing shows one weigh-in, to be corrected or deleted.
func showWeighing(t *talk.Turn, d *planner.Dog, id string) {
	e, ok := t.Entry(id)
	if !ok || e.Dog != d.ID {
		t.SayMsg("press.gone")
		return
	}
	r := t.Say(say.Para(msg("weigh.entry", "dog", d.Name, "weight", say.BodyWeight(e.Weight, t.Home.Units), "day", talk.DayOf(t, e.Date), "name", talk.NameOf(t, e.Person))), say.Para(e.Text))
	if e.Kind == planner.Doubted {
		r.Add(msg("weigh.unconfirmed"))
		r.Offer(t.Button(msg("button.is-right", "weight", say.BodyWeight(e.Weight, t.Home.Units)), "weigh", "right", d.ID, e.ID))
	}
	r.Offer(t.Button(msg("button.correct"), "weigh", "fix", d.ID, e.ID), t.Button(msg("button.remove"), "weigh", "delete", d.ID, e.ID))
}

func deleteWeighing(t *talk.Turn, d *planner.Dog, id string) {
	e, ok := t.Entry(id)
	if !ok || e.Dog != d.ID || e.Kind != planner.Weighed && e.Kind != planner.Doubted {
		t.SayMsg("press.gone")
		return
	}
	t.Mutate("did.weighing-deleted", d.Name)
	t.Unnote(e)
	if e.Kind == planner.Doubted {
		dropDoubtReminder(t, d.ID)
	}
	was := *d
	newestWeight(t, d)
	t.InPlace(t.Say(say.Para(msg("weigh.deleted", "dog", d.Name, "weight", say.BodyWeight(e.Weight, t.Home.Units), "day", talk.DayOf(t, e.Date))), say.Para(kcalAfter(t, was, *d))).
		Offer(t.UndoButton()))
}

// weighDraft is the state of a dialogue about weights.
type weighDraft struct {
	Dog   string    `json:"dog"`
	With  []string  `json:"with,omitempty"` // other dogs of which the same is asked
	Entry string    `json:"entry,omitempty"`
	Asked time.Time `json:"asked,omitzero"` // when the question was opened
}

func askWeighing(t *talk.Turn, d *planner.Dog, id string) {
	e, ok := t.Entry(id)
	if !ok || e.Dog != d.ID {
		t.SayMsg("press.gone")
		return
	}
	t.Ask("weigh", "fix", weighDraft{Dog: d.ID, Entry: id})
	t.SayMsg("weigh.ask-fix", "weight", say.BodyWeight(e.Weight, t.Home.Units), "day", talk.DayOf(t, e.Date)).Offer(t.Button(msg("button.stop"), "stop"))
}
