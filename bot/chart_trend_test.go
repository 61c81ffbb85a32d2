package bot

import (
	"bytes"
	"context"
	"flag"
	"fmt"
	"image/png"
	"io"
	"os"
	"strings"
	"testing"
	"time"

	"gonum.org/v1/plot/vg/recorder"

	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/bot/terminal"
	"bowlwright/bot/weighing"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/store"
	"bowlwright/store/bolt"
	"bowlwright/store/storetest"
)

var updateGolden = flag.Bool("update", false, "write the golden files anew")

// played plays a script of the terminal and returns its store and the person
// who spoke in it, at its last instant.
func played(t *testing.T, name string) (store.Store, talk.Event) {
	t.Helper()
	script, err := os.ReadFile("terminal/testdata/" + name + ".chat")
	if err != nil {
		t.Fatal(err)
	}
	s := storetest.NewMemory()
	o := terminal.Options{
		In: terminal.NewScript(bytes.NewReader(script)), Out: io.Discard, At: time.Date(2026, 3, 2, 7, 30, 0, 0, time.UTC),
		Missed: func(line string) { t.Fatal("no button for ", line) },
	}
	if err := terminal.New(NewAssistant(s, nutrition.Default()), s, o).Run(t.Context()); err != nil {
		t.Fatal(err)
	}
	e := talk.Event{Chat: "terminal/Carer", Person: "terminal/Carer"}
	for line := range strings.Lines(string(script)) {
		if at, ok := strings.CutPrefix(strings.TrimSpace(line), "%at "); ok {
			if e.At, err = time.Parse(time.RFC3339, at); err != nil {
				t.Fatal(err)
			}
		}
	}
	return s, e
}

// inTurn runs a function in a turn of a household that is not written.
func inTurn(tb testing.TB, s store.Store, e talk.Event, do func(t *talk.Turn)) {
	tb.Helper()
	err := storetest.Look(context.Background(), s, func(tx store.Snapshot) error {
		id, err := tx.Member(e.Chat, e.Person)
		if err != nil {
			return err
		}
		home, err := tx.Household(id)
		if err != nil {
			return err
		}
		e.At = e.At.In(home.Location())
		t := &talk.Turn{Ctx: context.Background(), Snap: tx, Event: e, Base: nutrition.Default(), Foods: nutrition.Default(), Home: home}
		do(t)
		return t.Err
	})
	if err != nil {
		tb.Fatal(err)
	}
}

// TestTrendGolden compares what the pictures of the half year and of the puppy
// draw, not their bytes.
func TestTrendGolden(t *testing.T) {
	t.Parallel()
	for script, dogs := range map[string][]string{"half-year": {"Bracken", "Juniper"}, "puppy": {"Pip"}} {
		t.Run(script, func(t *testing.T) {
			s, e := played(t, script)
			for _, dog := range dogs {
				compareDrawing(t, "testdata/trend-"+strings.ToLower(dog)+".golden", drawn(t, s, e, dog))
			}
		})
	}
}

// drawn is the picture of a dog's weight, an action a line.
func drawn(t *testing.T, s store.Store, e talk.Event, dog string) string {
	t.Helper()
	var b strings.Builder
	inTurn(t, s, e, func(turn *talk.Turn) {
		d := turn.DogNamed(dog)
		h, _, posts := weighing.Judge(turn, d)
		var c recorder.Canvas
		weighing.DrawTrend(&c, weighing.TrendOf(turn, d, h, posts[len(posts)-1]))
		for _, a := range c.Actions {
			b.WriteString(a.Call() + "\n")
		}
	})
	return b.String()
}

