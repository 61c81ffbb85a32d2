package planner

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

func tenDays() Transition {
	return Transition{Dog: "d1", Old: "kibble", OldPer100: 380, Recipe: "t", Days: 10, Start: firstMarch}
}

// seen returns a transition with a stool a day: f, s, l, or nothing for any
// other letter.
func seen(t *testing.T, tr Transition, stools string) Transition {
	t.Helper()
	for i, c := range stools {
		s, said := map[rune]Stool{'f': FirmStool, 's': SoftStool, 'l': LooseStool}[c]
		if !said {
			continue
		}
		var ok bool
		if tr, _, ok = tr.Check(firstMarch.AddDays(i), s); !ok {
			t.Fatalf("%s: day %d was not taken", stools, i)
		}
	}
	return tr
}

func TestTransitionShares(t *testing.T) {
	for _, c := range []struct {
		name   string
		days   int
		stools string
		want   []int // steps from the day before Start on
	}{
		{"ten days", 10, "", []int{0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 11}},
		{"a week", 7, "fffffff", []int{0, 1, 2, 3, 4, 5, 6, 7, 8, 8, 8}},
		{"two weeks", 14, "", []int{0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 15}},
		{"one loose day", 7, "ffl", []int{0, 1, 2, 3, 3, 4, 5, 6, 7, 8, 8}},
		{"soft is held, not put back", 7, "ffsss", []int{0, 1, 2, 3, 3, 3, 3, 4, 5, 6, 7, 8}},
		{"two loose days", 7, "fffll", []int{0, 1, 2, 3, 4, 4, 3, 4, 5, 6, 7, 8}},
		{"loose after soft", 7, "fffsl", []int{0, 1, 2, 3, 4, 4, 3, 4, 5, 6, 7, 8}},
		{"soft after loose gets better", 7, "fffls", []int{0, 1, 2, 3, 4, 4, 4, 5, 6, 7, 8}},
		{"two loose days, not running", 7, "flfl", []int{0, 1, 2, 2, 3, 3, 4, 5, 6, 7, 8}},
		{"a day between that nobody saw", 7, "fl-l", []int{0, 1, 2, 2, 3, 3, 4, 5, 6, 7, 8}},
		{"back to the old food alone", 7, "llll", []int{0, 1, 1, 0, 0, 0, 1, 2, 3}},
		{"loose on the last day", 7, "ffffffl", []int{0, 1, 2, 3, 4, 5, 6, 7, 7, 8, 8}},
	} {
		tr := tenDays()
		tr.Days = c.days
		tr = seen(t, tr, c.stools)
		var got []int
		for i := range c.want {
			day := firstMarch.AddDays(i - 1)
			got = append(got, tr.StepOn(day))
			if share, want := tr.ShareOn(day), math.Min(1, float64(tr.StepOn(day))/float64(c.days)); share != want {
				t.Errorf("%s: day %d: share %v, want %v", c.name, i-1, share, want)
			}
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
	// A common plan of ten days in even steps: a tenth more each day.
	for i, want := range []float64{0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1, 1} {
		if got := tenDays().ShareOn(firstMarch.AddDays(i)); math.Abs(got-want) > 1e-12 {
			t.Errorf("day %d: %v, want %v", i, got, want)
		}
	}
	if (Transition{}).ShareOn(firstMarch) != 0 || (Transition{Start: firstMarch}).Over(firstMarch) || !(Transition{Start: firstMarch}).OverOn().IsZero() {
		t.Error("a transition of nothing")
	}
}

func TestTransitionProperties(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 14))
	for range Sampled(2000, 300) {
		tr := tenDays()
		tr.Days = LeastSteps + rng.IntN(MostSteps-LeastSteps+1)
		for i := range 30 {
			day := firstMarch.AddDays(i)
			switch rng.IntN(12) {
			case 0:
				tr = tr.Hold(day)
			case 1, 2:
				tr = tr.Resume(day)
			}
			tr, _, _ = tr.Check(day, []Stool{FirmStool, FirmStool, SoftStool, LooseStool, ""}[rng.IntN(5)])
		}
		if tr.Held() && !tr.OverOn().IsZero() {
			t.Fatalf("held, and over on %v", tr.OverOn())
		}
		tr = tr.Resume(firstMarch.AddDays(30))
		step := 1
		for i := range 60 {
			day := firstMarch.AddDays(i)
			now := tr.StepOn(day)
			by := StepForward // the rule of the house, said again
			today, yesterday := tr.StoolOn(day), tr.StoolOn(day.AddDays(-1))
			switch {
			case today == LooseStool && yesterday != "" && yesterday != FirmStool:
				by = StepBack
			case today == LooseStool, today == SoftStool, tr.heldOn(day, true):
				by = StepHeld
			}
			if now != step {
				t.Fatalf("%+v: day %d is step %d, want %d", tr, i, now, step)
			}
			if tr.ShareOn(day.AddDays(1)) < tr.ShareOn(day) && by != StepBack {
				t.Fatalf("%+v: the share falls after day %d", tr, i)
			}
			if step <= tr.Days {
				step = max(0, step+int(by))
			}
		}
		end := tr.OverOn()
		if tr.ShareOn(firstMarch.AddDays(59)) != 1 || !tr.Over(end) || tr.Over(end.AddDays(-1)) {
			t.Fatalf("%+v: never gets there, or not on %v", tr, end)
		}
	}
}

