package judge

import (
	"math"
	"math/rand/v2"
	"time"

	"bowlwright/nutrition"
	"bowlwright/planner"
)

// world says how simulated dogs, their scales and their carers are. The true
// weight is integrated day by day, by none of the code under test.
type world struct {
	name    string
	bias    float64 // what is eaten over what is logged: standard error of a factor that stays
	weekly  float64 // and of one that changes from week to week
	treats  float64 // treats that nobody logs, at most so much of the day's kcal
	gut     float64 // noise of the weight that carries over from week to week
	shift   float64 // the dogs need that much more than the equation says, as a share
	changed bool    // the daily kcal is changed by a tenth in week 4
	logged  bool    // every bowl is logged
}

// simulated is a dog of which everything is known.
type simulated struct {
	dog     planner.Dog
	k, rho  float64
	factor  float64   // eaten over logged
	kcal    []float64 // logged, a day
	weight  []float64 // true, at the start of each day
	journal []planner.Entry
	start   time.Time
	end     time.Time
}

const simulatedWeeks = 12

// newSimulated draws a dog: 4 to 45 kg; k normal 110 ± 20 cut at 60 and 170;
// weekly weigh-ins with a noise of 0.5 to 1.5 %, 4 % of them off by 4 to 10 %,
// 15 % of weeks missed; 7.0 to 7.7 kcal/g of tissue. It is fed as the equation
// says for its first weight.
func newSimulated(r *rand.Rand, w world) *simulated {
	between := func(a, b float64) float64 { return a + (b-a)*r.Float64() }
	s := &simulated{rho: between(7000, 7700), factor: 1, start: testNow.AddDate(0, 0, -7*simulatedWeeks), end: testNow}
	for s.k < 60 || s.k > 170 {
		s.k = (110 + 20*r.NormFloat64()) * (1 + w.shift)
	}
	s.factor = math.Exp(w.bias*r.NormFloat64()) * (1 + w.treats*r.Float64())
	kg := between(4, 45)
	fed := math.Round(110 * math.Pow(kg, 0.75))
	s.dog = planner.Dog{Name: "Juniper", Weight: kilos(kg), Activity: planner.ModerateCalm, Condition: 5, Born: bornYears(4), Kcal: nutrition.Kcal(fed)}
	noise, gut := between(0.005, 0.015), w.gut*r.NormFloat64()
	wobble := 1.0
	for day := 0; day <= 7*simulatedWeeks; day++ {
		at := s.start.AddDate(0, 0, day)
		s.weight = append(s.weight, kg)
		if day%7 == 0 {
			wobble = math.Exp(w.weekly * r.NormFloat64())
			gut = 0.6*gut + 0.8*w.gut*r.NormFloat64()
			if day == 0 || r.Float64() > 0.15 {
				s.weighed(at, kg*(1+gut)*(1+noise*r.NormFloat64())*outlier(r))
			}
		}
		if w.changed && day == 28 {
			fed = s.change(at, fed, r)
		}
		if w.logged {
			s.journal = append(s.journal, planner.Entry{Kind: planner.Fed, At: at.Add(time.Minute), Date: planner.DateOf(at), Kcal: nutrition.Kcal(fed)})
		}
		s.kcal = append(s.kcal, fed)
		kg += (fed*s.factor*wobble - s.k*math.Pow(kg, 0.75)) / s.rho
	}
	return s
}

func outlier(r *rand.Rand) float64 {
	if r.Float64() >= 0.04 {
		return 1
	}
	off := 0.04 + 0.06*r.Float64()
	if r.Float64() < 0.5 {
		off = -off
	}
	return 1 + off
}

func (s *simulated) weighed(at time.Time, kg float64) {
	s.journal = append(s.journal, planner.Entry{Kind: planner.Weighed, At: at, Date: planner.DateOf(at), Weight: kilos(math.Round(kg*100) / 100)})
}

func (s *simulated) change(at time.Time, fed float64, r *rand.Rand) float64 {
	factor := 1.1
	if r.Float64() < 0.5 {
		factor = 0.9
	}
	s.journal = append(s.journal, planner.Entry{Kind: planner.KcalSet, At: at.AddDate(0, 0, -28), Kcal: nutrition.Kcal(fed)},
		planner.Entry{Kind: planner.KcalSet, At: at, Kcal: nutrition.Kcal(fed * factor)})
	s.dog.Kcal = nutrition.Kcal(fed * factor)
	return fed * factor
}

// coefficient is the true k in logged kcal.
func (s *simulated) coefficient() float64 { return s.k / s.factor }

// off is how far, as a share, the need is above what is fed on a day, both in
// logged kcal.
func (s *simulated) off(day int) float64 {
	return s.coefficient()*math.Pow(s.weight[day], 0.75)/s.kcal[day] - 1
}

func kilos(w float64) nutrition.Kilograms { return nutrition.Kilograms(w) }

func kcals(k float64) nutrition.Kcal { return nutrition.Kcal(k) }
