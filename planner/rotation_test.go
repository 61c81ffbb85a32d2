package planner

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"
)

var firstMarch = Date{2026, time.March, 1} // a Sunday

func turkeyAndLamb() Rotation {
	return Rotation{ID: "o1", Dogs: []string{"d1"}, Turns: []Turn{{"t", 4}, {"l", 3}}, Start: firstMarch}
}

// daysOf prints what a rotation gives on n days, "-" where it has not begun.
func daysOf(r Rotation, from Date, n int) string {
	var b strings.Builder
	for i := range n {
		_, id := r.On(from.AddDays(i))
		b.WriteString(id + strings.Repeat("-", 1-len(id)))
	}
	return b.String()
}

func TestRotationOn(t *testing.T) {
	r := turkeyAndLamb()
	for _, c := range []struct {
		name string
		r    Rotation
		want string // from two days before Start on
	}{
		{"order", r, "--ttttlllttttlll"},
		{"one recipe", Rotation{Turns: []Turn{{"t", 1}}, Start: firstMarch}, "--tttttttttttttt"},
		{"no turns", Rotation{Start: firstMarch}, "----------------"},
		{"no days", Rotation{Turns: []Turn{{"t", 0}}, Start: firstMarch}, "----------------"},
		{"a turn of no days", Rotation{Turns: []Turn{{"t", -1}, {"l", 2}}, Start: firstMarch}, "--llllllllllllll"},
		{"never begins", Rotation{Turns: r.Turns}, "----------------"},
		{"instead", r.clone().instead(firstMarch.AddDays(1), "k"), "--tkttlllttttlll"},
		{"instead before it begins", Rotation{Turns: r.Turns, Start: firstMarch, Instead: map[Date]string{firstMarch.AddDays(-1): "k"}}, "--ttttlllttttlll"},
	} {
		if got := daysOf(c.r, firstMarch.AddDays(-2), 16); got != c.want {
			t.Errorf("%s: %s, want %s", c.name, got, c.want)
		}
	}
	if got := r.Cycle(); got != 7 {
		t.Errorf("cycle %d", got)
	}
	for i, want := range []int{4, 3, 2, 1, 3, 2, 1, 4} {
		if got := r.LeftOn(firstMarch.AddDays(i)); got != want {
			t.Errorf("day %d: %d left, want %d", i, got, want)
		}
	}
	if turn, id := r.On(firstMarch.AddDays(700*7 + 5)); turn != 1 || id != "l" {
		t.Errorf("years later: %d %s", turn, id)
	}
}

func TestRotationChanges(t *testing.T) {
	r := turkeyAndLamb()
	on := func(n int) Date { return firstMarch.AddDays(n) }
	for _, c := range []struct {
		name string
		do   func() (Rotation, bool)
		ok   bool
		want string
	}{
		{"skip the first day", func() (Rotation, bool) { return r.Skip(on(0)) }, true, "lllttttllltttt"},
		{"skip in a turn", func() (Rotation, bool) { return r.Skip(on(2)) }, true, "ttlllttttlllttt"[:14]},
		{"skip before it begins", func() (Rotation, bool) { return r.Skip(on(-1)) }, false, "ttttlllttttlll"},
		{"repeat at a change", func() (Rotation, bool) { return r.Repeat(on(4)) }, true, "tttttlllttttll"},
		{"repeat in a turn", func() (Rotation, bool) { return r.Repeat(on(5)) }, true, "ttttllllttttll"},
		{"repeat of what was before", func() (Rotation, bool) { return r.Repeat(on(0)) }, false, "ttttlllttttlll"},
		{"swap", func() (Rotation, bool) { return r.SwapDays(on(3), on(4)) }, true, "tttltllttttlll"},
		{"swap of the same", func() (Rotation, bool) { return r.SwapDays(on(0), on(1)) }, false, "ttttlllttttlll"},
		{"eat another", func() (Rotation, bool) { return r.Eat(on(2), "k") }, true, "ttktlllttttlll"},
		{"eat before it begins", func() (Rotation, bool) { return r.Eat(on(-1), "k") }, false, "ttttlllttttlll"},
	} {
		got, ok := c.do()
		if ok != c.ok || daysOf(got, firstMarch, 14) != c.want {
			t.Errorf("%s: %s %v, want %s %v", c.name, daysOf(got, firstMarch, 14), ok, c.want, c.ok)
		}
		if daysOf(r, firstMarch, 14) != "ttttlllttttlll" || r.Instead != nil || r.Moves != nil {
			t.Fatalf("%s: changed the rotation itself", c.name)
		}
	}
	swapped, _ := r.SwapDays(on(3), on(4))
	back, _ := swapped.SwapDays(on(3), on(4))
	if len(back.Instead) != 0 {
		t.Errorf("swapped back: %v", back.Instead)
	}
	if skipped, ok := swapped.Skip(on(3)); !ok || daysOf(skipped, firstMarch, 14) != "tttttllttttlll" {
		t.Errorf("skip of what stands instead: %s", daysOf(skipped, firstMarch, 14))
	}
	if _, ok := (Rotation{Turns: []Turn{{"t", 2}, {"t", 3}}, Start: firstMarch}).Skip(on(0)); ok {
		t.Error("skipped to the same recipe")
	}
}

