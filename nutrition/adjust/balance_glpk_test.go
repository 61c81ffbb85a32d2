package adjust

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"bowlwright/nutrition"
)

// glpsol solves a linear program in CPLEX's LP format with GLPK (Debian's
// glpk-utils) and returns the least cost.
func glpsol(t *testing.T, model string) float64 {
	t.Helper()
	path, err := exec.LookPath("glpsol")
	if err != nil {
		t.Skip("no glpsol, of the package glpk-utils, to compare with")
	}
	dir := t.TempDir()
	in, out := filepath.Join(dir, "in.lp"), filepath.Join(dir, "out.txt")
	if err := os.WriteFile(in, []byte(model), 0o600); err != nil {
		t.Fatal(err)
	}
	if text, err := exec.Command(path, "--lp", in, "--write", out).CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, text)
	}
	text, err := os.ReadFile(out)
	if err != nil {
		t.Fatal(err)
	}
	for line := range strings.Lines(string(text)) {
		// s bas ROWS COLUMNS f f OBJECTIVE: feasible in both senses.
		if f := strings.Fields(line); len(f) == 7 && f[0] == "s" {
			x, err := strconv.ParseFloat(f[6], 64)
			if err != nil || f[4] != "f" || f[5] != "f" {
				t.Fatal(line)
			}
			return x
		}
	}
	t.Fatalf("no solution in %s", text)
	return 0
}

// sumOf writes a linear expression, a few terms a line.
func sumOf(terms []string) string {
	var b strings.Builder
	for i, x := range terms {
		b.WriteString(x)
		if i%4 == 3 {
			b.WriteByte('\n')
		}
	}
	return b.String()
}

func times(x float64, variable string) string {
	return fmt.Sprintf(" %+.17g %s", x, variable)
}

// asWritten writes a program with the right-hand sides that are meant.
func (p *program) asWritten() string {
	var b strings.Builder
	var cost []string
	for j, c := range p.cost {
		if c != 0 {
			cost = append(cost, times(c, fmt.Sprint("x", j)))
		}
	}
	fmt.Fprintf(&b, "Minimize\n cost: %s\nSubject To\n", sumOf(cost))
	for i := range p.rows {
		var row []string
		for j := range p.cols {
			if a := p.a[i*p.cols+j]; a != 0 {
				row = append(row, times(a, fmt.Sprint("x", j)))
			}
		}
		fmt.Fprintf(&b, " r%d: %s = %.17g\n", i, sumOf(row), p.exact[i])
	}
	return b.String() + "End\n"
}

// TestSolveAgreesWithGLPK compares the least cost of perturbed programs with
// what another solver finds for those that are meant.
func TestSolveAgreesWithGLPK(t *testing.T) {
	for seed := range sampled(200, 16) {
		req := randomRequest(seed)
		md, problem := newModel(&req)
		if problem != "" {
			t.Fatal(problem)
		}
		push := []float64{pushGentle, pushThorough, pushAll}[seed%3]
		p, _ := md.program(push, nil, 0)
		s, err := p.solve(context.Background())
		if err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		if want := glpsol(t, p.asWritten()); math.Abs(s.objective-want) > 1e-4*math.Max(1, want) {
			t.Errorf("seed %d: cost %v, GLPK finds %v", seed, s.objective, want)
		}
	}
}

// plainRequest makes a request of foods without ranges or missing figures in
// what the model below writes down.
func plainRequest(seed uint64, p *nutrition.Profile) Request {
	rnd := rand.New(rand.NewPCG(seed, 7))
	var fs []*nutrition.Food
	for _, f := range nutrition.Default().Foods() {
		complete := !f.Has(nutrition.Supplement) && !f.Has(nutrition.Seaweed)
		for n, v := range f.Per100 {
			n := nutrition.Nutrient(n)
			if n != nutrition.Iodine && n != nutrition.Chloride && n != nutrition.DPA && n != nutrition.VitaminK && n != nutrition.Choline && n < nutrition.SaturatedFat {
				complete = complete && v.Complete
			}
		}
		for _, n := range []nutrition.Nutrient{nutrition.Linoleic, nutrition.AlphaLinolenic, nutrition.Arachidonic, nutrition.EPA, nutrition.DPA, nutrition.DHA} {
			complete = complete && f.Per100[n].Complete
		}
		if complete && f.Bone.Kind != nutrition.MammalBone {
			fs = append(fs, f)
		}
	}
	rnd.Shuffle(len(fs), func(i, j int) { fs[i], fs[j] = fs[j], fs[i] })
	req := Request{Profile: p}
	for _, f := range fs[:min(10+rnd.IntN(8), len(fs)-5)] {
		req.Mixture.Items = append(req.Mixture.Items, nutrition.Item{Food: f, Grams: nutrition.Grams(10 + rnd.Float64()*200)})
	}
	req.Allowed = fs[len(req.Mixture.Items) : len(req.Mixture.Items)+5]
	return req
}

