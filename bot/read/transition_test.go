package read

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"bowlwright/bot/read/span"
)

func showSwitch(w Switch, err error) string {
	if p, ok := err.(span.Problem); ok {
		return fmt.Sprintf("! %s %s", p.Code, p.Part)
	}
	var out []string
	add := func(s string) {
		if s != "" && s != "0" {
			out = append(out, s)
		}
	}
	add(w.Dog)
	if w.Old != "" {
		add(fmt.Sprintf("%q", w.Old))
	}
	add(fmt.Sprint(math.Round(w.Per100*10) / 10))
	if w.Rotation {
		add("rotation")
	}
	add(w.Recipe)
	if w.Days != 0 {
		add(fmt.Sprintf("%dd", w.Days))
	}
	add(w.Start.String())
	return strings.Join(out, " ")
}

func TestSwitchText(t *testing.T) {
	for _, c := range [][2]string{
		{"switch Juniper from kibble 380 kcal per 100 g to Turkey and heart over 10 days", `d1 "kibble" 380 t 10d`},
		{"switch Juniper from kibble (380 kcal/100g) to heart over 10 days", `d1 "kibble" 380 t 10d`},
		{"Switch Pip from her puppy biscuits, 3800 kcal per kg, to Rabbit and kale in two weeks", `d3 "puppy biscuits" 380 k 14d`},
		{"transition Pip to the rotation over 7 days from kibble with 1590 kJ per 100 g", `d3 "kibble" 380 rotation 7d`},
		{"start him on lamb tomorrow over 10 days, he's on kibble now", `"kibble" l 10d 2026-03-03`},
		{"change him over to lamb in 10 days, puppy kibble is 385 kcal per 100g", `"puppy kibble" 385 l 10d`},
		{"put Juniper on the lamb, she currently eats tins with 95 kcal per 100 g", `d1 "tins" 95 l`},
		{"switch Juniper to lamb, she's on antibiotics", "d1 l"},
		{"transition to lamb", "l"},
		{"transition", ""},
		{"transition Bracken", "d2"},
		{"move Bracken from tins 95 kcal per 100 g to lamb starting Monday", `d2 "tins" 95 l 2026-03-02`},
		{"move Bracken from dry food at 3.6 kcal/g to lamb from tomorrow over 9 days", `d2 "dry food" 360 l 9d 2026-03-03`},
		{"switch Juniper from kibble 380 kcal to lamb", `d1 "kibble" 380 l`},
		{"switch Juniper from kibble 380 to lamb", `d1 "kibble" 380 l`},
		{"switch Juniper from puppy kibble (362.5) to lamb over 10 days", `d1 "puppy kibble" 362.5 l 10d`},
		{"transition from kibble 380", `"kibble" 380`},
		{"switch Juniper from brand 2 to lamb", `d1 "brand 2" l`},
		{"switch Juniper from kibble 3800 to lamb", `d1 "kibble 3800" l`},
		{"switch Juniper from 380 to lamb", "d1 l"},
		{"switch Juniper from kibble to lamb over 10 days", `d1 "kibble" l 10d`},
		{"switch from kibble 108 kcal per oz to lamb", `"kibble" 381 l`},
		{"switch Juniper to lamb over 2.5 days", "d1 l -1d"},
		{"switch Juniper to lamb over 40 days", "d1 l 40d"},
		{"switch Juniper from kibble 380 kcal per cup to lamb", "! no-weight-basis 380 kcal per cup"},
		{"switch Juniper from kibble -380 kcal per 100 g to lamb", "! not-energy -380 kcal"},
		{"switch Juniper from kibble to venison stew over 10 days", "! unknown-recipe venison stew"},
		{"switch Juniper from kibble to lamb starting 31 April", "! bad-date starting 31 April"},
	} {
		if got := showSwitch(SwitchText(c[0], rotationNames, rotationNow)); got != c[1] {
			t.Errorf("%q:\n got %s\nwant %s", c[0], got, c[1])
		}
	}
}

func TestDensity(t *testing.T) {
	for _, c := range []struct {
		text string
		want float64 // 0: an error
	}{
		{"380", 380}, {"380 kcal", 380}, {"380 kcal per 100 g", 380}, {"380kcal/100g", 380}, {"3,800 kcal/kg", 380}, {"1590 kJ per 100 g", 380.02},
		{"it says 3.8 kcal per gram", 380}, {"0", 0}, {"dry", 0}, {"", 0}, {"-380", 0}, {"380 kcal per cup", 0}, {"1/0 kcal", 0},
	} {
		got, err := Density(c.text)
		if math.Abs(got-c.want) > 0.01 || (err == nil) != (c.want > 0 || c.text == "0") {
			t.Errorf("%q: %v %v, want %v", c.text, got, err, c.want)
		}
	}
}

func TestIsSwitch(t *testing.T) {
	for text, want := range map[string]bool{
		"switch Juniper from kibble to lamb": true, "switch to the rotation": true, "transition": true, "change Pip to rabbit": true, "switch Pip from kibble to venison": true, "switch from ounces to grams": false,
		"switch to ounces": false, "change Juniper's name to Rex": false, "swap the hearts": false, "": false, "move to Oslo": false,
	} {
		if got := IsSwitch(text, rotationNames); got != want {
			t.Errorf("%q: %v", text, got)
		}
	}
}

// FuzzOrderAndSwitch checks that any text is read or refused, with names and
// days of the household alone.
func FuzzOrderAndSwitch(f *testing.F) {
	for _, s := range []string{"heart 4, lamb 3 for both from Monday", "switch Pip from kibble 380 kcal/100 g to lamb over 10 days", "alternate lamb and rabbit every other day", "from", "for", "1/0 kcal per", "½ x4 / 's"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		o, err := OrderText(s, rotationNames, rotationNow)
		if err == nil && len(o.Turns) == 0 {
			t.Errorf("%q: an order of nothing", s)
		}
		for _, turn := range o.Turns {
			if turn.Days < 0 || turn.Days > 30*mostDays || turn.Recipe == "" {
				t.Errorf("%q: %+v", s, turn)
			}
		}
		w, err := SwitchText(s, rotationNames, rotationNow)
		if err == nil && (w.Per100 < 0 || w.Days < -1 || math.IsNaN(w.Per100)) {
			t.Errorf("%q: %+v", s, w)
		}
		if per, err := Density(s); err == nil && !(per >= 0) {
			t.Errorf("%q: %v", s, per)
		}
		IsSwitch(s, rotationNames)
	})
}