// orderOfDays is a rotation as a plain list of days, for the comparison.
type orderOfDays struct {
	order []string
	eaten map[int]string
}

func (o *orderOfDays) on(i int) string {
	if id, ok := o.eaten[i]; ok {
		return id
	}
	return o.order[i]
}

func (o *orderOfDays) change(kind, i, j int) {
	put := func(i int, id string) {
		delete(o.eaten, i)
		if o.order[i] != id {
			o.eaten[i] = id
		}
	}
	switch kind {
	case 0: // skip
		if _, ok := o.eaten[i]; ok {
			delete(o.eaten, i)
			return
		}
		n := i
		for o.order[n] == o.order[i] {
			n++
		}
		o.order = slices.Delete(o.order, i, n)
	case 1: // repeat
		if i == 0 {
			return
		}
		before := o.on(i - 1)
		o.order = slices.Insert(o.order, i, o.order[i])
		put(i, before)
	case 2: // swap
		if a, b := o.on(i), o.on(j); a != b {
			put(i, b)
			put(j, a)
		}
	}
}

func TestRotationAsAListOfDays(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 8))
	for round := range Sampled(300, 100) {
		var turns []Turn
		for i := range 2 + rng.IntN(3) {
			turns = append(turns, Turn{string(rune('a' + i)), 1 + rng.IntN(5)})
		}
		r := Rotation{Turns: turns, Start: firstMarch}
		model := orderOfDays{eaten: map[int]string{}}
		for len(model.order) < 2000 {
			for _, turn := range turns {
				model.order = append(model.order, slices.Repeat([]string{turn.Recipe}, turn.Days)...)
			}
		}
		today, log := 0, ""
		for range 40 {
			today += rng.IntN(3)
			kind, j := rng.IntN(3), today+rng.IntN(6)
			log += fmt.Sprintf(" %s@%d,%d", [...]string{"skip", "repeat", "swap"}[kind], today, j)
			day := firstMarch.AddDays(today)
			switch kind {
			case 0:
				r, _ = r.Skip(day)
			case 1:
				r, _ = r.Repeat(day)
			case 2:
				r, _ = r.SwapDays(day, firstMarch.AddDays(j))
			}
			model.change(kind, today, j)
			for i := max(0, today-3); i < today+30; i++ {
				if _, id := r.On(firstMarch.AddDays(i)); id != model.on(i) {
					t.Fatalf("round %d, %v:%s: day %d is %s, want %s", round, turns, log, i, id, model.on(i))
				}
			}
		}
		if len(r.Moves) > keptDays+1 {
			t.Errorf("round %d: %d moves kept", round, len(r.Moves))
		}
	}
	r := turkeyAndLamb()
	for i := range 1000 {
		r, _ = r.Eat(firstMarch.AddDays(i), "k")
	}
	if len(r.Instead) > keptDays+1 {
		t.Errorf("%d days kept", len(r.Instead))
	}
}

func TestRotationWithout(t *testing.T) {
	r := Rotation{Turns: []Turn{{"t", 2}, {"l", 3}, {"k", 2}}, Start: firstMarch}
	for _, c := range []struct {
		recipe string
		day    int
		want   string // from that day on
	}{
		{"k", 3, "llttlllttl"}, // in the lamb's second day
		{"l", 3, "kkttkkttkk"}, // the next turn begins
		{"t", 3, "llkklllkkl"},
		{"k", 6, "ttlllttlll"}, // the last turn, half eaten
		{"x", 3, "llkkttlllk"},
	} {
		got, ok := r.Without(c.recipe, firstMarch.AddDays(c.day))
		if e := daysOf(got, firstMarch.AddDays(c.day), 10); !ok || e != c.want {
			t.Errorf("without %s on day %d: %s, want %s", c.recipe, c.day, e, c.want)
		}
	}
	if got, ok := r.Without("t", firstMarch.AddDays(-5)); !ok || daysOf(got, firstMarch, 5) != "lllkk" {
		t.Errorf("before it begins: %s", daysOf(got, firstMarch, 5))
	}
	if _, ok := (Rotation{Turns: []Turn{{"t", 2}}, Start: firstMarch}).Without("t", firstMarch); ok {
		t.Error("nothing is left, and it goes on")
	}
}

func rotationHome() *Household {
	return &Household{
		Dogs:      []Dog{{ID: "d1", Recipe: "k"}, {ID: "d2"}},
		Recipes:   []Recipe{{ID: "t"}, {ID: "l"}, {ID: "k"}},
		Rotations: []Rotation{turkeyAndLamb()},
	}
}

