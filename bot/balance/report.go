package balance

import (
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
	"time"

	"github.com/jedib0t/go-pretty/v6/table"

	"bowlwright/bot/dogs"
	"bowlwright/bot/read"
	"bowlwright/bot/read/foodline"
	"bowlwright/bot/read/span"
	"bowlwright/bot/recipes"
	"bowlwright/bot/say"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/planner/illness"
)

// Report is the analysis of a recipe for programs and for a terminal. Its
// fields are stable.
type Report struct {
	Recipe            string             `json:"recipe"`
	Profile           string             `json:"profile"`
	Grams             float64            `json:"grams"`
	EnergyKcal        extent             `json:"energy_kcal"`
	Shares            map[string]float64 `json:"shares"` // fractions of grams by body part
	CalciumPhosphorus extent             `json:"calcium_phosphorus"`
	Ratios            []reportRatio      `json:"ratios"`
	Nutrients         []reportRow        `json:"nutrients"`
	Cautions          []string           `json:"cautions"`
	Problems          []reportProblem    `json:"problems"`

	// Unread is how many lines were not read; what no dog may eat was, and is
	// left out.
	Unread int `json:"-"`

	basis, day string
	sum        string // what it weighs and brings
	dry        string // with what dry matter a laboratory's figures are reckoned; empty: as they are
	view       nutrition.View
}

// extent is a value with its range. High is null where there may be more, all
// three where nothing is known.
type extent struct {
	Low  *float64 `json:"low"`
	Mid  *float64 `json:"mid"`
	High *float64 `json:"high"`
}

type reportRow struct {
	Name string `json:"name"`
	Unit string `json:"unit"`
	extent
	Per         string   `json:"per"` // "1000kcal", or "day" for one dog and day; of a view "100g", "kg-dry-matter", "kg-dog-day"
	Min         *float64 `json:"min"`
	Max         *float64 `json:"max"`
	LegalMax    *float64 `json:"legal_max"` // binds where some is added, and is then in max
	Verdict     string   `json:"verdict"`
	UnknownFrom []string `json:"unknown_from"`
	Measured    bool     `json:"measured,omitempty"` // a laboratory's figure is in it

	of *nutrition.Row
}

type reportProblem struct {
	Line   int    `json:"line"`
	Text   string `json:"text"`
	Reason string `json:"reason"`
}

// ReportOptions says what a recipe is analysed against.
type ReportOptions struct {
	Profile string // id; empty: the one that fits the dog, AAFCO adult maintenance without one
	Dog     string // a dog in a line, "20 kg moderate"; empty: none
	View    nutrition.View
	Lab     string    // what a laboratory measured of the recipe, a figure a line
	Now     time.Time // for the dog's age
}

// ErrOption says that an option of a report cannot be used; its text is for a
// person.
type ErrOption struct{ Text string }

func (e ErrOption) Error() string { return e.Text }

// ErrNothingRead is returned where no line of a recipe could be read; the
// report beside it has the problems.
var ErrNothingRead = errors.New("no line of the recipe could be read")

// MakeReport analyses recipe lines as the chat reads them. Errors are
// ErrOption and ErrNothingRead.
func MakeReport(text string, o ReportOptions) (Report, error) {
	var r Report
	foods := nutrition.Default()
	dog, basis, err := reportDog(o)
	if err != nil {
		return r, err
	}
	id, adult := planner.ProfileFor(dog, o.Now, o.Profile)
	if o.Profile != "" {
		id = o.Profile
	}
	p := nutrition.ProfileByID(id)
	if p == nil {
		return r, ErrOption{msg("report.no-profile", "profile", say.Short(o.Profile), "profiles", strings.Join(say.Each(nutrition.Profiles(), func(p *nutrition.Profile) string { return p.ID }), ", "))}
	}
	if o.View != nutrition.AsAnalysed && !slices.Contains(nutrition.Views(), o.View) {
		return r, ErrOption{msg("report.wrong-view", "view", say.Short(string(o.View)), "views", say.ListOf(nutrition.Views(), func(v nutrition.View) string { return string(v) }))}
	}
	got := foodline.RecipeText(text, foods)
	r.Problems = []reportProblem{}
	for _, q := range got.Problems {
		names := say.Each(q.Finding.Choices, func(f *nutrition.Food) string { return f.Name })
		reason := say.ProblemText(q) + say.Where(len(names) > 0, " "+strings.Join(names, "; ")+".")
		r.Problems = append(r.Problems, reportProblem{q.Line, q.Text, reason})
		if q.Code != span.RefusedFood {
			r.Unread++
		}
	}
	r.Recipe, r.Profile, r.Cautions, r.Nutrients, r.Ratios = got.Name, id, []string{}, []reportRow{}, []reportRatio{}
	if len(got.Lines) == 0 {
		return r, ErrNothingRead
	}
	recipe := got.Planner()
	if err := r.measure(&recipe, o.Lab, foods); err != nil {
		return r, err
	}
	m, err := planner.MixtureOf(recipe, foods, basis.Kcal)
	if err != nil {
		return r, err
	}
	a := nutrition.Analyse(m, p.ForAdultWeight(adult), basis)
	if err := r.fill(Looked{Mixture: m, Profile: p.ForAdultWeight(adult), Result: a}, o.View); err != nil {
		return r, err
	}
	if o.Dog == "" {
		r.basis = say.JoinParas(r.basis, dosesOpenText(got.Planner(), foods))
	}
	r.basis = say.JoinParas(r.basis, r.dry)
	r.caution(a, m, dog, o.Now)
	return r, nil
}

