package judge

import (
	"math"
	"testing"
	"time"

	"bowlwright/planner"
)

// decided runs all of it: journal, two check-ins, decision.
func decided(d planner.Dog, entries []planner.Entry, now time.Time) Decision {
	h := HistoryOf(d, entries, time.UTC, now)
	return Decide(d, h, CheckIns(h, PriorOf(d, h, now), 2), now)
}

// eater is a healthy dog of 20 kg that is fed so many kcal a day.
func eater(kcal float64) planner.Dog {
	return planner.Dog{Weight: 20, Kcal: kcals(kcal), Activity: planner.ModerateCalm, Born: bornYears(4), Condition: 5, Goal: planner.HoldGoal}
}

// gaining and falling by 1 % a week, which is too slow for a warning within
// the first weeks and, at 20 kg, 210 kcal a day.
var (
	gaining = steadily(20, 0.15, 8)
	falling = steadily(20, -0.15, 8)
	holding = steadily(20, 0, 8)
)

func TestDecide(t *testing.T) {
	ill, pregnant, puppy, thinDog := eater(1000), eater(1000), eater(1000), eater(1000)
	ill.Health = "kidney disease"
	pregnant.Stage, pregnant.Sex = planner.Pregnant, planner.Female
	puppy.Born = testNow.AddDate(0, -6, 0)
	thinDog.Condition = 2
	lean := eater(900)
	lean.Condition, lean.Ideal, lean.IdealFrom = 3, 20, planner.GoalSet
	for _, c := range []struct {
		name    string
		dog     planner.Dog
		kg      []float64
		more    []planner.Entry
		outcome Outcome
		reason  Reason
		warns   Reason
	}{
		{"no weigh-in", eater(1000), nil, nil, NoneYet, TooFew, ""},
		{"two", eater(1000), holding[:2], nil, NoneYet, TooFew, ""},
		{"three", eater(1000), holding[:3], nil, NoneYet, TooFew, ""},
		{"holds", eater(1000), holding, nil, Steady, Fits, ""},
		{"gains", eater(1150), gaining, nil, Suggest, TooMuch, ""},
		{"falls", eater(900), falling, nil, Suggest, TooLittle, ""},
		{"gains, changed twelve days ago", eater(1150), gaining, []planner.Entry{onDay(90, planner.KcalSet, 1025), onDay(12, planner.KcalSet, 1150)}, Watch, StepWait, ""},
		{"gains, changed fifteen days ago", eater(1150), gaining, []planner.Entry{onDay(90, planner.KcalSet, 1150), onDay(15, planner.KcalSet, 1151)}, Suggest, TooMuch, ""},
		{"ill", ill, gaining, nil, VetLine, GatedDog, ""},
		{"pregnant", pregnant, gaining, nil, VetLine, GatedDog, ""},
		{"puppy that doubles", puppy, []float64{6, 7, 8, 9, 10, 11, 12}, nil, VetLine, GatedDog, ""},
		{"thin", thinDog, falling, nil, VetLine, GatedDog, UnderTenth},
		{"a little thin, and holds", lean, holding, nil, VetLine, GatedDog, ""},
		{"a little thin, and losing", lean, steadily(20, -0.1, 8), nil, VetLine, GatedDog, FallThin},
		{"and a vet knows why", lean, falling, []planner.Entry{onDay(2, planner.VetSaw, 0)}, Suggest, TooLittle, ""},
		{"ill, and losing", ill, steadily(20, -0.29, 9), nil, VetLine, GatedDog, FallMonth},
		{"falls fast", eater(900), []float64{20, 20, 20, 19.4, 18.8, 18.2}, nil, Suggest, TooLittle, FallFast},
		{"falls 6 % in a month", eater(900), []float64{20, 20, 19.7, 19.35, 19.05, 18.7}, nil, Suggest, TooLittle, FallMonth},
		{"rises 6 % in a month", eater(1200), []float64{20, 20, 20.35, 20.7, 21, 21.3}, nil, Suggest, TooMuch, RiseMonth},
		{"one odd weigh-in", eater(1000), []float64{20, 20, 20.1, 19.9, 20, 18.6}, nil, Watch, WeighAgain, ""},
		{"and it stands", eater(1000), []float64{20, 20, 20.1, 19.9, 20, 18.6, 18.6}, nil, Watch, TooLittle, FallMonth},
		{"asks for more than the range", eater(1370), steadily(21.5, -0.21, 12), nil, VetLine, AboveRange, Fallen},
		{"asks for less than resting energy", eater(665), steadily(20, 0.14, 12), nil, VetLine, BelowResting, ""},
	} {
		got := decided(c.dog, append(weekly(c.kg...), c.more...), testNow)
		if got.Outcome != c.outcome || got.Reason != c.reason || c.warns != "" && !got.warns(c.warns) || c.warns == "" && len(got.Warnings) > 0 {
			t.Errorf("%s: %s, %s (p %.2f, before %.2f, %v), want %s, %s, %s", c.name, got.Outcome, got.Reason, got.P, got.Before, got.Warnings, c.outcome, c.reason, c.warns)
		}
	}
}

