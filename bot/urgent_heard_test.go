package bot

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"

	"bowlwright/bot/talk"
)

// heard counts the messages of one kind, and those that were heard as what a
// vet is to be asked about at once.
type heard struct{ of, urgent int }

// TestUrgentIsHeard gives the assistant messages of many hands, each to a
// household of its own and with the question open that was open then, and
// counts which are heard as urgent. Two hands were kept out of building the
// lists. A sample has each sixth message of theirs and each twelfth of the others.
func TestUrgentIsHeard(t *testing.T) {
	t.Parallel()
	files, err := filepath.Glob("read/testdata/urgent/*.txt")
	if err != nil || len(files) == 0 {
		t.Fatal(files, err)
	}
	built, kept, opened := map[string]heard{}, map[string]heard{}, map[[2]string]*world{}
	for _, file := range files {
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		hand := strings.TrimSuffix(filepath.Base(file), ".txt")
		mine := map[string]heard{}
		for i, line := range strings.Split(strings.TrimSpace(string(data)), "\n") {
			if os.Getenv("BOWLWRIGHT_LONG") == "" && (i%6 > 0 || i%12 > 0 && !keptOut(hand)) {
				continue
			}
			f := strings.Split(line, "\t")
			before := opened[[2]string(f[1:3])]
			if before == nil {
				before = withOpen(t, f[1], f[2])
				opened[[2]string(f[1:3])] = before
			}
			was := hearsUrgent(before.copied(t), strings.ReplaceAll(f[3], " / ", "\n"))
			for _, sums := range []map[string]heard{mine, choose2(keptOut(hand), kept, built)} {
				h := sums[f[0]]
				h.of++
				if was {
					h.urgent++
				}
				sums[f[0]] = h
			}
			if os.Getenv("BOWLWRIGHT_SHOW") != "" && !keptOut(hand) && (was != (f[0] == "urgent")) && f[0] != "signs" {
				t.Log(was, line)
			}
		}
		t.Logf("%s: %s", hand, share(mine))
	}
	t.Logf("built on: %s", share(built))
	t.Logf("kept out: %s", share(kept))
	if h := built["urgent"]; 100*h.urgent < 95*h.of {
		t.Errorf("%d of %d urgent messages are heard", h.urgent, h.of)
	}
	if h := kept["urgent"]; 100*h.urgent < 90*h.of {
		t.Errorf("%d of %d urgent messages of other hands are heard", h.urgent, h.of)
	}
	for _, h := range []heard{built["other"], kept["other"]} {
		if 100*h.urgent > 4*h.of {
			t.Errorf("%d of %d other messages are taken for urgent", h.urgent, h.of)
		}
	}
}

func keptOut(hand string) bool { return hand == "a" || hand == "m" }

func choose2(first bool, a, b map[string]heard) map[string]heard {
	if first {
		return a
	}
	return b
}

func share(sums map[string]heard) string {
	var out []string
	for kind, h := range sums {
		out = append(out, fmt.Sprintf("%s %d of %d", kind, h.urgent, h.of))
	}
	slices.Sort(out)
	return strings.Join(out, ", ")
}

// theirs are the rooms, for what they say.
var theirs = sync.OnceValue(func() *talk.Registry { return rooms() })

// withOpen is a household of some dogs with a question open.
func withOpen(t *testing.T, dogs, open string) *world {
	w := newWorld(t)
	for name := range strings.SplitSeq(dogs, ",") {
		if name != "" {
			w.says("Ines", "/dog "+name+" 20 kg 4 years spayed moderate 5/9 healthy")
		}
	}
	switch {
	case open == "":
	case strings.HasPrefix(open, "recipe."):
		w.says("Ines", "/recipe Stew")
	case open == "dog.health":
		w.says("Ines", "/dog Newcomer 12 kg")
		w.says("Ines", "edit Newcomer")
	default:
		w.says("Ines", "/dog add")
	}
	return w
}

// hearsUrgent reports whether the first line of the answer says what to do at
// once, or refuses to clear what was eaten.
func hearsUrgent(w *world, said string) bool {
	got := text(w.says("Ines", said))
	for _, first := range []string{theirs().Words.Msg("urgent.now"), theirs().Words.Msg("urgent.today"), theirs().Words.Msg("urgent.person")} {
		if strings.HasPrefix(got, first) {
			return true
		}
	}
	_, unknown, _ := strings.Cut(theirs().Words.Msg("urgent.unknown", "food", "|"), "|")
	return strings.Contains(got, unknown)
}
