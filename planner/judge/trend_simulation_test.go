package judge

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"time"
)

var worlds = []world{
	{name: "every bowl logged", logged: true},
	{name: "nothing logged"},
	{name: "treats not logged", treats: 0.10, weekly: 0.03, logged: true},
	{name: "biased logs", bias: 0.10, weekly: 0.05, logged: true},
	{name: "gut noise carries over", gut: 0.008, logged: true},
	{name: "kcal changed in week 4", changed: true, logged: true},
	{name: "equation 15 % too high", shift: -0.15, logged: true},
}

// verdict is when something was first said: the week, and whether it was for
// more food or less.
type verdict struct {
	week      int
	more, vet bool
}

// score counts how a way to decide did.
type score struct {
	spoke, right      int // suggestions, and those whose dog needs more than 5 % that way
	near, falseAlarms int // dogs whose need stays within 5 %, and suggestions for them
	nearVet           int // and vet lines for them
	needs             int // dogs that need 10 % and more all the time
	by6, by8, by12    int // for which the first word was right, by week
	vet, dogs         int
}

func (c *score) add(s *simulated, said []verdict) {
	near, need := true, true
	for week := range simulatedWeeks + 1 {
		off := math.Abs(s.off(7 * week))
		near, need = near && off < 0.05, need && off >= 0.10
	}
	c.dogs++
	c.near += one(near)
	c.needs += one(need)
	for i, v := range said {
		off := s.off(7 * v.week)
		if v.vet {
			c.vet++
			c.nearVet += one(near)
		} else {
			c.spoke++
			c.right += one(v.more && off > 0.05 || !v.more && off < -0.05)
			c.falseAlarms += one(near)
		}
		if need && i == 0 && v.more == (off > 0) {
			c.by6 += one(v.week <= 6)
			c.by8 += one(v.week <= 8)
			c.by12++
		}
	}
}

func one(b bool) int {
	if b {
		return 1
	}
	return 0
}

func share(n, of int) float64 { return 100 * float64(n) / float64(max(of, 1)) }

func (c score) String() string {
	falseAlarms, nearVet := "—", "—" // where no dog's food was right
	if c.near > 0 {
		falseAlarms, nearVet = fmt.Sprintf("%.1f", share(c.falseAlarms, c.near)), fmt.Sprintf("%.1f", share(c.nearVet, c.near))
	}
	return fmt.Sprintf("%.0f | %s | %.0f / %.0f / %.0f | %.0f | %s", share(c.right, c.spoke), falseAlarms,
		share(c.by6, c.needs), share(c.by8, c.needs), share(c.by12, c.needs), share(c.vet, c.dogs), nearVet)
}

// errorsOf are those of k, in %, by week.
type errorsOf map[int][]float64

// TestSimulation lets dogs of which everything is known live for twelve weeks
// beside the estimate and the rule, and holds both to what is asked of them.
// The table it prints is the one in the README. Nothing that is suggested is
// done, so that the rule is judged over all of the twelve weeks.
func TestSimulation(t *testing.T) {
	t.Parallel()
	dogs, seed := sampled(3000, 60), uint64(6)
	if tuning() {
		seed = 7
	}
	var table strings.Builder
	for _, w := range worlds {
		r := rand.New(rand.NewPCG(seed, 2026))
		var rule, thumb score
		off, covered, looks := errorsOf{}, 0, 0
		for range dogs {
			s := newSimulated(r, w)
			h := HistoryOf(s.dog, s.journal, time.UTC, s.end)
			k := s.coefficient()
			said := s.decide(h, func(week int, p Posterior) {
				off[week] = append(off[week], 100*(p.Mean/k-1))
				if week >= 4 {
					looks++
					covered += one(p.Quantile(0.1) < k && k < p.Quantile(0.9))
				}
			})
			rule.add(s, said)
			thumb.add(s, s.byThumb(h))
		}
		fmt.Fprintf(&table, "| %s | %.1f / %.1f / %.1f | %.0f | %v |\n", w.name, rms(off[4]), rms(off[8]), rms(off[12]), share(covered, looks), rule)
		fmt.Fprintf(&table, "| — by rule of thumb | | | %v |\n", thumb)
		t.Run(w.name, func(t *testing.T) { w.hold(t, off, share(covered, looks), rule, thumb) })
	}
	t.Logf("%d dogs a row, 12 weeks\n| logs and scale | error of k after 4 / 8 / 12 weeks, %% | its range holds k, %% | right when it suggests, %% | false alarms, %% | needs of 10 %% found by week 6 / 8 / 12, %% | vet line, %% | vet line where the food was right, %% |\n|---|---|---|---|---|---|---|---|\n%s", dogs, &table)
}