// rawModel writes a request down in grams, with a variable for each food and
// one for how much it changes, from the foods and the profile alone. It knows
// nothing of the package's model.
func rawModel(req Request, push float64) string {
	var total, energy float64
	for _, it := range req.Mixture.Items {
		total += float64(it.Grams)
		energy += float64(it.Grams) * it.Food.Per100[nutrition.Energy].Mid / 100
	}
	items := req.Mixture.Items
	for _, f := range req.Allowed {
		items = append(items[:len(items):len(items)], nutrition.Item{Food: f})
	}
	var cost, rows, weight, kcal, bounds, plants []string
	plant := 0.0
	for i, it := range items {
		x, d, g := fmt.Sprint("x", i), fmt.Sprint("d", i), float64(it.Grams)
		rule := ruleOf(nil, it.Food)
		price := 1 / math.Max(g, map[bool]float64{false: 0.02, true: 0.0025}[rule.concentrate]*total)
		if g == 0 {
			price = 2 / (0.05 * total)
		}
		cost = append(cost, times(price, d))
		rows = append(rows, fmt.Sprintf("%s - %s <= %.17g\n", x, d, g), fmt.Sprintf("%s + %s >= %.17g\n", x, d, g))
		bounds = append(bounds, fmt.Sprintf(" %s >= %.17g\n", x, g*rule.floor), fmt.Sprintf(" %s <= %.17g\n", x, rule.most(it.Food, g, total, energy)))
		plants = append(plants, times(it.Food.Shares()[nutrition.Plant], x))
		plant += g * it.Food.Shares()[nutrition.Plant]
		weight = append(weight, times(1, x))
		kcal = append(kcal, times(it.Food.Per100[nutrition.Energy].Mid/100, x))
	}
	rows = append(rows, sumOf(weight)+fmt.Sprintf(" <= %.17g\n", 1.25*total), sumOf(kcal)+fmt.Sprintf(" = %.17g\n", energy))
	rows = append(rows, sumOf(plants)+fmt.Sprintf(" <= %.17g\n", max(plant, 0.2*total)))
	for s, most := range halves() {
		var row []string
		had := 0.0
		for i, it := range items {
			if ruleOf(nil, it.Food).concentrate {
				x := gives(it.Food, s)
				row, had = append(row, times(x, fmt.Sprint("x", i))), had+x*float64(it.Grams)
			}
		}
		if len(row) > 0 {
			rows = append(rows, sumOf(row)+fmt.Sprintf(" <= %.17g\n", max(had, most*energy/1000)))
		}
	}
	sum := func(of func(c *nutrition.Composition) float64) (x float64) {
		for _, it := range items {
			x += float64(it.Grams) * of(&it.Food.Per100)
		}
		return x
	}
	hard := func(of func(c *nutrition.Composition) float64, sign string) {
		var row []string
		for i, it := range items {
			row = append(row, times(of(&it.Food.Per100)/100/energy*1000, fmt.Sprint("x", i)))
		}
		rows = append(rows, sumOf(row)+fmt.Sprintf(" %s %.17g\n", sign, map[string]float64{">=": -1e-9, "<=": 1e-9}[sign]))
	}
	elastic := func(price float64, of func(c *nutrition.Composition) float64, sign string, limit float64) {
		s := fmt.Sprint("s", len(rows))
		cost = append(cost, times(price*push, s))
		var row []string
		had := 0.0
		for i, it := range items {
			x := of(&it.Food.Per100) / 100 / energy * 1000
			had += x * float64(it.Grams)
			row = append(row, times(x, fmt.Sprint("x", i)))
		}
		// No worse than it was; what has no fixed limit has rows of its own for that.
		missing := max(0, limit-had)
		if sign == "<=" {
			missing = max(0, had-limit)
		}
		if limit == 0 && price == 3 && missing > 0 {
			missing = math.MaxFloat32
		}
		bounds = append(bounds, fmt.Sprintf(" %s <= %.17g\n", s, missing))
		rows = append(rows, sumOf(row)+fmt.Sprintf(" %s %s %s %.17g\n", map[string]string{">=": "+", "<=": "-"}[sign], s, sign, limit))
	}
	for _, q := range req.Profile.Requirements {
		price := 1.0
		switch q.Subject {
		case nutrition.CalciumPhosphorus:
			low := sum(func(c *nutrition.Composition) float64 { return c[nutrition.Calcium].Low }) / sum(func(c *nutrition.Composition) float64 { return c[nutrition.Phosphorus].Low })
			high := sum(func(c *nutrition.Composition) float64 { return c[nutrition.Calcium].High }) / sum(func(c *nutrition.Composition) float64 { return c[nutrition.Phosphorus].High })
			elastic(3, func(c *nutrition.Composition) float64 {
				return (c[nutrition.Calcium].Low - c[nutrition.Phosphorus].Low*q.Min) / 1000
			}, ">=", 0)
			elastic(3, func(c *nutrition.Composition) float64 {
				return (c[nutrition.Calcium].High - c[nutrition.Phosphorus].High*q.Max) / 1000
			}, "<=", 0)
			// No worse a ratio than it was: rows that are never given up.
			hard(func(c *nutrition.Composition) float64 {
				return (c[nutrition.Calcium].Low - c[nutrition.Phosphorus].Low*min(low, q.Min)) / 1000
			}, ">=")
			hard(func(c *nutrition.Composition) float64 {
				return (c[nutrition.Calcium].High - c[nutrition.Phosphorus].High*max(high, q.Max)) / 1000
			}, "<=")
			continue
		case nutrition.Subject(nutrition.Calcium), nutrition.Subject(nutrition.Phosphorus):
			price = 3
		}
		of := func(c *nutrition.Composition, terms []nutrition.Term, high bool) (x float64) {
			for _, term := range terms {
				if v := c[term.Nutrient]; high {
					x += v.High * term.Factor
				} else {
					x += v.Low * term.Factor
				}
			}
			return x
		}
		if q.HasMin() {
			elastic(price, func(c *nutrition.Composition) float64 { return of(c, q.Subject.Terms(), false) / q.Min }, ">=", 1)
		}
		if q.HasMax() {
			elastic(3, func(c *nutrition.Composition) float64 { return of(c, q.Subject.MaxTerms(), true) / q.Max }, "<=", 1)
		}
		if q.Subject == nutrition.Subject(nutrition.VitaminE) {
			elastic(1, func(c *nutrition.Composition) float64 {
				fat := c[nutrition.Linoleic].Mid + c[nutrition.AlphaLinolenic].Mid + c[nutrition.Arachidonic].Mid + c[nutrition.EPA].Mid + c[nutrition.DPA].Mid + c[nutrition.DHA].Mid
				return (c[nutrition.VitaminE].Low - 0.6*fat) / q.Min
			}, ">=", 0)
			vitaminE := func(c *nutrition.Composition) float64 { return c[nutrition.VitaminE].Low / 100 / energy * 1000 }
			fat := sum(func(c *nutrition.Composition) float64 {
				return c[nutrition.Linoleic].Mid + c[nutrition.AlphaLinolenic].Mid + c[nutrition.Arachidonic].Mid + c[nutrition.EPA].Mid + c[nutrition.DPA].Mid + c[nutrition.DHA].Mid
			}) / 100 / energy * 1000
			if had := sum(vitaminE); had < 0.6*fat {
				hard(func(c *nutrition.Composition) float64 {
					return c[nutrition.VitaminE].Low - had*c[nutrition.Energy].Mid/1000
				}, ">=")
			}
		}
	}
	return "Minimize\n cost: " + sumOf(cost) + "\nSubject To\n" + strings.Join(rows, "") + "Bounds\n" + strings.Join(bounds, "") + "End\n"
}

// TestModelAgreesWithAnother compares the cost with that of a model written
// independently and solved by GLPK.
func TestModelAgreesWithAnother(t *testing.T) {
	p := nutrition.ProfileByID("aafco-adult")
	for seed := range sampled(60, 8) {
		req := plainRequest(seed, p)
		md, problem := newModel(&req)
		if problem != "" {
			t.Fatal(problem)
		}
		push := []float64{pushGentle, pushThorough, pushAll}[seed%3]
		s, err := (&balancer{ctx: context.Background(), md: md}).solve(push, nil, nil)
		if err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		want := glpsol(t, rawModel(req, push))
		// Demands that no amounts can miss, or close, are left out of the one.
		if math.Abs(s.objective-want) > 1e-4*math.Max(1, want) {
			t.Errorf("seed %d: cost %v, the other model's is %v", seed, s.objective, want)
		}
	}
}