// measure takes a laboratory's figures of a recipe in place of the table's.
func (r *Report) measure(recipe *planner.Recipe, figures string, foods *nutrition.Table) error {
	if strings.TrimSpace(figures) == "" {
		return nil
	}
	m, err := planner.MixtureOf(*recipe, foods, 0)
	if err != nil {
		return err
	}
	water := -1.0 // not known
	if sum := nutrition.Sum(m); sum.Grams > 0 && sum.Values[nutrition.Water].Complete {
		water = sum.Values[nutrition.Water].Mid * 100 / float64(sum.Grams)
	}
	l, _, used, problems := foodline.LabText(figures, water)
	for _, q := range problems {
		r.Problems = append(r.Problems, reportProblem{q.Line, q.Text, say.ProblemText(q)})
		r.Unread++
	}
	if used {
		r.dry = say.Msg("lab.dry", "dry", say.Trim(100-water, 1))
	}
	for n := range nutrition.NutrientCount {
		if x, ok := l.Per100[n]; ok && !(used && n == nutrition.Water) {
			recipe.Lab.Set(n, x/100)
		}
	}
	if len(recipe.Lab.Facts) == 0 {
		return ErrOption{msg("report.no-lab")}
	}
	recipe.Measure()
	return nil
}

// reportDog reads the dog of the options.
func reportDog(o ReportOptions) (planner.Dog, nutrition.Basis, error) {
	if o.Dog == "" {
		return planner.Dog{}, nutrition.Basis{}, nil
	}
	d, problems := read.DogLine("dog "+o.Dog, planner.Units{}, o.Now)
	if len(problems) > 0 {
		return d, nutrition.Basis{}, ErrOption{say.ProblemText(problems[0])}
	}
	if d.Weight == 0 {
		return d, nutrition.Basis{}, ErrOption{msg("report.no-weight", "dog", say.Short(o.Dog))}
	}
	d.Name = "dog"
	if err := d.Validate(o.Now); err != nil {
		return d, nutrition.Basis{}, ErrOption{say.FieldText(err, planner.Units{})}
	}
	n := planner.AmountOf(d, o.Now)
	if n.Waits() { // no amounts a day
		return d, nutrition.Basis{}, nil
	}
	return d, nutrition.Basis{PerDog: true, Weight: n.Basis, Kcal: n.Kcal}, nil
}

func (r *Report) fill(l Looked, view nutrition.View) error {
	a := l.Result
	seen, ok := viewed(l, view)
	if !ok {
		return ErrOption{msg("report.no-view", "view", string(view))}
	}
	r.view, r.Grams = view, float64(a.Grams)
	r.EnergyKcal, r.CalciumPhosphorus = spanOf(a.Energy), spanOf(a.CaP)
	r.sum = msg("report.head", "grams", say.Trim(r.Grams, 1), "kcal", recipes.AmountIn(a.Energy, 1, " kcal"), "ratio", recipes.AmountIn(a.CaP, 1, ""))
	r.Shares = map[string]float64{}
	for p, v := range a.Shares {
		r.Shares[nutrition.Part(p).String()] = v.Mid
	}
	per, weight := "1000kcal", say.BodyWeight(a.Basis.Weight, planner.Units{})
	r.basis, r.day = msg("analysis.basis-kcal", "profile", msg("profile."+a.ProfileID)), msg("report.per-kcal")
	if a.Basis.PerDog {
		per, r.day = "day", msg("report.a-day", "weight", weight)
		r.basis = say.JoinParas(msg("analysis.basis-dog", "profile", msg("profile."+a.ProfileID), "weight", weight, "kcal", say.Kcal(a.Basis.Kcal)), restsOn(a.ProfileID, a.Basis))
	}
	if view != nutrition.AsAnalysed {
		per, r.day = pers[view], strings.ToLower(msg("button.view-"+string(view)))
		r.basis = say.JoinParas(r.basis, viewText(l, view, planner.Units{}))
	}
	for i := range seen.Rows {
		r.Nutrients = append(r.Nutrients, rowOf(l, &seen.Rows[i], per))
	}
	r.Ratios = ratiosOf(l)
	return nil
}

// pers are what amounts are per in a view.
var pers = map[nutrition.View]string{nutrition.AsFed: "100g", nutrition.PerKcal: "1000kcal", nutrition.DryMatter: "kg-dry-matter", nutrition.PerKilo: "kg-dog-day"}