// TestAgreed: a weigh-in far from what those before it foretell counts for no rate
// where the next one is back, or is still to come; a fall that goes on does, and
// what was confirmed.
func TestAgreed(t *testing.T) {
	for _, c := range []struct {
		name string
		kg   []float64
		sure int // the weigh-in that was confirmed, -1 for none
		kept int
	}{
		{"steady", []float64{20, 20.1, 19.9, 20}, -1, 4},
		{"one odd", []float64{20, 20.1, 21.5, 19.9, 20}, -1, 4},
		{"one odd, confirmed", []float64{20, 20.1, 21.5, 19.9, 20}, 2, 5},
		{"the last odd", []float64{20, 20.1, 19.9, 20, 18.7}, -1, 4},
		{"and it stands", []float64{20, 20.1, 19.9, 20, 18.7, 18.6}, -1, 6},
		{"falls by 3 % a week", []float64{20, 19.4, 18.8, 18.2, 17.6}, -1, 5},
		{"begins to fall", []float64{20, 20, 20, 19.6, 19.1, 18.4}, -1, 6},
		{"odd both ways", []float64{20, 20, 20, 18.7, 21.3, 20}, -1, 4},
	} {
		h := HistoryOf(eater(1000), weekly(c.kg...), time.UTC, testNow)
		if c.sure >= 0 {
			h.Weighings[c.sure].Sure = true
		}
		if got := agreed(h.Weighings); len(got) != c.kept {
			t.Errorf("%s: %d of %d kept", c.name, len(got), len(c.kg))
		}
	}
}

// TestStillness: the same weigh-ins say more of a scale that shows little noise, and
// a loss of half a percent a week is not still.
func TestStillness(t *testing.T) {
	still := func(kg ...float64) float64 {
		h := HistoryOf(eater(1000), weekly(kg...), time.UTC, testNow)
		return stillness(h, Estimate(h, PriorOf(eater(1000), h, testNow)))
	}
	quiet, noisy, loses := steadily(20, 0, 14), steadily(20, 0, 14), steadily(20, -0.1, 14)
	for i := range noisy {
		noisy[i] *= 1 + 0.02*float64(i%2*2-1)
	}
	if a, b, c := still(quiet...), still(noisy...), still(loses...); a < 0.9 || b > a-0.05 || c > 0.1 {
		t.Errorf("%.2f, on a noisy scale %.2f, losing %.2f", a, b, c)
	}
	if got := still(20, 20, 20, 20); got != 0 {
		t.Errorf("three weeks tell of six: %.2f", got)
	}
}

// TestFarIsSaidOnce: a dog on its way down is said to be a tenth under its goal
// when it crosses that and monthly, and not under its highest weight besides.
func TestFarIsSaidOnce(t *testing.T) {
	kg := steadily(20, -0.15, 26)
	said := map[Reason]int{}
	historyOf := func(kg []float64) History {
		d := eater(900)
		d.Ideal = 20
		return HistoryOf(d, weekly(kg...), time.UTC, testNow)
	}
	for n := 4; n <= len(kg); n++ {
		for _, w := range farWarnings(historyOf(kg[:n]), planner.HoldGoal) {
			said[w.Of]++
		}
	}
	if said[UnderTenth] < 2 || said[UnderTenth] > 4 || said[FromHigh] > 0 {
		t.Errorf("%v", said)
	}
}

