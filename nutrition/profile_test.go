package nutrition

import (
	"math"
	"strconv"
	"strings"
	"testing"
)

func TestAAFCOAgreesWithItsDryMatterFigures(t *testing.T) {
	adult, growth := ProfileByID("aafco-adult"), ProfileByID("aafco-growth").ForAdultWeight(10)
	sheet := readSheet(t, "testdata/aafco-dry-matter.csv")
	if n := len(sheet.rows) + 2; len(growth.Requirements) != n { // and two ratios
		t.Errorf("aafco-growth has %d requirements, its dry-matter table %d", len(growth.Requirements), n)
	}
	for key, row := range sheet.rows {
		s, err := ParseSubject(key)
		if err != nil {
			t.Fatal(err)
		}
		unit, adultMin, growthMin, most := row[1], row[2], row[3], row[4]
		for _, c := range []struct {
			what, dry string
			p         *Profile
			of        func(Requirement) float64
		}{
			{"adult minimum", adultMin, adult, func(r Requirement) float64 { return r.Min }},
			{"growth minimum", growthMin, growth, func(r Requirement) float64 { return r.Min }},
			{"adult maximum", most, adult, func(r Requirement) float64 { return r.Max }},
			{"growth maximum", most, growth, func(r Requirement) float64 { return r.Max }},
		} {
			q, ok := c.p.Requirement(s)
			if c.dry == "" {
				if ok && !math.IsNaN(c.of(q)) {
					t.Errorf("%v: %s is %v, the dry-matter table has none", s, c.what, c.of(q))
				}
				continue
			}
			if !ok {
				t.Errorf("%v is not in %s", s, c.p.ID)
				continue
			}
			checkDryMatter(t, s, c.what, c.of(q), c.dry, unit)
		}
	}
	if q, _ := ProfileByID("aafco-growth").ForAdultWeight(40).Requirement(Subject(Calcium)); q.Max != 1.8*10/4*1000 {
		t.Errorf("calcium maximum of large growing dogs is %v mg, dry matter 1.8 %%", q.Max)
	}
}

// checkDryMatter compares a figure per 1000 kcal with one of dry matter: they
// may differ by half of the last place of either.
func checkDryMatter(t *testing.T, s Subject, what string, got float64, dry, unit string) {
	t.Helper()
	x, err := strconv.ParseFloat(dry, 64)
	if err != nil {
		t.Fatal(err)
	}
	perKilo := map[string]float64{"%": 10, "mg": 1, "IU": 1}[unit]
	to := 1.0
	if unit != "IU" {
		from := map[string]string{"%": "g", "mg": "mg"}[unit]
		if to, err = unitFactor(from, s.Unit()); err != nil {
			t.Fatal(err)
		}
	}
	want := x * perKilo / 4 * to
	places := 0
	if _, after, ok := strings.Cut(dry, "."); ok {
		places = len(after)
	}
	half := 0.5 * math.Pow(10, -float64(places)) * perKilo / 4 * to
	// Figures per 1000 kcal are printed to two places, but for these two.
	printed := 0.005 * to
	if s == EPADHA || s == Subject(Chloride) {
		printed = 0.025 * to
	}
	if diff := math.Abs(got - want); diff > math.Max(half, printed)*(1+Rounding) {
		t.Errorf("%v: %s is %v %s per 1000 kcal, dry matter %s %s gives %v", s, what, got, s.Unit(), dry, unit, want)
	}
}

