package read

import (
	"bufio"
	"os"
	"reflect"
	"strings"
	"testing"
	"time"

	"bowlwright/planner"
)

// corpus is every text of testdata/sentences.txt.
func corpus(t testing.TB) (texts []string) {
	f, err := os.Open("testdata/sentences.txt")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	for in := bufio.NewScanner(f); in.Scan(); {
		if text, _, ok := strings.Cut(in.Text(), " -> "); ok && text[0] != '#' {
			texts = append(texts, text)
		}
	}
	return texts
}

// TestKeep reads each text twice with names that remember, other names in
// between, and compares with what is read without.
func TestKeep(t *testing.T) {
	now := time.Date(2026, 7, 15, 8, 0, 0, 0, time.UTC)
	keeping := quayside.Keep()
	more := keeping
	more.Dogs = append(more.Dogs[:len(more.Dogs):len(more.Dogs)], Named{"d9", "Grape"})
	moreAlone := Names{Dogs: more.Dogs, Recipes: more.Recipes}
	for _, text := range append(corpus(t), "Turkey 4, Lamb 3", "switch Juniper to the turkey one from kibble", "Juniper weighs 19.4 kg", "") {
		for range 2 {
			for _, n := range [][2]Names{{quayside, keeping}, {moreAlone, more}} {
				order, err := OrderText(text, n[0], now)
				orderKeeping, errKeeping := OrderText(text, n[1], now)
				want, got := show(Understand(text, n[0], planner.Units{})), show(Understand(text, n[1], planner.Units{}))
				if got != want || IsSwitch(text, n[0]) != IsSwitch(text, n[1]) ||
					!reflect.DeepEqual(order, orderKeeping) || !reflect.DeepEqual(err, errKeeping) {
					t.Errorf("%q: got %s, %v %v, want %s, %v %v", text, got, orderKeeping, errKeeping, want, order, err)
				}
			}
		}
	}
}
