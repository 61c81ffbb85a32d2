package adjust

import (
	"context"
	"math"
	"os"
	"reflect"
	"strconv"
	"sync"
	"testing"

	"bowlwright/nutrition"
)

// sampled returns how many cases to try: all with BOWLWRIGHT_LONG set, else a
// sample, of which short tests take half.
func sampled(all, few uint64) uint64 {
	switch {
	case os.Getenv("BOWLWRIGHT_LONG") != "":
		return all
	case testing.Short():
		return few / 2
	}
	return few
}

func TestBalanceOfRandomMixtures(t *testing.T) {
	t.Parallel()
	n := sampled(2000, 20)
	outcomes := map[Outcome]int{}
	var mu sync.Mutex
	var wg sync.WaitGroup
	for half := range uint64(2) {
		wg.Go(func() {
			for seed := half; seed < n; seed += 2 {
				req := randomRequest(seed)
				r := Balance(context.Background(), req)
				mu.Lock()
				outcomes[r.Outcome]++
				mu.Unlock()
				if r.Outcome == NotComputed {
					t.Errorf("seed %d: %s", seed, r.Problem)
					continue
				}
				checkRules(t, strconv.FormatUint(seed, 10), &req, &r)
				if kind := r.Answers[0].Kind; (kind != MetAnswer) != (r.Outcome == Compromise) {
					t.Errorf("seed %d: %s with a %s answer first", seed, r.Outcome, kind)
				}
				for i := range r.Answers {
					checkAnswer(t, seed, &req, &r.Answers[i])
					checkNotWorse(t, strconv.FormatUint(seed, 10), &req, &r.Answers[i])
				}
			}
		})
	}
	wg.Wait()
	t.Log(outcomes)
}

// checkAnswer checks what holds of every answer, from the request and the
// answer alone.
func checkAnswer(t *testing.T, seed uint64, req *Request, a *Answer) {
	t.Helper()
	was, is := nutrition.Analyse(req.Mixture, req.Profile, req.Basis), nutrition.Analyse(a.Mixture, req.Profile, req.Basis)
	if e := is.Energy.Mid / was.Energy.Mid; math.Abs(e-1) > 0.01+1e-6 {
		t.Errorf("seed %d %s: energy is %v of what it was", seed, a.Kind, e)
	}
	if w := float64(is.Grams / was.Grams); w > 1.25*(1+1e-6) {
		t.Errorf("seed %d %s: weight is %v of what it was", seed, a.Kind, w)
	}
	for _, it := range a.Items {
		if it.Index < 0 {
			if it.Old != 0 || !(it.New > 0) || it.Food.Bone.Kind == nutrition.MammalBone {
				t.Errorf("seed %d %s: added %+v", seed, a.Kind, it)
			}
			continue
		}
		if req.Locked[it.Index] && it.New != it.Old {
			t.Errorf("seed %d %s: %s is locked: %v is now %v", seed, a.Kind, it.Food.Key, it.Old, it.New)
		}
		if !req.LetGo[it.Index] && it.New < it.Old*nutrition.Grams(ruleOf(t, it.Food).floor-1e-9) {
			t.Errorf("seed %d %s: %s: %v is now %v", seed, a.Kind, it.Food.Key, it.Old, it.New)
		}
	}
	for i := range is.Rows {
		r := &is.Rows[i]
		checkGap(t, seed, a, Demand{Subject: r.Requirement.Subject}, r.HasMin(), 1-r.Low/r.Min)
		checkGap(t, seed, a, Demand{Subject: r.Requirement.Subject, Most: true}, r.HasMax(), r.Capped.High/r.Max-1)
	}
}

// checkGap checks that a limit is among the gaps where some part of it is
// missing, and only there.
func checkGap(t *testing.T, seed uint64, a *Answer, d Demand, has bool, missing float64) {
	t.Helper()
	var gap *Gap
	for i := range a.Gaps {
		if a.Gaps[i].Demand == d {
			gap = &a.Gaps[i]
		}
	}
	switch {
	case gap == nil && has && missing > 1e-4:
		t.Errorf("seed %d %s: %+v misses %v, and no gap is told", seed, a.Kind, d, missing)
	case gap != nil && (!has || missing <= 0 || math.Abs(gap.Part-missing) > 1e-9):
		t.Errorf("seed %d %s: gap %+v, missing %v", seed, a.Kind, *gap, missing)
	}
}