func TestProfilesHaveEveryRequirement(t *testing.T) {
	want := []string{
		"aafco-adult", "aafco-growth", "fediaf-adult-95", "fediaf-adult-110",
		"fediaf-growth-early", "fediaf-growth-late", "nrc-adult",
	}
	got := Profiles()
	if len(got) != len(want) {
		t.Fatalf("%d profiles, want %d", len(got), len(want))
	}
	for i, p := range got {
		if p.ID != want[i] || ProfileByID(want[i]) != p {
			t.Errorf("profile %d is %q, want %q", i, p.ID, want[i])
		}
		if n := len(p.Requirements); n < 38 {
			t.Errorf("%s has %d requirements", p.ID, n)
		}
		for _, r := range p.Requirements {
			if !r.HasMin() && !r.HasMax() || r.Min <= 0 || r.HasMax() && r.Max <= r.Min {
				t.Errorf("%s: %v from %v to %v", p.ID, r.Subject, r.Min, r.Max)
			}
			if r.HasMax() != (r.Kind != "") {
				t.Errorf("%s: %v has a maximum of kind %q", p.ID, r.Subject, r.Kind)
			}
		}
		if growth := strings.Contains(p.ID, "growth"); p.Growth != growth || (p.Intake == 0) != growth {
			t.Errorf("%s: growth %v, intake %v", p.ID, p.Growth, p.Intake)
		}
	}
	if ProfileByID("none") != nil {
		t.Error("a profile of no name")
	}
}

func TestLimitsOfOneStage(t *testing.T) {
	none := math.NaN()
	for _, c := range []struct {
		profile  string
		weight   Kilograms
		subject  Subject
		min, max float64 // in the subject's unit; FEDIAF 2021 and AAFCO 2016, from memory
	}{
		{"aafco-growth", 0, Subject(Calcium), 3000, 4500}, // not known: the strictest
		{"aafco-growth", 31.7, Subject(Calcium), 3000, 6250},
		{"aafco-growth", 31.8, Subject(Calcium), 3000, 4500},
		{"aafco-adult", 60, Subject(Calcium), 1250, 6250},
		{"fediaf-growth-late", 0, Subject(Calcium), 2500, 4500},
		{"fediaf-growth-late", 15, Subject(Calcium), 2000, 4500},
		{"fediaf-growth-late", 15, CalciumPhosphorus, 1, 1.8},
		{"fediaf-growth-late", 15.1, CalciumPhosphorus, 1, 1.6},
		{"fediaf-growth-late", 15.1, Subject(Calcium), 2500, 4500},
		{"fediaf-growth-early", 40, Subject(Calcium), 2500, 4000},
		{"fediaf-adult-110", 40, Subject(Calcium), 1250, 6250},
		{"fediaf-growth-early", 0, CalciumPhosphorus, 1, 1.6},
		{"fediaf-growth-late", 0, CalciumPhosphorus, 1, 1.6},
		{"fediaf-adult-95", 0, CalciumPhosphorus, 1, 2},
		{"fediaf-growth-early", 0, Subject(Lysine), 2.2, 7},
		{"fediaf-growth-late", 0, Subject(Lysine), 1.75, 7},
		{"fediaf-adult-110", 0, Subject(Lysine), 1.05, none},
		{"fediaf-growth-early", 0, Subject(Linoleic), 3.25, 16.25},
		{"fediaf-growth-late", 0, Subject(Linoleic), 3.25, none},
		{"fediaf-adult-95", 0, Subject(Phosphorus), 1160, 4000},
		{"fediaf-growth-early", 0, Subject(Phosphorus), 2250, none},
		{"fediaf-adult-95", 0, Subject(Iodine), 300, 2750},
		{"nrc-adult", 0, EPADHA, 0.11, 2.8},
	} {
		q, ok := ProfileByID(c.profile).ForAdultWeight(c.weight).Requirement(c.subject)
		if !ok || !same(q.Min, c.min) || !same(q.Max, c.max) {
			t.Errorf("%s at %v kg: %v is %v to %v, want %v to %v", c.profile, c.weight, c.subject, q.Min, q.Max, c.min, c.max)
		}
	}
	// Choosing a weight changes a copy, and may be done again.
	p := ProfileByID("aafco-growth")
	heavy := p.ForAdultWeight(50)
	light, _ := heavy.ForAdultWeight(5).Requirement(Subject(Calcium))
	if again, _ := p.Requirement(Subject(Calcium)); again.Max != 4500 || light.Max != 6250 {
		t.Errorf("calcium maximum of the shared profile %v, of the light dog %v", again.Max, light.Max)
	}
}

// same compares numbers of which NaN is none.
func same(a, b float64) bool {
	return math.IsNaN(a) && math.IsNaN(b) || math.Abs(a-b) <= 1e-9*math.Abs(b)
}

