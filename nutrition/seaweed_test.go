package nutrition

import (
	"math"
	"testing"
)

// By hand: 2 g of kelp powder at 600 µg a gram are 1200 µg; a label replaces
// that, and a dose beside the food counts by the days that the food lasts.
func TestUsualIodine(t *testing.T) {
	m := mixtureOf(t, "turkey-thigh-skinless", 900, "kelp-powder", 2)
	total := Sum(m)
	kcal := total.Values[Energy].Mid
	if got, want := UsualIodine(m, 500), 1200*1000/kcal; math.Abs(got-want) > 0.001*want {
		t.Errorf("%v, want %v", got, want)
	}
	m.Extras = []Extra{{Nutrient: Iodine, NotKnown: true, Usual: 300}}
	if got, want := UsualIodine(m, 500), 1200*1000/kcal+300/0.5; math.Abs(got-want) > 0.001*want {
		t.Errorf("with a dose: %v, want %v", got, want)
	}
	m.Extras = nil
	m.Items[1].Label = map[Nutrient]float64{Iodine: 100}
	if got := UsualIodine(m, 500); got != 0 {
		t.Errorf("with its label: %v", got)
	}
	if got := UsualIodine(mixtureOf(t, "turkey-thigh-skinless", 900), 500); got != 0 {
		t.Errorf("without kelp: %v", got)
	}
}
