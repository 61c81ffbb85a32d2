package talk

import (
	"testing"

	"bowlwright/bot/say"
	"bowlwright/planner"
)

func TestExamplesAreOfTheHousehold(t *testing.T) {
	lamb := []planner.Recipe{{ID: "r1", Name: "Lamb and mackerel"}, {ID: "r2", Name: "Rabbit and kale"}}
	for _, c := range []struct {
		home planner.Household
		want string
	}{
		{planner.Household{}, "Juniper 19.4 kg the Turkey and heart, Lamb and mackerel"},
		{planner.Household{Dogs: []planner.Dog{{ID: "d1", Name: "Pip", Weight: 6.4, Sex: planner.Male}}, Recipes: lamb[:1]}, "Pip 6.4 kg his Lamb and mackerel, Turkey and heart"},
		{planner.Household{Dogs: []planner.Dog{{ID: "d1", Name: "Bracken", Weight: 30, Sex: planner.Female}, {ID: "d2", Name: "Pip"}}, Recipes: lamb}, "Bracken 30 kg her Lamb and mackerel, Rabbit and kale"},
	} {
		turn := &Turn{Home: &c.home}
		got := say.Catalogue{"x": "{dog} {weight} {his} {recipe}, {other}"}.Msg("x", Examples(turn)...)
		if got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}