func TestBalanceIsTheSameAgain(t *testing.T) {
	t.Parallel()
	for seed := range sampled(20, 2) {
		req := randomRequest(seed)
		req.Explain = true
		a, b := Balance(context.Background(), req), Balance(context.Background(), req)
		for _, r := range []*Result{&a, &b} {
			for i := range r.Answers {
				// NaN, of rows without a limit, is not equal to itself.
				r.Answers[i].Analysis = nutrition.Analysis{}
			}
		}
		if !reflect.DeepEqual(a, b) {
			t.Errorf("seed %d: two results", seed)
		}
	}
}

// TestConfirmedReasonsHold solves again with a profile that does not have the
// demand at all: the change that it is the reason of is then less than half.
func TestConfirmedReasonsHold(t *testing.T) {
	t.Parallel()
	confirmed, several, room := 0, 0, 0
	for seed := range sampled(40, 4) {
		req := randomRequest(seed)
		req.Explain, req.Bands = true, false
		for _, a := range Balance(context.Background(), req).Answers {
			for _, c := range a.Changes {
				if !c.Confirmed {
					several++
					if len(c.Several) == 0 {
						room++ // it only makes room for others
					}
					continue
				}
				confirmed++
				without := *req.Profile
				without.Requirements = nil
				for _, q := range req.Profile.Requirements {
					if q.Subject == c.Cause.Subject {
						if c.Cause.Most {
							q.Max = math.NaN()
						} else {
							q.Min = math.NaN()
						}
					}
					without.Requirements = append(without.Requirements, q)
				}
				checkReason(t, seed, req, &without, &a, &c)
			}
		}
	}
	t.Logf("%d changes with one reason, %d with several, %d with none", confirmed, several-room, room)
	if room > (confirmed+several)/10 {
		t.Errorf("no reason for %d of %d changes", room, confirmed+several)
	}
	if n := sampled(40, 4); n == 40 && confirmed < several { // a few tell nothing of that
		t.Errorf("%d confirmed, %d not", confirmed, several)
	}
}

func checkReason(t *testing.T, seed uint64, req Request, p *nutrition.Profile, a *Answer, c *Reason) {
	t.Helper()
	req.Profile = p
	md, problem := newModel(&req)
	if problem != "" {
		t.Fatal(problem)
	}
	push := map[Kind]float64{MetAnswer: 1000, GentleAnswer: 30, ThoroughAnswer: 100}[a.Kind]
	twice := 0
	for j := range md.vars {
		if md.vars[j].item.Food == a.Items[c.Item].Food {
			twice++
		}
	}
	if twice > 1 {
		return // which of two equal items changes is no one's to say
	}
	b := balancer{ctx: context.Background(), md: md}
	s, err := b.solve(push, nil, nil)
	if err != nil {
		t.Fatal(err)
	}
	left := 0.0
	for _, it := range md.build(a.Kind, md.moves(&s)).Items {
		if old := a.Items[c.Item]; it.Index == old.Index && it.Food == old.Food {
			left = float64(it.New - it.Old)
		}
	}
	if left/float64(c.Delta) > 0.5+1e-3 {
		t.Errorf("seed %d %s: %s changes by %.1f for %+v, and by %.1f without it",
			seed, a.Kind, a.Items[c.Item].Food.Key, c.Delta, c.Cause, left)
	}
	if math.Abs(left-float64(c.WithoutIt)) > 0.05*math.Abs(float64(c.Delta))+0.1 {
		t.Errorf("seed %d %s: %s would change by %.2f, %.2f is told", seed, a.Kind, a.Items[c.Item].Food.Key, left, c.WithoutIt)
	}
}

// The maximum of omega-6 to omega-3 is no row of the program. It counts as
// every other maximum does where answers are compared: this mixture once got a
// thorough answer that made it worse and closed a hair of thiamin.
func TestRatioCountsAsAMaximum(t *testing.T) {
	req := randomRequest(1344)
	r := Balance(context.Background(), req)
	checkRules(t, "1344", &req, &r)
	for i := range r.Answers {
		checkAnswer(t, 1344, &req, &r.Answers[i])
	}
}
