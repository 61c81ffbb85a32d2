package adjust

import (
	"context"
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize/convex/lp"
)

// program is a linear program in the standard form that gonum's simplex takes:
// the least cost . x where a x = b and x >= 0. It comes with a basis whose
// values are positive, so nobody has to search for a first point.
//
// The right-hand sides come twice. exact is what is meant; b is stricter by
// about a ten-millionth of each row's size, each row by its own factor. Without
// that the simplex may go round in circles where several rows meet in one
// point, as the rows of recipes often do.
type program struct {
	rows, cols int
	a          []float64 // row by row
	b, exact   []float64
	cost       []float64
	basis      []int // one column a row
	energy     int   // the row that keeps the energy; -1: none
}

// solution is an optimal point of a program.
type solution struct {
	x         []float64
	objective float64
	// basis are the columns that are not at zero, one a row; nil where there
	// are fewer, since nobody knows which others belong to them.
	basis []int
}

const (
	// perturbation is the part of its size by which a right-hand side is made
	// stricter. perturbEnergy is the same of the energy row, which is exact.
	perturbation  = 1e-7
	perturbEnergy = 1e-8
	// simplexTolerance is the reduced cost that counts as zero. With exactly
	// zero, many solves never end.
	simplexTolerance = 1e-10
	// attempts is how often a solve that failed is tried again, with other
	// perturbations.
	attempts = 3
	// pivotLimit is how many steps of the simplex a solve may take. Recipes
	// take fewer than a hundred; this many take about two seconds.
	pivotLimit = 4000
	// solvesAtOnce is how many solves may run at the same time, however many
	// requests there are: they must not take the whole machine.
	solvesAtOnce = 2
)

var (
	errStopped = errors.New("adjust: the solver took too many steps")
	errPanic   = errors.New("adjust: the solver failed")
)

// gate lets solvesAtOnce solves run.
var gate = make(chan struct{}, solvesAtOnce)

// factor returns a number between 1 and 2, a different one for each row and
// attempt: the multiples of the golden ratio spread evenly.
func factor(row, attempt int) float64 {
	_, f := math.Modf(float64(row+1)*math.Phi + float64(attempt)*math.Sqrt2)
	return 1 + f
}

// watched is a matrix that stops the simplex reading it. Simplex cannot be told
// to stop, but each of its steps reads a column of its matrix, and it lets a
// panic through.
type watched struct {
	ctx  context.Context
	p    *program
	left *int // columns that may still be read
}

// Dims returns the rows and columns.
func (w watched) Dims() (rows, cols int) { return w.p.rows, w.p.cols }

// T returns the transpose.
func (w watched) T() mat.Matrix { return mat.Transpose{Matrix: w} }

// At returns one figure. It panics with an error where the simplex has to end.
func (w watched) At(i, j int) float64 {
	if i == 0 {
		if *w.left--; *w.left < 0 {
			panic(errStopped)
		}
		if err := w.ctx.Err(); err != nil {
			panic(err)
		}
	}
	return w.p.a[i*w.p.cols+j]
}

// solve returns the program's solution, starting from its basis. Errors:
// errStopped, those of the context, or what made the simplex fail.
func (p *program) solve(ctx context.Context) (solution, error) {
	select {
	case gate <- struct{}{}:
	case <-ctx.Done():
		return solution{}, ctx.Err()
	}
	defer func() { <-gate }()
	// Reading in and checking the matrix takes a few passes over the columns.
	left := 4*p.cols + pivotLimit
	objective, x, err := p.simplex(watched{ctx, p, &left})
	if err != nil {
		return solution{}, err
	}
	s := solution{x: x, objective: objective}
	for j, v := range x {
		if v > 0 {
			s.basis = append(s.basis, j)
		}
	}
	if len(s.basis) != p.rows {
		s.basis = nil
	}
	return s, nil
}

// simplex runs gonum's simplex and turns its panics into errors.
func (p *program) simplex(a watched) (objective float64, x []float64, err error) {
	defer func() {
		switch r := recover().(type) {
		case nil:
		case error:
			err = r
			if !errors.Is(r, errStopped) && a.ctx.Err() == nil {
				err = fmt.Errorf("%w: %w", errPanic, r)
			}
		default:
			err = fmt.Errorf("%w: %v", errPanic, r)
		}
	}()
	objective, x, err = lp.Simplex(p.cost, a, p.b, simplexTolerance, p.basis)
	if err == nil && (math.IsNaN(objective) || math.IsInf(objective, 0)) {
		err = errPanic
	}
	return objective, x, err
}

// duals returns what one more of each right-hand side would cost at a basis;
// nil where that cannot be told.
func (p *program) duals(basis []int) []float64 {
	if len(basis) != p.rows {
		return nil
	}
	bt := mat.NewDense(p.rows, p.rows, nil)
	cb := mat.NewVecDense(p.rows, nil)
	for k, j := range basis {
		cb.SetVec(k, p.cost[j])
		for i := range p.rows {
			bt.Set(k, i, p.a[i*p.cols+j])
		}
	}
	y := mat.NewVecDense(p.rows, nil)
	if y.SolveVec(bt, cb) != nil {
		return nil
	}
	return y.RawVector().Data
}