func TestIntakesOfTheProfiles(t *testing.T) {
	// FEDIAF derives its two adult columns from one amount per kg^0.75, so
	// that they must agree there; fat is the one it keeps per 1000 kcal.
	less, more := ProfileByID("fediaf-adult-95"), ProfileByID("fediaf-adult-110")
	for i, r := range less.Requirements {
		q := more.Requirements[i]
		if r.Subject == CalciumPhosphorus || r.Subject == Subject(Fat) {
			continue
		}
		a, b := r.Min*less.Intake, q.Min*more.Intake
		if r.Subject != q.Subject || math.Abs(a-b) > 0.045*b {
			t.Errorf("%v: %v and %v per 1000 kg^0.75", r.Subject, a, b)
		}
	}
	// NRC 2006 gives its allowances per kg^0.75 as well (from memory).
	nrc := ProfileByID("nrc-adult")
	for s, want := range map[Subject]float64{
		Subject(Protein):    3.28,
		Subject(Fat):        1.8,
		Subject(Linoleic):   0.36,
		Subject(Calcium):    130,
		Subject(Phosphorus): 100,
		Subject(Zinc):       2.0,
		Subject(VitaminD):   0.45 * VitaminDIUPerUg,
	} {
		q, _ := nrc.Requirement(s)
		if got := q.Min * nrc.Intake / 1000; math.Abs(got-want) > 0.03*want {
			t.Errorf("%v: %v %s per kg^0.75, NRC gives %v", s, got, s.Unit(), want)
		}
	}
}

func TestRequirementsThatCannotBeRead(t *testing.T) {
	const head = "subject,unit,adult_kg,aafco-adult\n"
	for _, text := range []string{
		head + "unobtainium,g,,1\n",
		head + "protein,g,,much\n",
		head + "protein,g,,1..2\n",
		head + "protein,g,,1..xN\n",
		head + "protein,IU,,1\n",
		head + "protein,g,>=heavy,1\n",
		head + "protein,g\n",
	} {
		if _, err := parseProfiles(text); err == nil {
			t.Errorf("read without complaint:\n%s", text)
		}
	}
}

func TestSubjectKeys(t *testing.T) {
	seen := map[string]bool{}
	for s := range SubjectCount {
		b, err := s.MarshalText()
		var back Subject
		if err != nil || back.UnmarshalText(b) != nil || back != s || seen[string(b)] || s.Name() == "" || s.Unit() == "" {
			t.Errorf("subject %d: key %q, name %q, unit %q", s, b, s.Name(), s.Unit())
		}
		seen[string(b)] = true
		if n, ok := s.Nutrient(); ok && (n.String() != s.String() || n.Unit() != s.Unit()) {
			t.Errorf("subject %v is not its nutrient %v", s, n)
		}
	}
	var s Subject
	if s.UnmarshalText([]byte("gold")) == nil {
		t.Error("there is a subject gold")
	}
	if _, err := SubjectCount.MarshalText(); err == nil {
		t.Error("the number of subjects is no subject")
	}
}

func TestNaming(t *testing.T) {
	p := ProfileByID("aafco-adult")
	if p.Naming(Subject(Calcium)) != p {
		t.Error("a profile that has the requirement is another")
	}
	named := p.Naming(EPADHA)
	if len(p.Requirements)+1 != len(named.Requirements) {
		t.Fatalf("%d requirements of %d", len(named.Requirements), len(p.Requirements))
	}
	f := Default().Food("fish-oil-capsule")
	m := Mixture{Items: []Item{{Food: f, Grams: 10}}}
	a := Analyse(m, named, Basis{})
	row := a.Row(EPADHA)
	if row == nil || row.HasMin() || row.HasMax() || row.Verdict != NoLimit {
		t.Fatalf("row %+v", row)
	}
	// 18 g EPA and 12 g DHA in 902 kcal.
	if want := 30 / 902. * 1000; row.Mid < want*0.999 || row.Mid > want*1.001 {
		t.Errorf("%g g per 1000 kcal, want %g", row.Mid, want)
	}
	if before := Analyse(m, p, Basis{}); before.Row(EPADHA) != nil {
		t.Error("a row without a requirement")
	}
}
