package read

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"bowlwright/bot/read/span"
	"bowlwright/planner"
)

// TestWeighing reads weigh-ins; 4 March 2026 is a Wednesday. "-" is none, "!"
// a problem.
func TestWeighing(t *testing.T) {
	now := time.Date(2026, 3, 4, 9, 0, 0, 0, time.UTC)
	for text, want := range map[string]string{
		"me 71.2 with dog 90.6":               "19.40",
		"me 71,2 kg with Juniper 90,6 kg":     "d1 19.40",
		"I weigh 71.2, with the dog 90.6":     "19.40",
		"me 157 lb with dog 200 lb":           "19.50",
		"90.6 with dog, 71.2 without":         "19.40",
		"me 90.6 with dog 71.2":               "!not-heavier",
		"19.4 yesterday":                      "19.40 2026-03-03",
		"19.4 on Sunday":                      "19.40 2026-03-01",
		"Juniper 19,4 kg last Sunday":         "d1 19.40 2026-03-01",
		"Juniper weighed 19.4 on 28 February": "d1 19.40 2026-02-28",
		"Bracken 34.1 on 20 December":         "d2 34.10 2025-12-20",
		"19.4 2026-02-27":                     "19.40 2026-02-27",
		"yesterday 19.4":                      "19.40 2026-03-03",
		"42 lb 8 oz on Monday":                "19.28 2026-03-02",
		"19.4 tomorrow":                       "!weighed-ahead",
		"19.4 on 1 April 2027":                "!weighed-ahead",
		"Juniper 19.7 this morning":           "d1 19.70 2026-03-04",
		"19.4 last night":                     "19.40 2026-03-03",
		"weighed her yesterday, 19.5":         "19.50 2026-03-03",
		"3 st 1 lb":                           "-",
		"Juniper 3 st 1 lb":                   "-",
		"Juniper 19.4 on the 20th":            "d1 19.40 2026-02-20",
		"Juniper 19.4 on the 4th":             "d1 19.40 2026-03-04",
		"Juniper 19.4 on the 31st":            "d1 19.40 2026-01-31",
		"Juniper 19.4 20.2.2026":              "d1 19.40 2026-02-20",
		"Juniper 19.4 on 20 Feb 2025":         "d1 19.40 2025-02-20",
		"February 20, 2026 Juniper 19.4":      "d1 19.40 2026-02-20",
		"she was 19.5 last Sunday":            "19.50 2026-03-01",
		"0":                                   "!zero",
		"0 kg":                                "!zero",
		"-3":                                  "!negative",
		"Juniper -19.4":                       "!negative",
		"Juniper weighs 0 kg":                 "!zero",
		"-19.4 kg":                            "!negative",
		"19.4":                                "-",
		"Juniper 19.4":                        "-",
		"250 g turkey thigh":                  "-",
		"with friends":                        "-",
		"me and my dog":                       "-",
		"make it for 7 days":                  "-",
		"":                                    "-",
	} {
		said, ok, err := Weighing(text, treatNames, planner.Units{}, now)
		got := "-"
		switch {
		case err != nil:
			got = "!" + string(err.(span.Problem).Code)
		case ok:
			got = fmt.Sprintf("%s %.2f %s", said.Dog, float64(said.Weight), said.Day)
		}
		if squeeze(got) != squeeze(want) {
			t.Errorf("%q = %s, want %s", text, got, want)
		}
	}
}

