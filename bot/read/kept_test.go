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
				may, mayKeeping := MayHaveEaten(text, n[0]), MayHaveEaten(text, n[1])
				order, err := OrderText(text, n[0], now)
				orderKeeping, errKeeping := OrderText(text, n[1], now)
				want, got := show(Understand(text, n[0], planner.Units{})), show(Understand(text, n[1], planner.Units{}))
				if got != want || may != mayKeeping || IsSwitch(text, n[0]) != IsSwitch(text, n[1]) ||
					!reflect.DeepEqual(order, orderKeeping) || !reflect.DeepEqual(err, errKeeping) {
					t.Errorf("%q: got %s, %v, %v %v, want %s, %v, %v %v", text, got, mayKeeping, orderKeeping, errKeeping, want, may, order, err)
				}
			}
		}
	}
}

// TestMayHaveEaten turns no news away that a dog has eaten something, and most
// of all else.
func TestMayHaveEaten(t *testing.T) {
	turned, all := 0, 0
	for _, text := range corpus(t) {
		all++
		if !MayHaveEaten(text, quayside) {
			turned++
		}
		wantMayHaveEaten(t, text)
	}
	if turned < all*2/3 {
		t.Errorf("%d of %d texts are turned away", turned, all)
	}
	for _, text := range []string{"Juniper weighs 19.4 kg", "19.4", "me 71.2 with dog 90.6", "Turkey 4, Lamb 3"} {
		if MayHaveEaten(text, quayside) {
			t.Errorf("%q is read at length", text)
		}
	}
	for _, text := range []string{"she aet a grape", "Juniper swalowed a sock", "GRAPES!", "she lcked chocolate", "Juniper is cheving on an onion"} {
		wantMayHaveEaten(t, text)
	}
}

func wantMayHaveEaten(t *testing.T, text string) {
	t.Helper()
	if s, _ := Understand(text, quayside, planner.Units{}); s.Intent == HasEaten && !MayHaveEaten(text, quayside) {
		t.Errorf("%q is turned away", text)
	}
}
