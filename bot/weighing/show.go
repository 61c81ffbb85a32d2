package weighing

import (
	"slices"
	"strconv"
	"time"

	"bowlwright/bot/dogs"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
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
		"list":     talk.Tapped(func(t *talk.Turn, d *planner.Dog) { listWeights(t, d, 0) }),
		"older":    talk.TappedFigure(func(t *talk.Turn, d *planner.Dog, skip float64) { listWeights(t, d, max(int(skip), 0)) }),
		"entry":    onWeighIn(showWeighing),
		"fix":      onWeighIn(askWeighing),
		"fix-to":   pressFix,
		"none":     talk.Tapped(func(t *talk.Turn, d *planner.Dog) { t.InPlace(t.SayMsg("weigh.none-kept", "dog", d.Name)) }),
		"delete":   onWeighIn(deleteWeighing),
		"apply":    talk.TappedOn(applyKcal),
		"keep":     talk.Tapped(keepKcal),
		"right":    doubt("right"),
		"wrong":    doubt("wrong"),
		"meant":    doubt("meant"),
		"of-other": doubt("of-other"),
		"vet":      talk.Tapped(func(t *talk.Turn, d *planner.Dog) { noteVet(t, d, "") }),
		"four":     talk.Tapped(func(t *talk.Turn, d *planner.Dog) { fourQuestions().ask(t, chosen{Dog: d.ID}) }),
		"why":      talk.Tapped(whyDecision),
		"score":    talk.Tapped(askScore),
		"scored":   talk.TappedFigure(func(t *talk.Turn, d *planner.Dog, n float64) { recordScore(t, d, int(n), false) }),
		"growth":   talk.Tapped(showGrowth),
		"adult":    talk.Tapped(askAdult),
		"no-adult": talk.Tapped(adultUnknown),
		"goal":     talk.Tapped(askGoal),
		"ideal": talk.TappedFigure(func(t *talk.Turn, d *planner.Dog, grams float64) {
			keepGoal(t, d, withGoal(d, nutrition.Kilograms(grams/1000)))
		}),
		"to":    talk.TappedOn(func(t *talk.Turn, d *planner.Dog, goal string) { setGoal(t, d, goal, 0) }),
		"start": talk.Tapped(startPlan),
		"away":  talk.Tapped(func(t *talk.Turn, d *planner.Dog) { awaySaid(t, d, "") }),
	}
}

// showWeights says the weight, where it goes, and what that means.
func showWeights(t *talk.Turn, d *planner.Dog) {
	t.Talk.Dog = d.ID
	h, decision, posts := Judge(t, d)
	trend := say.Where(decision.Outcome != judge.Suggest && !dogs.Growing(t, d), trendText(t, h)) // else it stands with the suggestion, or as weight a week
	if s, _ := slopeNow(h); trend != "" && s.Mid < -mostLoss && len(decision.Warnings) == 0 && judge.GoalOf(*d, t.Event.At) == planner.LoseGoal {
		trend = say.JoinParas(trend, msg("trend.faster"))
	}
	e, waits := waiting(t, d)
	doubted := say.Where(waits, msg("weigh.waits", "weight", say.BodyWeight(e.Weight, t.Home.Units), "day", talk.DayOf(t, e.Date), "name", talk.NameOf(t, e.Person)))
	r := t.Say(say.Para(weightText(t, d)), say.Para(doubted), say.Para(trend), say.Whole(warningFirst(t, d, h, decision, posts)), say.Para(otherThanWarning(t, d, h, decision, posts)), say.Waits(goalText(t, d, h, posts)))
	if waits {
		r.Offer(rightButton(t, d, e), t.Button(msg("button.leave-out"), "weigh", "wrong", d.ID, e.ID))
	}
	if d.PlanRests() {
		r.Offer(goalHere(t, d))
	}
	offerDecision(t, r, d, h, decision)
	r.Offer(t.Button(msg("button.trend"), "weigh", "trend", d.ID), t.Button(msg("button.weigh-ins"), "weigh", "list", d.ID))
	r.Offer(t.Button(msg("button.condition"), "weigh", "score", d.ID), t.Button(msg("button.goal"), "weigh", "goal", d.ID))
	r.Offer(t.Button(msg("button.away"), "weigh", "away", d.ID))
	stillWithPups(t, d)
}

// mostLoss is the most, in % a week, that a dog is to lose (AAHA 2021).
const mostLoss = 2

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
		r.Offer(t.Button(msg("button.older"), "weigh", "older", d.ID, strconv.Itoa(skip+weighingsListed)))
	}
	r.Offer(t.Button(msg("button.weights-file"), "export", "weights", d.ID))
}

// onWeighIn is a verb about one weigh-in of a dog; where that is gone it says so.
func onWeighIn(do func(t *talk.Turn, d *planner.Dog, e planner.Entry)) func(*talk.Turn, *planner.Dog, []string) {
	return func(t *talk.Turn, d *planner.Dog, more []string) {
		e, ok := t.Entry(talk.Arg(more, 0))
		if !talk.Gone(t, !ok || e.Dog != d.ID || !slices.Contains(talk.ScaleKinds, e.Kind)) {
			do(t, d, e)
		}
	}
}

