package span

import (
	"cmp"
	"errors"
	"math"
	"strings"
	"testing"
	"time"

	"bowlwright/nutrition"
	"bowlwright/planner"
)

// codeOf returns the code of a Problem, empty of none.
func codeOf(err error) Code {
	var p Problem
	if errors.As(err, &p) {
		return p.Code
	}
	return ""
}

// Pounds, ounces and stones: the international agreement of 1959.
func TestMass(t *testing.T) {
	for text, want := range map[string]float64{
		"250 g": 250, "250g": 250, "0.25kg": 250, "1 lb": 453.59237, "1 lb 4 oz": 566.9904625, "1lb, 4oz": 566.9904625, "½ lb": 226.796185,
		"2,5 kg": 2500, "1.234,5 g": 1234.5, "1,234.5 g": 1234.5, "1,234 g": 1234, "1,234 kg": 1234, "half a kilo": 500, "a pound": 453.59237,
		"a pound and a half": 680.388555, "two pounds": 907.18474, "8 oz.": 226.796185, "500 mg": 0.5, "about 900 g": 900, "~900 g": 900, "100 kg": 100_000,
	} {
		if got, err := Mass(text); err != nil || math.Abs(float64(got)-want) > 1e-9 {
			t.Errorf("Mass(%q) = %v, %v; want %v", text, got, err, want)
		}
	}
	for text, want := range map[string]Code{
		"": Empty, " \u200b": Empty, "250": NotMass, "g": NotMass, "two": NotMass, "250 g beef": NotMass, "900 kcal": NotMass, "2 kg 500 lb": MixedUnits,
		"4 oz 1 lb": NotMass, "-5 g": Negative, "0 kg": Zero, "10 t": TooMuch, "101 kg": TooMuch, "1e9 g": NotMass, "NaN g": NotMass, "Inf g": NotMass,
		strings.Repeat("9", 59) + " kg": TooMuch, strings.Repeat("9", 300): TooLong, "1/0 g": NotMass,
	} {
		if got, err := Mass(text); codeOf(err) != want || got != 0 {
			t.Errorf("Mass(%q) = %v, %v; want %s", text, got, err, want)
		}
	}
}

func TestBodyWeight(t *testing.T) {
	for _, c := range []struct {
		text   string
		pounds bool
		want   float64
	}{
		{"19.6 kg", false, 19.6}, {"19,6 kg", true, 19.6}, {"31.4", false, 31.4}, {"31.4", true, 14.2428}, {"42 lb 8 oz", false, 19.2777},
		{"42lb", false, 19.0509}, {"3 stone 2 lb", false, 19.9581}, {"19600 g", false, 19.6}, {"19,600 kg", false, 19.6}, {"6 ½ kg", false, 6.5},
	} {
		got, err := BodyWeight(c.text, planner.Units{Pounds: c.pounds})
		if err != nil || math.Abs(float64(got)-c.want) > 1e-4 {
			t.Errorf("BodyWeight(%q) = %v, %v; want %v", c.text, got, err, c.want)
		}
	}
	for text, want := range map[string]Code{
		"": Empty, "heavy": NotWeight, "-3 kg": Negative, "-3": Negative, "0": Zero, "20 kg 3 lb": MixedUnits, "19.6 kg and happy": NotWeight,
		"900000 kg": NotWeight, "12 years": NotWeight,
	} {
		if got, err := BodyWeight(text, planner.Units{}); codeOf(err) != want {
			t.Errorf("BodyWeight(%q) = %v, %v; want %s", text, got, err, want)
		}
	}
}

// One kilocalorie is 4.184 kJ by definition.
func TestEnergy(t *testing.T) {
	for text, want := range map[string]float64{
		"900 kcal": 900, "900 calories": 900, "1,050 kcal": 1050, "3.7 MJ": 3700 / 4.184, "3,7 MJ": 3700 / 4.184, "3700 kJ": 3700 / 4.184,
	} {
		if got, err := Energy(text); err != nil || math.Abs(float64(got)-want) > 1e-9 {
			t.Errorf("Energy(%q) = %v, %v; want %v", text, got, err, want)
		}
	}
	for text, want := range map[string]Code{
		"": Empty, "900": NotEnergy, "900 g": NotEnergy, "-1 kcal": Negative, "0 kcal": Zero, "9999999 kcal": TooMuch, "900 kcal a day": NotEnergy,
	} {
		if got, err := Energy(text); codeOf(err) != want {
			t.Errorf("Energy(%q) = %v, %v; want %s", text, got, err, want)
		}
	}
}