func rowOf(l Looked, row *nutrition.Row, per string) reportRow {
	s := row.Requirement.Subject
	out := reportRow{Name: s.String(), Unit: s.Unit(), extent: spanOf(row.Value), Per: per, Min: number(row.Min), Max: number(row.Max), LegalMax: number(row.Legal),
		Verdict: row.Verdict.String(), UnknownFrom: partNames(l, row.UnknownFrom, s, nil), Measured: row.Measured, of: row}
	if len(row.Unless) > 0 && row.Verdict == nutrition.Low {
		out.Verdict = msg("report.low-unless")
	}
	return out
}

func (r *Report) caution(a nutrition.Analysis, m nutrition.Mixture, d planner.Dog, now time.Time) {
	ctx := nutrition.CautionContext{Analysis: &a, Weight: d.Weight, Illness: illness.In(d.Health), Stage: stageOf(d, now)}
	if n := planner.AmountOf(d, now); d.Name != "" && n.Waits() {
		r.Cautions = append(r.Cautions, say.Unmarked(dogs.GateText(d, n)))
	}
	for _, c := range nutrition.Cautions(m.Items, ctx) {
		if s := recipes.CautionText(c, nutrition.Default()); s != "" {
			r.Cautions = append(r.Cautions, s)
		}
	}
	for _, it := range m.Items {
		if nutrition.Excluded(it.Food, d.Excludes) {
			r.Cautions = append(r.Cautions, msg("report.excluded", "food", it.Food.Name))
		}
	}
}

// stageOf is the dog's stage as cautions know it.
func stageOf(d planner.Dog, now time.Time) nutrition.LifeStage {
	if d.Stage != "" {
		return nutrition.LifeStage(d.Stage)
	}
	return nutrition.LifeStage(d.StageAt(now))
}

// number is nil where there is no figure: JSON has no NaN.
func number(x float64) *float64 {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return nil
	}
	return &x
}

func spanOf(v nutrition.Value) extent {
	switch {
	case v.IsUnknown():
		return extent{}
	case !v.Complete:
		return extent{Low: number(v.Low)}
	}
	return extent{number(v.Low), number(v.Mid), number(v.High)}
}

// WriteTable writes the report as text for a terminal.
func (r Report) WriteTable(w io.Writer) error {
	t := table.NewWriter()
	t.SetStyle(table.StyleLight)
	t.Style().Options = table.OptionsNoBordersAndSeparators
	t.AppendHeader(table.Row{"nutrient", "amount", "min", "max", "verdict"})
	lines := []string{}
	for _, n := range r.Nutrients {
		if n.Measured {
			n.Name += " *"
			lines = []string{MarkText()}
		}
		t.AppendRow(table.Row{n.Name, n.text(r.view), n.limit(n.of.Min, r.view), n.limit(n.of.Max, r.view), n.Verdict})
	}
	head := say.Where(r.Recipe != "", r.Recipe+", ") + r.day + "\n" + r.sum
	if _, err := fmt.Fprintf(w, "%s\n%s\n%s\n", head, r.basis, t.Render()); err != nil {
		return err
	}
	lines = append(lines, msg("report.ratios"))
	for _, ratio := range r.Ratios {
		lines = append(lines, ratio.text)
	}
	for _, c := range append(lines, r.Cautions...) {
		if _, err := fmt.Fprintln(w, c); err != nil {
			return err
		}
	}
	return nil
}

// WriteProblems writes the lines that were not read.
func (r Report) WriteProblems(w io.Writer) error {
	for _, p := range r.Problems {
		if _, err := fmt.Fprintln(w, msg("report.problem", "line", p.Line, "reason", p.Reason)); err != nil {
			return err
		}
	}
	return nil
}

func (n reportRow) text(view nutrition.View) string {
	factor, unit := 1.0, strings.TrimSuffix(say.UnitText(n.Unit), "ratio")
	if view != nutrition.AsAnalysed {
		factor, unit = n.in(view, n.of.Low)
	}
	unit = strings.TrimSpace(strings.TrimSuffix(unit, " : 1"))
	return recipes.AmountIn(n.of.Value, factor, say.Where(unit != "", " "+unit))
}

// in is the one unit of a row in a view: that of its limits, else of a figure.
func (n reportRow) in(view nutrition.View, figure float64) (factor float64, unit string) {
	for _, x := range []float64{n.of.Min, n.of.Max} {
		if !math.IsNaN(x) && view != nutrition.AsAnalysed {
			figure = x
			break
		}
	}
	return viewUnit(view, n.of.Requirement.Subject, figure)
}

func (n reportRow) limit(x float64, view nutrition.View) string {
	if math.IsNaN(x) {
		return ""
	}
	factor, unit := n.in(view, x)
	return strings.TrimSuffix(say.Sig(x/factor)+unit, " : 1")
}