func TestTransitionCheck(t *testing.T) {
	tr := tenDays()
	for _, c := range []struct {
		day  int
		s    Stool
		want Move
		ok   bool
	}{
		{-1, FirmStool, StepHeld, false},
		{0, "hard", StepHeld, false},
		{0, SoftStool, StepHeld, true},
		{1, LooseStool, StepBack, true},
		{1, FirmStool, StepForward, true}, // it was said wrong
		{0, LooseStool, StepHeld, true},
		{30, FirmStool, StepHeld, false},
	} {
		out, m, ok := tr.Check(firstMarch.AddDays(c.day), c.s)
		if m != c.want || ok != c.ok {
			t.Errorf("%s on day %d: %v %v, want %v %v", c.s, c.day, m, ok, c.want, c.ok)
		}
		tr = out
	}
	if len(tr.Checks) != 2 || tr.Checks[0].Stool != LooseStool || tr.Checks[1].Stool != FirmStool {
		t.Errorf("kept %v", tr.Checks)
	}
	before := tenDays()
	after, _, _ := before.Check(firstMarch, LooseStool)
	if _, _, _ = after.Check(firstMarch, FirmStool); len(before.Checks) != 0 || after.Checks[0].Stool != LooseStool {
		t.Error("a check changed what was before")
	}
}

func TestTransitionHold(t *testing.T) {
	on := func(n int) Date { return firstMarch.AddDays(n) }
	tr := tenDays().Hold(on(3))
	if tr.StepOn(on(3)) != 4 || tr.StepOn(on(9)) != 4 || tr.StepOn(Date{9000, 1, 1}) != 4 || !tr.OverOn().IsZero() {
		t.Errorf("held: step %d, %d", tr.StepOn(on(3)), tr.StepOn(on(9)))
	}
	if again := tr.Hold(on(5)); len(again.Holds) != 1 {
		t.Error("held twice")
	}
	tr = tr.Resume(on(6))
	if tr.StepOn(on(6)) != 4 || tr.StepOn(on(7)) != 5 || tr.OverOn() != on(13) {
		t.Errorf("goes on: step %d, %d, over on %v", tr.StepOn(on(6)), tr.StepOn(on(7)), tr.OverOn())
	}
}

func TestTransitionValidate(t *testing.T) {
	for _, c := range []struct {
		name string
		do   func(*Transition)
		want TransitionCode
	}{
		{"right", func(*Transition) {}, ""},
		{"to a rotation", func(t *Transition) { t.Recipe, t.Rotation = "", "o1" }, ""},
		{"no such dog", func(t *Transition) { t.Dog = "d9" }, NoSuchDog},
		{"a dog that is being switched", func(t *Transition) { t.Dog = "d2" }, TwoAtOnce},
		{"to nothing", func(t *Transition) { t.Recipe = "" }, NoTarget},
		{"to two", func(t *Transition) { t.Rotation = "o1" }, NoTarget},
		{"a recipe that is gone", func(t *Transition) { t.Recipe = "x" }, GoneTarget},
		{"a rotation that is gone", func(t *Transition) { t.Recipe, t.Rotation = "", "o9" }, GoneTarget},
		{"no kcal", func(t *Transition) { t.OldPer100 = 0 }, NoOldEnergy},
		{"3.8 kcal", func(t *Transition) { t.OldPer100 = 3.8 }, OddOldEnergy},
		{"3800 kcal", func(t *Transition) { t.OldPer100 = 3800 }, OddOldEnergy},
		{"no number", func(t *Transition) { t.OldPer100 = math.NaN() }, OddOldEnergy},
		{"6 days", func(t *Transition) { t.Days = 6 }, StepCount},
		{"15 days", func(t *Transition) { t.Days = 15 }, StepCount},
		{"14 days", func(t *Transition) { t.Days = 14 }, ""},
		{"no first day", func(t *Transition) { t.Start = Date{} }, NoFirstDay},
	} {
		h := rotationHome()
		h.Transitions = []Transition{{Dog: "d2", Recipe: "t", Days: 7}, {Dog: "d1", Recipe: "t", Days: 7, Done: true}}
		tr := tenDays()
		c.do(&tr)
		if got := tr.Validate(h); got != c.want {
			t.Errorf("%s: %s", c.name, got)
		}
	}
}

// TestTransitionBackTo holds an earlier step until it is resumed, and goes on from there.
func TestTransitionBackTo(t *testing.T) {
	tr := tenDays()
	day := tr.Start.AddDays(6)
	back := tr.BackTo(day, 3)
	if tr.StepOn(day) != 7 || back.StepOn(day) != 3 || back.StepOn(day.AddDays(5)) != 3 || !back.Held() {
		t.Errorf("steps %d, %d, %d", tr.StepOn(day), back.StepOn(day), back.StepOn(day.AddDays(5)))
	}
	if on := back.Resume(day.AddDays(5)); on.StepOn(day.AddDays(6)) != 4 {
		t.Errorf("resumed: step %d", on.StepOn(day.AddDays(6)))
	}
}