func TestNumber(t *testing.T) {
	for text, want := range map[string]float64{
		"12": 12, "1/2": 0.5, "½": 0.5, "1 ½": 1.5, "1½": 1.5, "1 1/2": 1.5, "1-1/2": 1.5, "1⁄2": 0.5, "1,5": 1.5, "1.5": 1.5, ".5": 0.5, "1,250": 1250,
		"0,250": 0.25, "1.250": 1.25, "1,234.5": 1234.5, "1.234,5": 1234.5, "1,234,567": 1234567, "1.234.567": 1234567, "two": 2, "twelve": 12,
		"half": 0.5, "half a": 0.5, "a": 1, "an": 1, "a dozen": 12, "a couple": 2, "a couple of": 2, "one and a half": 1.5, "2 and a half": 2.5, "two dozen": 24, "-3": -3, "١٢": 12,
	} {
		if got, err := Number(text); err != nil || got != want {
			t.Errorf("Number(%q) = %v, %v; want %v", text, got, err, want)
		}
	}
	for _, bad := range []string{"abc", "12 34", "1/0", "1e5", "80/20", "--3", "1.2.3", "1,23,4", "12,3456,789", "NaN", "0x10", "quarter"} {
		if got, err := Number(bad); codeOf(err) != BadNumber {
			t.Errorf("Number(%q) = %v, %v", bad, got, err)
		}
	}
	if _, err := Number(""); codeOf(err) != Empty {
		t.Errorf("Number of nothing: %v", err)
	}
}

func TestCadenceText(t *testing.T) {
	every := func(n int) planner.Cadence { return planner.Cadence{EveryDays: n} }
	week := func(n int) planner.Cadence { return planner.Cadence{PerWeek: n} }
	on := func(days ...time.Weekday) planner.Cadence { return planner.Cadence{Weekdays: days} }
	for text, want := range map[string]planner.Cadence{
		"daily": {}, "every day": {}, "each day": {}, "a day": {}, "every 1 day": {}, "once a day": {}, "7 times a week": {}, "nightly": {}, "every morning": {},
		"every 3 days": every(3), "every third day": every(3), "every 3rd day": every(3), "Every Three Days": every(3), "once every 3 days": every(3),
		"once in 3 days": every(3), "every other day": every(2), "every second day": every(2), "alternate days": every(2), "on alternate days": every(2),
		"weekly": every(7), "once a week": every(7), "every week": every(7), "1x/week": every(7), "every 2 weeks": every(14), "every other week": every(14), "fortnightly": every(14),
		"twice a fortnight": every(7), "monthly": every(30), "twice a week": week(2), "two times a week": week(2), "3x/week": week(3), "3 × weekly": week(3),
		"3 x a week": week(3), "3 times per week": week(3), "5 days a week": week(5), "on Mondays and Thursdays": on(1, 4), "Thursday, Monday": on(1, 4),
		"mon wed fri": on(1, 3, 5), "mon, wed, fri": on(1, 3, 5), "Mon/Wed/Fri": on(1, 3, 5), "every Monday": on(1), "Sundays": on(0), "tues & thurs": on(2, 4),
		"weekends": on(0, 6), "weekdays": on(1, 2, 3, 4, 5),
	} {
		got, err := CadenceText(text)
		if err != nil || got.EveryDays != want.EveryDays || got.PerWeek != want.PerWeek || len(got.Weekdays) != len(want.Weekdays) {
			t.Errorf("CadenceText(%q) = %+v, %v; want %+v", text, got, err, want)
			continue
		}
		for i := range got.Weekdays {
			if got.Weekdays[i] != want.Weekdays[i] {
				t.Errorf("CadenceText(%q) = %+v; want %+v", text, got, want)
			}
		}
		if again, err := CadenceText(FormatCadence(got)); err != nil || FormatCadence(again) != FormatCadence(got) {
			t.Errorf("%q printed as %q and read as %+v, %v", text, FormatCadence(got), again, err)
		}
	}
	for _, bad := range []string{
		"every", "every 0 days", "every -3 days", "every 10000 days", "every half day", "sometimes", "twice a day", "8 times a week", "every 3 dogs",
		"every 3 days or so", "twice", "3 days", "monthly weekly", "every few days", "biweekly", "every now and then", "0 times a week",
	} {
		if got, err := CadenceText(bad); codeOf(err) != BadCadence {
			t.Errorf("CadenceText(%q) = %+v, %v", bad, got, err)
		}
	}
}

