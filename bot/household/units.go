package household

import (
	"strings"
	"unicode"

	"bowlwright/bot/read"
	"bowlwright/bot/read/span"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

func AskUnits(t *talk.Turn, _ *planner.Dog) {
	t.SayMsg("ask.units").Offer(t.Answer(msg("units.metric"), "units", "metric"),
		t.Answer(msg("units.imperial"), "units", "imperial"))
}

func TakeUnits(t *talk.Turn, d *planner.Dog, in talk.Answer) string {
	u, ok := unitsFromWords(in.Value(), t.Home.Units)
	if metric, ok := DogsWeight(d, in.Text, planner.Units{}); ok { // "8 kg" tells both
		if pounds, _ := DogsWeight(d, in.Text, planner.Units{Pounds: true}); pounds == metric {
			d.Weight = metric
			AdoptHome(t, in.Text)
			t.Changed = true
			return ""
		}
	}
	if !ok && !talk.IsNotSure(in.Text) {
		return msg("wrong.units")
	}
	t.Home.Units, t.Changed = u, true
	return ""
}

// unitsFromWords reads which units a person wants; words that name only one
// kind ("ounces") leave the other as it was.
func unitsFromWords(s string, now planner.Units) (planner.Units, bool) {
	hit := false
	for _, w := range strings.FieldsFunc(strings.ToLower(s), func(r rune) bool { return strings.ContainsRune(" ,+&/.;", r) }) {
		switch read.SaidKind("unit-said", w) {
		case "metric":
			now, hit = planner.Units{}, true
		case "imperial":
			now, hit = planner.Units{Ounces: true, Pounds: true}, true
		case "g":
			now.Ounces, hit = false, true
		case "oz":
			now.Ounces, hit = true, true
		case "kg":
			now.Pounds, hit = false, true
		case "lb":
			now.Pounds, hit = true, true
		}
	}
	return now, hit
}

// DogsWeight reads a weight, with the dog's name beside it or without.
func DogsWeight(d *planner.Dog, s string, u planner.Units) (nutrition.Kilograms, bool) {
	if w, err := span.BodyWeight(s, u); err == nil {
		return w, true
	}
	w, _, ok := read.NamedWeight(d.Name+" "+s, span.Names{Dogs: []span.Named{{ID: "x", Name: d.Name}}}, u)
	if !ok {
		w, _, ok = read.NamedWeight(s, span.Names{Dogs: []span.Named{{ID: "x", Name: d.Name}}}, u)
	}
	return w, ok
}

func AskPlace(t *talk.Turn, _ *planner.Dog) {
	t.SayMsg("ask.place").Offer(t.Answer(msg("button.later"), "place", "skip"))
}

func TakePlace(t *talk.Turn, _ *planner.Dog, in talk.Answer) string {
	if in.Press == "skip" || saysLater(in.Text) {
		return ""
	}
	zone, err := span.PlaceIn(in.Value())
	if err != nil {
		return wrongZone(in.Value())
	}
	t.Home.Zone, t.Changed = zone, true
	return ""
}

// saysLater reports that no place is to be told now.
func saysLater(s string) bool {
	return talk.IsNotSure(s) || strings.EqualFold(strings.Trim(s, " .!"), msg("button.later"))
}

// PlaceHeard says the place that was taken from what was told of a dog.
func PlaceHeard(t *talk.Turn) string {
	if zone, ok := span.PlaceTold(t.Event.Text); ok && zone == t.Home.Zone {
		return msg("place.heard", "place", PlaceOf(zone))
	}
	return ""
}

// AdoptHome takes the household's place from what is told of its first dog, and
// pounds for its units where the dog is described in them.
func AdoptHome(t *talk.Turn, line string) {
	if len(t.Home.Dogs) > 0 {
		return
	}
	if zone, ok := span.PlaceTold(line); ok && t.Home.Zone == talk.DefaultZoneName {
		t.Home.Zone, t.Changed = zone, true
	}
	for _, w := range strings.FieldsFunc(strings.ToLower(line), func(r rune) bool { return !unicode.IsLetter(r) }) {
		if read.SaidKind("unit-said", w) == "lb" {
			t.Home.Units, t.Changed = planner.Units{Ounces: true, Pounds: true}, true
			return
		}
	}
}