// TestWeighings reads several dogs at once.
func TestWeighings(t *testing.T) {
	now := time.Date(2026, 3, 4, 9, 0, 0, 0, time.UTC)
	for text, want := range map[string]string{
		"Juniper 19.4, Bracken 33.8":                   "d1 19.40;d2 33.80",
		"Juniper 19,4, Bracken 33,8":                   "d1 19.40;d2 33.80",
		"Juniper 19.4\nBracken 33.8 kg":                "d1 19.40;d2 33.80",
		"Bracken 33.8 and Juniper 42 lb 8 oz":          "d2 33.80;d1 19.28",
		"Juniper 19.4 on Sunday; Bracken 33.8 kg":      "d1 19.40 2026-03-01;d2 33.80",
		"yesterday Juniper 19.4, Bracken 33.8":         "d1 19.40 2026-03-03;d2 33.80 2026-03-03",
		"Juniper 19.4, Bracken 33.8 yesterday":         "d1 19.40 2026-03-03;d2 33.80 2026-03-03",
		"Juniper 19.4 yesterday, Bracken 33.8":         "d1 19.40 2026-03-03;d2 33.80",
		"Juniper 19.4, Juniper 19.6":                   "-",
		"Juniper 19.4":                                 "-",
		"Juniper 19.4, 33.8":                           "-",
		"Juniper 19.4, Bracken 0":                      "!zero",
		"Juniper, Bracken":                             "-",
		"Juniper 19.6 kg 4 years, Bracken 34 kg 8 yrs": "-",
		"500 g turkey, 150 g heart":                    "-",
		"":                                             "-",
	} {
		all, ok, err := Weighings(text, treatNames, planner.Units{}, now)
		var parts []string
		for _, w := range all {
			day := ""
			if !w.Day.IsZero() {
				day = " " + w.Day.String()
			}
			parts = append(parts, fmt.Sprintf("%s %.2f%s", w.Dog, float64(w.Weight), day))
		}
		got := strings.Join(parts, ";")
		switch {
		case err != nil:
			got = "!" + string(err.(span.Problem).Code)
		case !ok:
			got = "-"
		}
		if got != want {
			t.Errorf("%q = %s, want %s", text, got, want)
		}
	}
}

func TestNamedWeight(t *testing.T) {
	for text, want := range map[string]string{
		"19.4 Juniper": "d1 19.40", "19,4 kg, Juniper": "d1 19.40", "Juniper weighs 3 st 1 lb": "d1 19.50",
		"Juniper 5/9": "-", "Juniper": "-", "19.4": "-", "dog Juniper 19.4 kg": "-", "feed Juniper 2": "-", "Juniper at 7:30": "-",
	} {
		kg, dog, ok := NamedWeight(text, treatNames, planner.Units{})
		got := "-"
		if ok {
			got = fmt.Sprintf("%s %.2f", dog, float64(kg))
		}
		if got != want {
			t.Errorf("%q = %s, want %s", text, got, want)
		}
	}
}

// TestWeighingAlone has a weight alone, and whose it is, from Weighing as from
// NamedWeight, but not what may be a date.
func TestWeighingAlone(t *testing.T) {
	now := time.Date(2026, 3, 4, 9, 0, 0, 0, time.UTC)
	for text, want := range map[string]float64{"Juniper weighs 19.4 kg.": 19.4, "19.4 kg Juniper": 19.4, "Juniper 5/20": 0, "Juniper 19.4 on Sunday?": 0} {
		said, ok, err := Weighing(text, treatNames, planner.Units{}, now)
		if ok || err != nil || float64(said.Weight) != want || want > 0 && said.Dog == "" {
			t.Errorf("%q = %+v, %v, %v", text, said, ok, err)
		}
		if _, _, named := NamedWeight(text, treatNames, planner.Units{}); named != (want > 0) {
			t.Errorf("%q: %v", text, named)
		}
	}
}

func FuzzWeighing(f *testing.F) {
	for _, s := range []string{"Juniper weighs 19.4 kg.", "Juniper 5/20", "no, actually 19.4", "oops: make it 19", "without 71 with 90", "me 71.2 with dog 90.6", "19.4 on Sunday", "90 with dog, 71 without", "ünïper 19 kg yesterday"} {
		f.Add(s)
	}
	now := time.Date(2026, 3, 4, 9, 0, 0, 0, time.UTC)
	f.Fuzz(func(t *testing.T, s string) {
		said, ok, err := Weighing(s, treatNames, planner.Units{}, now)
		if ok && err == nil && (!(said.Weight > 0) || planner.DateOf(now).Before(said.Day)) {
			t.Errorf("%q = %+v", s, said)
		}
		if kg, dog, named := NamedWeight(s, treatNames, planner.Units{}); !ok && err == nil && said.Weight > 0 && named && (kg != said.Weight || dog != said.Dog) {
			t.Errorf("%q weighs %v of %q, or %v of %q", s, said.Weight, said.Dog, kg, dog)
		}
	})
}
