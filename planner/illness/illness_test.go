package illness

import (
	"os"
	"slices"
	"strings"
	"testing"
)

func TestIllness(t *testing.T) {
	text, err := os.ReadFile("testdata/illness.txt")
	if err != nil {
		t.Fatal(err)
	}
	rows := 0
	for line := range strings.Lines(string(text)) {
		notes, want, ok := strings.Cut(line, " |")
		if !ok || line[0] == '#' {
			continue
		}
		rows++
		if got := strings.Join(In(notes), " "); got != strings.TrimSpace(want) {
			t.Errorf("In(%q) = %q, want %q", notes, got, want)
		}
	}
	if rows < 77 || len(In("")) > 0 {
		t.Errorf("%d rows; no notes name %q", rows, In(""))
	}
}

func TestIllnessNamesEveryWordOfTheLists(t *testing.T) {
	for list, words := range known {
		for _, w := range words {
			notes := "has " + strings.ReplaceAll(w.text, "+", " ") + " since May"
			if got := In(notes); w.code != "" && !slices.Contains(got, w.code) {
				t.Errorf("%q, of %s, names %q, want %s", notes, list, got, w.code)
			}
			if w.code != "" && orderOf(w.code) < 0 {
				t.Errorf("%q names no condition, %q", w.text, w.code)
			}
		}
	}
}

func FuzzIllness(f *testing.F) {
	f.Add("no kidney trouble, heart murmur")
	f.Add("’ü'🙂 liver")
	f.Fuzz(func(t *testing.T, notes string) {
		got := In(notes)
		if !slices.Equal(got, In(notes)) {
			t.Error("not deterministic")
		}
		last := -1
		for _, c := range got {
			if orderOf(c) <= last {
				t.Errorf("%q out of order", got)
			}
			last = orderOf(c)
		}
	})
}