func TestClean(t *testing.T) {
	for text, want := range map[string]string{
		"a\r\nb\rc\u2028d": "a\nb\nc\nd", "a\tb": "a b", "\u202eabc\u202c": "abc", "１½ ﬁsh": "1½ fish", "😀 a 👩‍🍳": " a ", "“x” ‘y’": `"x" 'y'`, "1\u202f250": "1250",
		"5 1\u00a0250 g": "5 1250 g", "1\u00a0g": "1 g", "10²": "10", "٣٫٥": "3.5", "ｋｇ ㎏": "kg kg", "a\x00\x1b[31m": "a[31m", "\xff\xfea": "a", "crème": "crème",
	} {
		if got := Clean(text); got != want {
			t.Errorf("Clean(%q) = %q, want %q", text, got, want)
		}
	}
}

func TestFormatMass(t *testing.T) {
	for _, c := range []struct {
		grams  float64
		ounces bool
		want   string
	}{
		{250, false, "250 g"}, {0.1, false, "0.1 g"}, {1e-6, false, "0.000001 g"}, {100_000, false, "100000 g"},
		{28.349523125, true, "1 oz"}, {9 * 28.349523125, true, "9 oz"}, {453.59237, true, "16 oz"}, {0.5 * 28.349523125, true, "0.5 oz"},
	} {
		if got := FormatMass(nutrition.Grams(c.grams), planner.Units{Ounces: c.ounces}); got != c.want {
			t.Errorf("FormatMass(%v) = %q, want %q", c.grams, got, c.want)
		}
	}
}

// Mass reads a text that is one mass of food: "250 g", "1/2 lb", "1 lb 4 oz",
// "half a kilo". The error is a Problem: Empty, TooLong, NotMass, BadNumber
// ("1.200 g", which may be 1200 g), MixedUnits, Negative, Zero, TooMuch.
func Mass(s string) (nutrition.Grams, error) {
	l, err := LexQuantity(s)
	if err != nil {
		return 0, err
	}
	g, end := l.MassAt(0)
	if end == 0 || end != len(l.Tokens) || l.Code != "" {
		return 0, NewProblem(cmp.Or(l.Code, NotMass), s)
	}
	if code := Unmeant(float64(g), MostOfAFood); code != "" {
		return 0, NewProblem(code, s)
	}
	return g, nil
}

// CadenceText reads a text that says how often: "every 3 days", "every other
// day", "daily", "twice a week", "on Mondays and Thursdays", "weekly". Every
// day gives the zero Cadence, once a week every 7 days. The error is a
// Problem: Empty, TooLong, BadCadence. More than once a day is no cadence of
// days.
func CadenceText(s string) (planner.Cadence, error) {
	l, err := LexQuantity(s)
	if err != nil {
		return planner.Cadence{}, err
	}
	l.TakeCadence(true)
	if !l.Often.Named || l.Code != "" || l.Often.Times > 1 || l.Left() {
		return planner.Cadence{}, NewProblem(BadCadence, s)
	}
	return l.Often.Cadence, nil
}

// TestPointOfThousands holds that a point which may stand for thousands is not
// read, and not printed.
func TestPointOfThousands(t *testing.T) {
	for text, want := range map[string]nutrition.Grams{
		"1.200 g": 0, "1.200g": 0, "12.345 grams": 0, "250.000 g": 0,
		"1.2 g": 1.2, "1.2000 g": 1.2, "0.200 g": 0.2, "1.200 kg": 1200, "1,200 g": 1200, "1.234,5 g": 1234.5,
	} {
		got, err := Mass(text)
		p, _ := err.(Problem)
		if want == 0 && p.Code != BadNumber || want > 0 && (err != nil || got != want) {
			t.Errorf("%s: got %v, %v", text, got, err)
		}
	}
	for g, want := range map[nutrition.Grams]string{1.125: "1.1250 g", 0.125: "0.125 g", 1125: "1125 g", 1234.125: "1234.125 g"} {
		s := FormatMass(g, planner.Units{})
		back, err := Mass(s)
		if s != want || err != nil || back != g {
			t.Errorf("%v g printed as %s, want %s; read back as %v, %v", float64(g), s, want, back, err)
		}
	}
}

// FuzzMassRoundTrip prints any mass and reads it again.
func FuzzMassRoundTrip(f *testing.F) {
	f.Add(250.0, false)
	f.Add(0.1, true)
	f.Add(28.349523125, true)
	f.Add(99999.999, true)
	f.Add(1.125, false)
	f.Fuzz(func(t *testing.T, x float64, ounces bool) {
		if !(x > 0) || x > MostOfAFood || x < 1e-9 {
			t.Skip("no amount of food: Mass reads up to MostOfAFood, and nobody types a nanogram or less")
		}
		s := FormatMass(nutrition.Grams(x), planner.Units{Ounces: ounces})
		got, err := Mass(s)
		if err != nil || got != nutrition.Grams(x) {
			t.Errorf("%v printed as %q and read as %v, %v", x, s, got, err)
		}
	})
}