func compareDrawing(t *testing.T, golden, got string) {
	t.Helper()
	if *updateGolden {
		if err := os.WriteFile(golden, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(golden)
	if err != nil {
		t.Fatal(err)
	}
	g, w := strings.Split(got, "\n"), strings.Split(string(want), "\n")
	if len(g) != len(w) {
		t.Errorf("%d actions, want %d", len(g), len(w))
	}
	for i := range min(len(g), len(w)) {
		if g[i] != w[i] {
			t.Errorf("action %d is %s, want %s", i, g[i], w[i])
			break
		}
	}
}

// TestTrendLabelsKeepApart draws twenty changes of kcal within a month: each
// has its upright, and no label runs into another.
func TestTrendLabelsKeepApart(t *testing.T) {
	from := time.Date(2026, 3, 1, 8, 0, 0, 0, time.UTC)
	var all []weighing.TrendChange
	for i := range 20 {
		all = append(all, weighing.TrendChange{At: from.AddDate(0, 0, i), Label: fmt.Sprint(900+i, " kcal")})
	}
	c := weighing.TrendChart{Weighed: []weighing.TrendDot{{At: from, Weight: 20}, {At: from.AddDate(0, 0, 30), Weight: 21}}, Changes: all}
	var r recorder.Canvas
	weighing.DrawTrend(&r, c)
	type place struct{ x, y, w float64 }
	var labels []place
	for _, a := range r.Actions {
		if f, ok := a.(*recorder.FillString); ok && strings.HasSuffix(f.String, " kcal") {
			labels = append(labels, place{float64(f.Point.X), float64(f.Point.Y), 16 * float64(len(f.String))})
		}
	}
	if len(labels) < 4 || len(labels) == len(all) {
		t.Errorf("%d labels", len(labels))
	}
	for i, a := range labels {
		for _, b := range labels[:i] {
			if a.y == b.y && a.x < b.x+b.w && b.x < a.x+a.w {
				t.Errorf("labels at %v and %v", a, b)
			}
		}
	}
}

func TestTrendPNG(t *testing.T) {
	at := time.Date(2026, 3, 1, 8, 0, 0, 0, time.UTC)
	for name, c := range map[string]weighing.TrendChart{
		"nothing":      {},
		"one weigh-in": {Weighed: []weighing.TrendDot{{At: at, Weight: 19.4}}},
		"no change":    {Weighed: []weighing.TrendDot{{At: at, Weight: 19.4}, {At: at.AddDate(1, 0, 0), Weight: 19.4}}, Ideal: 19.4},
	} {
		b, err := weighing.TrendPNG(c)
		if err != nil {
			t.Fatal(name, err)
		}
		img, err := png.Decode(bytes.NewReader(b))
		if err != nil {
			t.Fatal(name, err)
		}
		if got := img.Bounds(); got.Dx() != say.ChartWidth || got.Dy() != weighing.TrendHeight {
			t.Errorf("%s: picture of %v", name, got)
		}
	}
}

// fiveYears is a household with a dog that has been weighed every week for
// five years, and whose bowls of two years were answered.
func fiveYears(tb testing.TB, s store.Store) talk.Event {
	tb.Helper()
	e := talk.Event{ID: "0", Chat: "terminal/Ines", Person: "terminal/Ines", Name: "Ines", At: time.Date(2026, 3, 1, 8, 0, 0, 0, time.UTC), Text: "dog Juniper 19.6 kg 8 years spayed moderate 5/9 healthy"}
	if err := NewAssistant(s, nutrition.Default()).Handle(context.Background(), e); err != nil {
		tb.Fatal(err)
	}
	err := storetest.Change(context.Background(), s, func(tx store.Snapshot, put storetest.Put) error {
		id, err := tx.Member(e.Chat, e.Person)
		if err != nil {
			return err
		}
		home, err := tx.Household(id)
		if err != nil {
			return err
		}
		dog := home.Dogs[0]
		enter := func(n int, x planner.Entry) {
			x.ID, x.Dog, x.Person, x.Entered, x.Date = fmt.Sprintf("%s%d", x.Kind, n), dog.ID, e.Person, x.At, planner.DateOf(x.At)
			put(store.PutEntry{Household: id, Entry: x})
		}
		for week := range 5 * 52 {
			kg := nutrition.Kilograms(19.6 + 0.15*float64(week*7%11-5)/5)
			enter(week, planner.Entry{Kind: planner.Weighed, At: e.At.AddDate(0, 0, -7*(week+1)), Weight: kg})
		}
		for meal := range 2 * 2 * 365 {
			at := e.At.Add(-time.Duration(meal+1) * 12 * time.Hour)
			enter(meal, planner.Entry{Kind: planner.Fed, At: at, Kcal: 512, Of: fmt.Sprint(meal)})
		}
		return err
	})
	if err != nil {
		tb.Fatal(err)
	}
	return e
}

// BenchmarkWeighIn takes a weigh-in of a dog of five years, from message to
// durable reply.
func BenchmarkWeighIn(b *testing.B) {
	s, err := bolt.Open(b.TempDir()+"/test.db", bolt.Options{})
	if err != nil {
		b.Fatal(err)
	}
	defer s.Close()
	e := fiveYears(b, s)
	a := NewAssistant(s, nutrition.Default())
	for n := 1; b.Loop(); n++ {
		e.ID, e.At, e.Text = fmt.Sprint(n), e.At.Add(time.Minute), fmt.Sprintf("19.%d", n%9)
		if err := a.Handle(context.Background(), e); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkTrend draws five years of weekly weigh-ins.
func BenchmarkTrend(b *testing.B) {
	s := storetest.NewMemory()
	e := fiveYears(b, s)
	inTurn(b, s, e, func(t *talk.Turn) {
		d := &t.Home.Dogs[0]
		for b.Loop() {
			h, _, posts := weighing.Judge(t, d)
			if _, err := weighing.TrendPNG(weighing.TrendOf(t, d, h, posts[len(posts)-1])); err != nil {
				b.Fatal(err)
			}
		}
	})
}
