package rank

import (
	"math"
	"slices"
	"sync"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/optimize"

	"bowlwright/bot/read/span"
)

// Example is a text's features and what it means: the share of each intent,
// which add to 1.
type Example struct {
	Features []Feature
	Means    map[string]float64
}

// Plan is how a model is fitted.
type Plan struct {
	Fewest  int     // in how many examples a feature stands at least
	Penalty float64 // on the squares of the weights
	Rounds  int
}

// fitting is a model while it is fitted: weights by feature, then by intent.
type fitting struct {
	plan    Plan
	intents []string
	hashes  []uint32
	rows    []row
	rare    []float64
	width   int

	x, slope []float64 // the last point that was looked at, and there the slope
	value    float64   // and the loss
}

// row is an example by numbers.
type row struct {
	at    []int32
	value []float64
	means []mean
}

type mean struct {
	intent int
	share  float64
}

// fit fits a multinomial logistic regression: the weights under which the
// examples' intents are likeliest, less a penalty on their squares. The same
// examples give the same model.
func fit(all []Example, plan Plan) (Weights, error) {
	f := fitting{plan: plan}
	f.number(all)
	if len(f.hashes) == 0 {
		return f.small(nil), nil // too few examples to learn from
	}
	start := make([]float64, len(f.hashes)*f.width)
	problem := optimize.Problem{Func: f.loss, Grad: f.grad}
	result, err := optimize.Minimize(problem, start, &optimize.Settings{
		MajorIterations:   plan.Rounds,
		GradientThreshold: 1e-7,
		Converger:         &optimize.FunctionConverge{Relative: 1e-5, Iterations: 4},
	}, &optimize.LBFGS{Store: 6})
	if err != nil && result == nil {
		return Weights{}, err
	}
	for at := range f.hashes {
		floats.Scale(f.rare[at], result.X[at*f.width:(at+1)*f.width])
	}
	return f.small(result.X), nil
}

// see works out the value and the slope at a point, and keeps them: the optimiser asks
// for both at the same place.
func (f *fitting) see(x []float64) {
	if f.x != nil && floats.Equal(f.x, x) {
		return
	}
	f.x = append(f.x[:0], x...)
	if f.slope == nil {
		f.slope = make([]float64, len(x))
	}
	f.value = f.lossAndGrad(f.slope, x)
}

func (f *fitting) loss(x []float64) float64 { f.see(x); return f.value }
func (f *fitting) grad(grad, x []float64)   { f.see(x); copy(grad, f.slope) }

// number gives features and intents their numbers.
func (f *fitting) number(all []Example) {
	count := map[uint32]int{}
	for _, e := range all {
		seen := map[uint32]bool{}
		for _, g := range e.Features {
			if !seen[g.Hash] {
				seen[g.Hash] = true
				count[g.Hash]++
			}
		}
		for intent := range e.Means {
			f.intents = span.AddNew(f.intents, intent)
		}
	}
	slices.Sort(f.intents)
	f.width = len(f.intents)
	for h, n := range count {
		if n >= f.plan.Fewest {
			f.hashes = append(f.hashes, h)
		}
	}
	slices.Sort(f.hashes)
	f.rare = make([]float64, len(f.hashes))
	for i, h := range f.hashes {
		f.rare[i] = math.Log(float64(len(all))/float64(count[h])) / 4
	}
	for _, e := range all {
		var r row
		for _, g := range e.Features {
			if at, ok := slices.BinarySearch(f.hashes, g.Hash); ok {
				r.at, r.value = append(r.at, int32(at)), append(r.value, float64(g.Value)*f.rare[at])
			}
		}
		for k, intent := range f.intents {
			if e.Means[intent] > 0 {
				r.means = append(r.means, mean{k, e.Means[intent]})
			}
		}
		f.rows = append(f.rows, r)
	}
}

const shards = 2

// lossAndGrad is the loss at a point, and its slope. The shards are fixed, so
// that sums come out the same on every machine.
func (f *fitting) lossAndGrad(grad, x []float64) float64 {
	var loss [shards]float64
	var grads [shards][]float64
	var wait sync.WaitGroup
	for s := range shards {
		wait.Go(func() {
			g := grad
			if s > 0 {
				g = make([]float64, len(x))
			} else {
				clear(g)
			}
			grads[s] = g
			from, to := len(f.rows)*s/shards, len(f.rows)*(s+1)/shards
			z := make([]float64, f.width)
			for i := from; i < to; i++ {
				loss[s] += f.add(&f.rows[i], g, x, z)
			}
		})
	}
	wait.Wait()
	total := 0.0
	for s := range shards {
		total += loss[s]
		if s > 0 {
			floats.Add(grad, grads[s])
		}
	}
	n := float64(len(f.rows))
	floats.Scale(1/n, grad)
	floats.AddScaled(grad, f.plan.Penalty/n, x)
	norm := floats.Dot(x, x)
	return total/n + f.plan.Penalty/n*norm/2
}

// add adds a row's slope and returns its loss.
func (f *fitting) add(r *row, grad, x, z []float64) (loss float64) {
	clear(z)
	w := f.width
	for i, at := range r.at {
		floats.AddScaled(z, r.value[i], x[int(at)*w:int(at)*w+w])
	}
	lse := floats.LogSumExp(z)
	for _, m := range r.means {
		loss += m.share * (lse - z[m.intent])
	}
	for k := range z {
		z[k] = math.Exp(z[k] - lse)
	}
	for _, m := range r.means {
		z[m.intent] -= m.share
	}
	for i, at := range r.at {
		floats.AddScaled(grad[int(at)*w:int(at)*w+w], r.value[i], z)
	}
	return loss
}

// small makes the weights of a fitted model small.
func (f *fitting) small(weights []float64) Weights {
	size := floats.Norm(weights, 2) / math.Sqrt(float64(max(1, len(weights)))) * coarse
	w := Weights{Intents: f.intents, Hashes: f.hashes, Size: float32(size), Steps: make([]byte, len(weights))}
	for i, v := range weights {
		w.Steps[i] = byte(int8(math.Round(max(-127, min(127, v/size)))))
	}
	return w
}

// coarse is a step of the weights, by their root mean square: so coarse that
// most are few steps, and the file is small.
const coarse = 0.25