// TestDecideStep: a suggestion is at most a tenth, and in the end what the
// goal asks for.
func TestDecideStep(t *testing.T) {
	r := decided(eater(1150), weekly(gaining...), testNow)
	if r.Then != 1035 || !near(r.Factor, 0.9, 1e-9) || r.P < 0.9 || r.Before < 0.9 || r.Now != 1150 {
		t.Errorf("%+v", r)
	}
	r = decided(eater(900), weekly(falling...), testNow)
	if r.Then != 990 {
		t.Errorf("%+v", r)
	}
	// Treats are part of what is eaten: the bowl is what changes.
	treats := weekly(gaining...)
	for day := range 60 {
		treats = append(treats, onDay(day, planner.Treat, 100))
	}
	r = decided(eater(1050), treats, testNow)
	if r.Outcome != Suggest || r.Then != 945 {
		t.Errorf("with treats: %+v", r)
	}
}

// TestDecideTwice: one check-in alone never moves the bowl, and two weigh-ins
// of the same days are one check-in.
func TestDecideTwice(t *testing.T) {
	d := eater(1150)
	h := HistoryOf(d, weekly(gaining...), time.UTC, testNow)
	prior := PriorOf(d, h, testNow)
	posts := CheckIns(h, prior, 2)
	if got := Decide(d, h, posts[1:], testNow); got.Outcome != Watch || got.Reason != TooMuch {
		t.Errorf("one check-in: %+v", got)
	}
	again := weekly(gaining...)
	extra := again[len(again)-1]
	extra.At = extra.At.Add(time.Minute)
	h = HistoryOf(d, append(again, extra), time.UTC, testNow)
	running := CheckIns(h, prior, 2)
	if gap := running[1].At.Sub(running[0].At).Hours() / 24; gap < 6 {
		t.Errorf("check-ins %.1f days apart", gap)
	}
}

// TestDecideWeighedAgain: a weigh-in far from the others is asked again, and stands
// where a second one of the day bears it out.
func TestDecideWeighedAgain(t *testing.T) {
	once := weekly(20, 20, 20.1, 19.9, 20, 18.6)
	for kg, why := range map[float64]Reason{18.7: FallMonth, 19.9: ""} {
		again := planner.Entry{ID: "w6", Kind: planner.Weighed, At: testNow.Add(-time.Minute), Date: planner.DateOf(testNow), Weight: kilos(kg)}
		got := decided(eater(1000), append(once[:6:6], again), testNow)
		if got.Reason == WeighAgain || got.warns(FallMonth) != (why == FallMonth) {
			t.Errorf("%.1f kg the second time: %+v", kg, got)
		}
	}
}

// TestNeedRoseIsAsked: a dog that needs more than it did is asked about before it
// is sent to a vet, since its carer may know why.
func TestNeedRoseIsAsked(t *testing.T) {
	all := append(weekly(20, 20, 20, 20, 20, 20, 20, 20, 19.6, 19.2, 18.8, 18.4, 18), onDay(90, planner.KcalSet, 1000), scoredNow())
	answered := func(why planner.NeedCause) planner.Entry {
		return planner.Entry{Kind: planner.Answered, At: testNow.Add(-time.Minute), Text: Answers{Reason: why}.Code()}
	}
	for _, c := range []struct {
		more  []planner.Entry
		first First
	}{
		{nil, QuestionsFirst},
		{[]planner.Entry{answered("")}, VetFirst},
		{[]planner.Entry{answered(planner.MoreWork)}, ""},
	} {
		d := eater(1000)
		d.Ideal = 20
		got := decided(d, append(all[:len(all):len(all)], c.more...), testNow)
		if got.Outcome != Suggest || got.First != c.first {
			t.Errorf("%v first after %d answers, want %v: %+v", got.First, len(c.more), c.first, got)
		}
	}
}

