package read

import (
	"fmt"
	"strings"
	"testing"
	"time"
)

func TestOtherFood(t *testing.T) {
	now := time.Date(2026, 3, 2, 10, 0, 0, 0, time.UTC) // a Monday
	for said, want := range map[string]string{
		"chicken today":                           "chicken 2026-03-02 2026-03-02",
		"boiled chicken and rice tonight":         "boiled chicken and rice 2026-03-02 2026-03-02 last",
		"eggs for breakfast tomorrow":             "eggs 2026-03-03 2026-03-03 first",
		"kibble till Sunday":                      "kibble 2026-03-02 2026-03-08",
		"kibble for 3 days":                       "kibble 2026-03-02 2026-03-04",
		"kibble from Friday to Monday":            "kibble 2026-03-06 2026-03-09",
		"kibble from Monday":                      "kibble 2026-03-02 ",
		"tins this weekend":                       "tins 2026-03-07 2026-03-08",
		"only 300 g chicken breast on Wednesday":  "300 g chicken breast 2026-03-04 2026-03-04",
		"just fish today instead of turkey":       "fish 2026-03-02 2026-03-02",
		"kibble in the morning":                   "kibble 2026-03-02 2026-03-02 first",
		"she gets kibble from now on for her tea": "kibble 2026-03-02 2026-03-02 last",
	} {
		o, err := OtherFoodText(said, now)
		until := o.Until.String()
		if o.Until.IsZero() {
			until = ""
		}
		got := strings.TrimRight(fmt.Sprintf("%s %v %s %s", o.What, o.From, until, o.At), " ")
		if want = strings.TrimRight(want, " "); err != nil || got != want {
			t.Errorf("%q: %q %v, want %q", said, got, err, want)
		}
	}
}

func TestFoodShares(t *testing.T) {
	for said, want := range map[string]string{
		"half kibble, half turkey":                           "kibble 0.50, turkey 0.50",
		"half kibble half home made":                         "kibble 0.50, home made 0.50 home",
		"she gets half kibble and the other half Turkey mix": "kibble 0.50, turkey mix 0.50 home",
		"a third from tins":                                  "tins 0.33",
		"a third of her food comes from tins":                "tins 0.33",
		"two thirds turkey, one third kibble":                "turkey 0.67, kibble 0.33",
		"70/30 turkey and kibble":                            "turkey 0.70, kibble 0.30",
		"30 % kibble, the rest lamb":                         "kibble 0.30, lamb 0.70",
		"1/4 tins":                                           "tins 0.25",
		"three quarters fresh and a quarter of dry food":     "fresh 0.75 home, dry food 0.25",
		"half kibble half turkey and half lamb":              "",
		"kibble":                                             "",
		"100% kibble":                                        "",
		"half":                                               "",
	} {
		all, ok := FoodShares(said)
		var parts []string
		for _, f := range all {
			home := ""
			if f.Home {
				home = " home"
			}
			parts = append(parts, fmt.Sprintf("%s %.2f%s", f.What, f.Share, home))
		}
		if got := strings.Join(parts, ", "); got != want || ok != (want != "") {
			t.Errorf("%q: %q %v, want %q", said, got, ok, want)
		}
	}
}