// showWeighing shows one weigh-in, to be corrected or deleted.
func showWeighing(t *talk.Turn, d *planner.Dog, e planner.Entry) {
	r := t.Say(say.Para(msg("weigh.entry", "dog", d.Name, "weight", say.BodyWeight(e.Weight, t.Home.Units), "day", talk.DayOf(t, e.Date), "name", talk.NameOf(t, e.Person))), say.Para(e.Text))
	if e.Kind == planner.Doubted {
		r.Add(msg("weigh.unconfirmed"))
		r.Offer(rightButton(t, d, e))
	}
	r.Offer(t.Button(msg("button.correct"), "weigh", "fix", d.ID, e.ID), t.Button(msg("button.remove"), "weigh", "delete", d.ID, e.ID))
}

func deleteWeighing(t *talk.Turn, d *planner.Dog, e planner.Entry) {
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

func askWeighing(t *talk.Turn, d *planner.Dog, e planner.Entry) {
	t.Ask("weigh", "fix", weighDraft{Dog: d.ID, Entry: e.ID})
	t.SayMsg("weigh.ask-fix", "weight", say.BodyWeight(e.Weight, t.Home.Units), "day", talk.DayOf(t, e.Date)).Offer(t.Button(msg("button.stop"), "stop"))
}

// lastWeighed is the newest weigh-in of a dog.
func lastWeighed(t *talk.Turn, d *planner.Dog) (planner.Entry, bool) {
	all := NewestWeighed(t, d, 1)
	if len(all) == 0 {
		return planner.Entry{}, false
	}
	return all[0], true
}

// weightText says what a dog weighed last, and when.
func weightText(t *talk.Turn, d *planner.Dog) string {
	e, ok := lastWeighed(t, d)
	return say.Choose(ok, msg("weigh.is", "dog", d.Name, "weight", say.BodyWeight(e.Weight, t.Home.Units), "day", talk.DayOf(t, e.Date)), msg("weigh.none", "dog", d.Name, "weight", say.BodyWeight(d.Weight, t.Home.Units)))
}

// NewestWeighed is the newest weigh-ins of a dog, up to n, the newest first.
func NewestWeighed(t *talk.Turn, d *planner.Dog, n int) []planner.Entry {
	if _, read := t.Trends[talk.TrendKey(t, d)]; !read {
		return t.Entries(store.EntryQuery{Dog: d.ID, Kinds: talk.WeighedKind, Newest: true, Limit: n})
	}
	out := make([]planner.Entry, 0, n)
	for _, e := range slices.Backward(talk.Trend(t, d)) {
		if e.Kind == planner.Weighed && len(out) < n {
			out = append(out, e)
		}
	}
	return out
}

// newestWeight sets a dog's weight to what its newest weigh-ins come to.
func newestWeight(t *talk.Turn, d *planner.Dog) {
	h := historyAbout(t, d, time.Time{})
	if n := len(h.Weighings); n > 0 {
		d.Weight, d.Weighed = h.Weighings[n-1].Weight, h.Weighings[n-1].At.UTC()
	}
}

var foodKinds = []planner.EntryKind{planner.Fed, planner.NotFed, planner.Treat}

// foodDays is how far back meals are counted one by one; before that a dog
// counts as fed as planned.
const foodDays = 200

// History is what the journal tells of a dog.
func History(t *talk.Turn, d *planner.Dog) judge.History {
	food := t.Entries(store.EntryQuery{Dog: d.ID, Kinds: foodKinds, From: t.Event.At.AddDate(0, 0, -foodDays)})
	all := append(slices.Clip(talk.Trend(t, d)), food...)
	return judge.HistoryOf(*d, all, t.Event.At.Location(), t.Event.At)
}

// nearby is how many weigh-ins a new one is compared with.
const nearby = 8

// historyAbout is the weigh-ins up to an instant, to judge one of that time by;
// at is zero for now. For one from before them all it is the first, taken to be
// as long before as it is after. Entries of some ids are left out.
func historyAbout(t *talk.Turn, d *planner.Dog, at time.Time, but ...string) judge.History {
	without := func(all []planner.Entry) []planner.Entry {
		return slices.DeleteFunc(all, func(e planner.Entry) bool { return slices.Contains(but, e.ID) })
	}
	loc := t.Event.At.Location()
	if at.IsZero() || at.After(t.Event.At) {
		at = t.Event.At
	}
	if at.Equal(t.Event.At) {
		return judge.WeighingsOf(*d, without(NewestWeighed(t, d, nearby)), loc, at)
	}
	last := without(t.Entries(store.EntryQuery{Dog: d.ID, Kinds: talk.WeighedKind, To: at.Add(time.Minute), Newest: true, Limit: nearby}))
	if len(last) > 0 {
		return judge.WeighingsOf(*d, last, loc, at)
	}
	next := without(t.Entries(store.EntryQuery{Dog: d.ID, Kinds: talk.WeighedKind, From: at, Limit: 2}))
	next = next[:min(len(next), 1)]
	if len(next) == 0 {
		return judge.WeighingsOf(*d, nil, loc, at)
	}
	return judge.WeighingsOf(*d, next, loc, next[0].At.Add(next[0].At.Sub(at)))
}

// Judge works out what there is to say about the amount that a dog is fed.
func Judge(t *talk.Turn, d *planner.Dog) (judge.History, judge.Decision, []judge.Posterior) {
	h := History(t, d)
	posts := judge.CheckIns(h, judge.PriorOf(*d, h, t.Event.At), 2)
	return h, judge.Decide(*d, h, posts, t.Event.At), posts
}