// TestFallAsksAtOnce: a loss of more than water and gut asks the four questions
// before the estimate is sure of it; a reason stands for the second look, and a
// sign is for a vet.
func TestFallAsksAtOnce(t *testing.T) {
	all := append(weekly(20, 20, 20, 20.1, 20, 20, 19.5, 19, 18.6), onDay(90, planner.KcalSet, 1040), scoredNow())
	for _, c := range []struct {
		answers *Answers
		outcome Outcome
		reason  Reason
		first   First
	}{
		{nil, Watch, TooLittle, QuestionsFirst},
		{&Answers{}, Watch, TooLittle, ""},
		{&Answers{Reason: planner.MoreWork}, Suggest, TooLittle, ""},
		{&Answers{Signs: true}, VetLine, SignsTold, ""},
	} {
		d, journal := eater(1040), all[:len(all):len(all)]
		d.Ideal = 20
		if c.answers != nil {
			journal = append(journal, planner.Entry{Kind: planner.Answered, At: testNow.Add(-time.Minute), Text: c.answers.Code()})
		}
		got := decided(d, journal, testNow)
		if got.Outcome != c.outcome || got.Reason != c.reason || got.First != c.first || !got.Warns() {
			t.Errorf("%+v: %+v", c.answers, got)
		}
	}
}

// TestGoalOfOneWeighIn: a first weigh-in that the next two do not bear out makes
// no dog one that is off its goal; a goal that was set does.
func TestGoalOfOneWeighIn(t *testing.T) {
	d := eater(1040)
	all := append(weekly(18.8, 20, 20.1, 20, 19.9, 20, 20.1, 20), planner.Entry{Kind: planner.Scored, At: testNow.AddDate(0, 0, -50), Score: 5})
	if got := decided(d, all, testNow); got.Outcome == Suggest || got.Reason == TooMuch {
		t.Errorf("by one weigh-in: %+v", got)
	}
	d.Ideal, d.IdealFrom = 18.8, planner.GoalSet
	if got := decided(d, all, testNow); got.Outcome != Suggest || got.Reason != TooMuch {
		t.Errorf("set: %+v", got)
	}
}

func scoredNow() planner.Entry {
	return planner.Entry{Kind: planner.Scored, At: testNow.Add(-time.Hour), Score: 5}
}

// TestDecideMissedWeeks: a fall over weeks that were missed is seen by the last
// weigh-in before the month.
func TestDecideMissedWeeks(t *testing.T) {
	d := eater(1300)
	d.Weight = 31.4
	all := weekly(31.4, 31.4, 31.4, 31.4, 30.2, 29.4, 28.7)
	missed := append([]planner.Entry{all[0], all[1]}, all[4:]...)
	if got := decided(d, missed, testNow); !got.Warns() {
		t.Errorf("%+v", got)
	}
}

// TestDecideVetSeen: what a vet knows of warns no more.
func TestDecideVetSeen(t *testing.T) {
	d := eater(1200)
	h := HistoryOf(d, weekly(20, 20, 20.35, 20.7, 21, 21.3), time.UTC, testNow)
	h.VetSeen = testNow.AddDate(0, 0, -1)
	if got := Decide(d, h, CheckIns(h, PriorOf(d, h, testNow), 2), testNow); got.Warns() {
		t.Errorf("%+v", got)
	}
}

// TestDecidePlan: a dog that is to lose may fall 5 % in a month, but not 2 % a
// week; one that is to gain may rise.
func TestDecidePlan(t *testing.T) {
	fall := []float64{20, 19.7, 19.4, 19.1, 18.8, 18.5}
	lose := eater(700)
	lose.Goal, lose.Ideal = planner.LoseGoal, 16
	if got := decided(lose, weekly(fall...), testNow); got.Warns() {
		t.Errorf("loses 1.5 %% a week: %+v", got)
	}
	fast := []float64{20, 19.5, 19, 18.5, 18, 17.5}
	if got := decided(lose, weekly(fast...), testNow); !got.warns(FallFast) || math.Abs(got.Warnings[0].Change+2.6) > 0.3 {
		t.Errorf("loses 2.6 %% a week: %+v", got)
	}
}

// TestDecideGap: after a year without a weigh-in nothing is known of now.
func TestDecideGap(t *testing.T) {
	entries := weekly(gaining...)
	for i := range entries {
		entries[i].At = entries[i].At.AddDate(-1, 0, 0)
	}
	late := weekly(23)
	got := decided(eater(1150), append(entries, late...), testNow)
	if got.Outcome == Suggest {
		t.Errorf("%+v", got)
	}
}