// hold compares a row of the table with its bounds; the seed is fixed. Of 3000 dogs
// some 690 are fed right: shares of these are off by a point by chance.
func (w world) hold(t *testing.T, off errorsOf, covered float64, rule, thumb score) {
	// The row of the grid among the estimators measured before: root mean
	// squares of 7.9, 3.3 and 1.9 % with nothing off but the scale.
	chance, percents := 1.0, 0.0 // what fewer dogs may be off by chance
	if !whole() {
		chance, percents = 1.25, 9
	}
	for week, most := range map[int]float64{4: 13 * chance, 8: 6 * chance, 12: 4 * chance} {
		if got := rms(off[week]); got > most {
			t.Errorf("error of k after %d weeks is %.1f %%, more than %.1f", week, got, most)
		}
	}
	// The range is to hold k in 80 of 100; logs that are off take from that.
	if covered < 75 || covered > 97 {
		t.Errorf("the range holds k in %.0f of 100", covered)
	}
	mostFalse := 5.0
	if w.bias > 0 || w.gut > 0 || w.shift != 0 {
		mostFalse = 10
	}
	right, needless := 92.5, 10.0
	if w.gut > 0 || w.changed {
		right = 91.5
	}
	for _, b := range []struct {
		what            string
		got, least, cap float64
	}{
		{"right", share(rule.right, rule.spoke), right, 100},
		{"false alarms", share(rule.falseAlarms, rule.near), 0, mostFalse},
		{"vet lines where the food was right", share(rule.nearVet, rule.near), 0, needless},
		{"found by week 8", share(rule.by8, rule.needs), 75, 100},
	} {
		if b.got < b.least-percents || b.got > b.cap+percents {
			t.Errorf("%s: %.1f %%, not within %.0f and %.0f", b.what, b.got, b.least, b.cap)
		}
	}
	if !w.changed && share(thumb.falseAlarms, thumb.near) < 2*share(rule.falseAlarms, rule.near) {
		t.Error("the rule of thumb does about as well")
	}
}

// decide asks the rule every week, and returns its first suggestion and its
// first vet line in the order in which they came.
func (s *simulated) decide(h History, see func(week int, p Posterior)) (said []verdict) {
	prior := PriorOf(s.dog, h, s.end)
	var posts []Posterior
	spoken, vet := false, false
	for week := range simulatedWeeks + 1 {
		now := s.start.AddDate(0, 0, 7*week)
		dog, seen := s.dog, h.Until(now)
		if len(h.Changes) > 0 {
			dog.Kcal = kcals(s.kcal[7*week])
			seen = HistoryOf(dog, s.journal, time.UTC, now)
		}
		if len(posts) == 0 || seen.Weighings[len(seen.Weighings)-1].At.After(posts[len(posts)-1].At) {
			posts = append(posts, Estimate(seen, prior))
		}
		see(week, posts[len(posts)-1])
		d := Decide(dog, seen, posts[max(len(posts)-2, 0):], now)
		if d.Warns() && !vet {
			vet = true
			said = append(said, verdict{week, !d.warns(RiseMonth) && !d.warns(RiseFast) && d.Reason != BelowResting, true})
		}
		if d.Outcome == Suggest && !spoken {
			spoken = true
			said = append(said, verdict{week, d.Then > d.Now, false})
		}
	}
	return said
}

// byThumb changes 10 % as soon as two weigh-ins running differ by 2 %.
func (s *simulated) byThumb(h History) []verdict {
	for i, w := range h.Weighings[1:] {
		if c := percent(float64(w.Weight), float64(h.Weighings[i].Weight)); math.Abs(c) >= 2 {
			return []verdict{{week: int(w.At.Sub(s.start).Hours() / 24 / 7), more: c < 0}}
		}
	}
	return nil
}
