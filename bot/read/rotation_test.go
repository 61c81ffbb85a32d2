package read

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"bowlwright/bot/read/span"
)

var rotationNames = span.Names{
	Dogs:    []span.Named{{ID: "d1", Name: "Juniper"}, {ID: "d2", Name: "Bracken"}, {ID: "d3", Name: "Pip"}},
	Recipes: []span.Named{{ID: "t", Name: "Turkey and heart"}, {ID: "l", Name: "Lamb and mackerel"}, {ID: "k", Name: "Rabbit and kale"}, {ID: "p", Name: "Plain turkey"}},
}

// rotationNow is a Monday.
var rotationNow = time.Date(2026, 3, 2, 7, 45, 0, 0, time.UTC)

func showOrder(o Order, err error) string {
	if p, ok := err.(span.Problem); ok {
		return fmt.Sprintf("! %s %s", p.Code, p.Part)
	}
	var out []string
	for _, t := range o.Turns {
		out = append(out, fmt.Sprintf("%s%d", t.Recipe, t.Days))
	}
	if o.All {
		out = append(out, "all")
	}
	out = append(out, o.Dogs...)
	if !o.Start.IsZero() {
		out = append(out, o.Start.String())
	}
	return strings.Join(out, " ")
}

func TestOrderText(t *testing.T) {
	for _, c := range [][2]string{
		{"Turkey and heart 4, Lamb and mackerel 3", "t4 l3"},
		{"rotation heart 4, Lamb 3", "t4 l3"},
		{"heart 4 lamb 3", "t4 l3"},
		{"4 days heart then 3 days lamb", "t4 l3"},
		{"4 days of turkey and heart and then 3 days of lamb and mackerel", "t4 l3"},
		{"heart x4 / lamb x3", "t4 l3"},
		{"heart for 4 days, lamb for 3 days, rabbit for a week", "t4 l3 k7"},
		{"four days lamb, two days rabbit", "l4 k2"},
		{"Turkey and heart: 4\nLamb and mackerel: 3", "t4 l3"},
		{"rotate lamb and rabbit every 2 days", "l2 k2"},
		{"alternate lamb and rabbit every other day", "l1 k1"},
		{"lamb, rabbit 3 days each", "l3 k3"},
		{"3 days each lamb rabbit", "l3 k3"},
		{"lamb, rabbit", "l0 k0"},
		{"lamb 4, rabbit", "l4 k0"},
		{"plain turkey 2, turkey and heart 2", "p2 t2"},
		{"lamb 2, rabbit 1, lamb 2", "l2 k1 l2"},
		{"rotate heart 4, lamb 3 for Juniper from Monday", "t4 l3 d1 2026-03-02"},
		{"rotation heart 4, lamb 3 starting tomorrow for Juniper and Pip", "t4 l3 d1 d3 2026-03-03"},
		{"heart 4, lamb 3 for both dogs from 9 March", "t4 l3 all 2026-03-09"},
		{"heart 4, lamb 3 for all of them", "t4 l3 all"},
		{"Juniper: heart 4, lamb 3", "t4 l3 d1"},
		{"rotate Pip's heart 4 and lamb 3 from today", "t4 l3 d3 2026-03-02"},
		{"lamb 2, rabbitt 3", "l2 k3"}, // a typing error
		{"heart 1000, lamb 3", "t1000 l3"},

		{"turkey 4, lamb 3", "! unknown-recipe turkey"}, // two recipes have turkey
		{"venison stew 4, lamb 3", "! unknown-recipe venison stew"},
		{"heart 4, lamb 0", "! not-days 0"},
		{"heart 4, lamb 2.5 days", "! not-days 2.5 days"},
		{"heart 4, lamb half a day", "! not-days half a day"},
		{"heart -4, lamb 3", "! not-days -4"},
		{"heart 4, lamb 3 for Rex", "! unknown-dog Rex"},
		{"heart 4, lamb 3 from Someday", "! bad-date from Someday"},
		{"heart 4, lamb 3 from 31 April", "! bad-date from 31 April"},
		{"heart 4, lamb 3 from 2020-01-01", "! past-date from 2020-01-01"},
		{"4", "! empty 4"},
		{"", "! empty "},
		{"lamb 2, rabbit 3" + strings.Repeat(", lamb", 60), "! too-long"},
	} {
		if got := showOrder(OrderText(c[0], rotationNames, rotationNow)); got != c[1] && !(c[1] == "! too-long" && strings.HasPrefix(got, c[1])) {
			t.Errorf("%q:\n got %s\nwant %s", c[0], got, c[1])
		}
	}
}

func TestDayCount(t *testing.T) {
	for text, want := range map[string]int{"4": 4, "4 days": 4, "for 4 days": 4, "a week": 7, "four": 4, "x4": 4, "0": 0, "60": 60} {
		if got, ok := DayCount(text); got != want || !ok {
			t.Errorf("%q: %d %v, want %d", text, got, ok, want)
		}
	}
	for _, text := range []string{"", "lots", "2.5", "-4", "4 apples", "a", "1/0", "99999999999"} {
		if got, ok := DayCount(text); ok {
			t.Errorf("%q: %d", text, got)
		}
	}
}

func TestDogsText(t *testing.T) {
	for text, want := range map[string]string{
		"Juniper": "[d1] false", "for Juniper and Pip": "[d1 d3] false", "Juniper, Pip": "[d1 d3] false", "both": "[] true", "all of them": "[] true",
		"all dogs": "[] true", "Rex": "", "Juniper and Rex": "", "": "", "how much for Juniper": "",
	} {
		got := ""
		if ids, all, ok := DogsText(text, rotationNames); ok {
			got = fmt.Sprint(ids, all)
		}
		if got != want {
			t.Errorf("%q: %s, want %s", text, got, want)
		}
	}
}

func TestExchangeText(t *testing.T) {
	for text, want := range map[string]string{
		"Thu and Sat": "2026-03-05 2026-03-07 ", "swap today with Friday": "2026-03-02 2026-03-06 ", "Thursday: rabbit": "2026-03-05  k",
		"lamb and mackerel on 9 March": "2026-03-09  l", "tomorrow Saturday": "2026-03-03 2026-03-07 ",
		"Thursday": "", "rabbit": "", "Thu Fri Sat": "", "Thu and Sat rabbit": "", "the hearts": "", "": "", "rabbit Thursday lamb": "",
	} {
		got := ""
		if x, ok := ExchangeText(text, rotationNames, rotationNow); ok {
			got = x.Day.String() + " " + x.With.String() + " " + x.Recipe
		}
		if got != want {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
}