func TestRecipeOn(t *testing.T) {
	h := rotationHome()
	check := func(name, dog string, n int, want string) {
		t.Helper()
		if got, ok := RecipeOn(h, dog, firstMarch.AddDays(n)); got != want || ok != (want != "") {
			t.Errorf("%s: %q %v, want %q", name, got, ok, want)
		}
	}
	check("rotation", "d1", 5, "l")
	check("not begun: its own", "d1", -1, "k")
	check("in no rotation, no recipe", "d2", 5, "")
	check("no such dog", "d9", 5, "")
	h.Recipes = h.Recipes[:1]
	check("its own is gone", "d1", -1, "")
	check("the rotation's is gone: the next", "d1", 5, "t")
	h = rotationHome()
	h.Transitions = []Transition{
		{Dog: "d1", Recipe: "k", Days: 7, Start: firstMarch.AddDays(2)},
		{Dog: "d2", Rotation: "o1", Days: 7, Start: firstMarch},
	}
	check("before the transition", "d1", 1, "")
	check("in the transition", "d1", 2, "k")
	check("on its last day", "d1", 8, "k")
	check("after it", "d1", 9, "t")
	check("to a rotation: its first", "d2", 5, "t")
	h.Transitions[0].Done = true
	check("after a transition that is done", "d1", 2, "t")
	h.Transitions = []Transition{{Dog: "d1", Recipe: "x", Days: 7, Start: firstMarch}}
	check("to a recipe that is gone", "d1", 5, "l")
}

func TestForget(t *testing.T) {
	h := rotationHome()
	h.Transitions = []Transition{{Dog: "d2", Recipe: "l"}}
	if got := ForgetRecipe(h, "l", firstMarch); !slices.Equal(got, []string{"o1"}) || len(h.Transitions) != 0 || daysOf(h.Rotations[0], firstMarch, 5) != "ttttt" {
		t.Errorf("forgot the lamb: %v, %+v", got, h)
	}
	h.Transitions = []Transition{{Dog: "d2", Rotation: "o1"}}
	if got := ForgetRecipe(h, "t", firstMarch); len(got) != 1 || len(h.Rotations) != 0 || len(h.Transitions) != 0 {
		t.Errorf("forgot the turkey: %v, %+v", got, h)
	}
	h = rotationHome()
	h.Rotations[0].Dogs = []string{"d1", "d2"}
	h.Transitions = []Transition{{Dog: "d1", Recipe: "l"}}
	ForgetDog(h, "d1")
	if len(h.Rotations) != 1 || !slices.Equal(h.Rotations[0].Dogs, []string{"d2"}) || len(h.Transitions) != 0 {
		t.Errorf("forgot a dog: %+v", h)
	}
	ForgetDog(h, "d2")
	if len(h.Rotations) != 0 {
		t.Errorf("forgot both dogs: %+v", h.Rotations)
	}
}

func TestRotationValidate(t *testing.T) {
	for _, c := range []struct {
		name string
		do   func(*Rotation)
		want RotationCode
		of   string
	}{
		{"right", func(*Rotation) {}, "", ""},
		{"no turns", func(r *Rotation) { r.Turns = nil }, NoTurns, ""},
		{"many", func(r *Rotation) { r.Turns = slices.Repeat(r.Turns, 11) }, ManyTurns, ""},
		{"a recipe that is gone", func(r *Rotation) { r.Turns[1].Recipe = "x" }, GoneRecipe, "x"},
		{"no days", func(r *Rotation) { r.Turns[0].Days = 0 }, TurnDays, "t"},
		{"less than none", func(r *Rotation) { r.Turns[0].Days = -3 }, TurnDays, "t"},
		{"61 days", func(r *Rotation) { r.Turns[0].Days = 61 }, TurnDays, "t"},
		{"60 days", func(r *Rotation) { r.Turns[0].Days = 60 }, "", ""},
		{"a plan that no dog eats", func(r *Rotation) { r.Dogs = nil }, "", ""},
		{"a dog that is gone", func(r *Rotation) { r.Dogs = []string{"d9"} }, GoneDog, "d9"},
		{"twice", func(r *Rotation) { r.Dogs = []string{"d1", "d1"} }, DogTwice, "d1"},
		{"in another", func(r *Rotation) { r.ID = "o2" }, DogTwice, "d1"},
		{"no first day", func(r *Rotation) { r.Start = Date{} }, NoStartDate, ""},
	} {
		r := turkeyAndLamb()
		c.do(&r)
		err := r.Validate(rotationHome())
		var e *RotationError
		if errors.As(err, &e); (e == nil) != (c.want == "") || e != nil && (e.Code != c.want || e.Of != c.of) {
			t.Errorf("%s: %v", c.name, err)
		}
	}
}
