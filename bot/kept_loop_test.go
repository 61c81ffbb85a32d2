package bot

import (
	"fmt"
	"math"
	"os"
	"slices"
	"strings"
	"testing"
	"time"

	"bowlwright/bot/say"
	"bowlwright/planner"
	"bowlwright/planner/dogtest"
)

// keptDog is a dog of package dogtest whose carer types its weight, reads what
// is said and presses buttons by their labels. What it is fed is the amount in
// force in the store, whoever put it there.
type keptDog struct {
	*world
	body   *dogtest.Dog
	carer  *dogtest.Carer
	goal   float64
	vetOn  int         // the day on which a vet sees the dog, -1: none
	vet    []say.Reply // what sent the carer there
	missed []string    // replies that were not understood
	amount float64
	silent int // changes of the amount that no tap made
}

func newKeptDog(t *testing.T, seed uint64, habit dogtest.Habit) *keptDog {
	b := dogtest.New(seed, dogtest.Kind{})
	k := &keptDog{world: newWorld(t), body: b, carer: dogtest.NewCarer(seed, habit), goal: b.Kg0, vetOn: -1}
	k.says("Ines", fmt.Sprintf("dog Juniper %.2f kg 4 years spayed moderate 5/9 healthy", b.Kg0))
	k.says("Ines", "recipe Turkey and heart\n500 g turkey thigh, no skin\n150 g beef heart")
	k.says("Ines", "how much for Juniper?")
	k.amount = float64(k.dog("Juniper").Kcal)
	return k
}

// week lets a week pass, with a weigh-in on its first day.
func (k *keptDog) week() {
	k.at = time.Date(2026, 3, 1+k.body.Day(), 9, 0, 0, 0, time.UTC)
	if k.vetOn == k.body.Day() {
		k.vetOn = -1
		k.answer(k.press(k.vet, "A vet has seen it"))
	}
	if !k.body.Missed() {
		rs := k.says("Ines", fmt.Sprintf("%.2f", k.body.OnScale()))
		if strings.Contains(text(rs), "Weigh again now") {
			rs = k.says("Ines", fmt.Sprintf("%.2f", k.body.OnScaleAgain()))
		}
		k.unasked()
		k.answer(rs)
	}
	for range 7 {
		k.body.Eat(k.amount)
	}
}

// unasked counts a change of the amount since the last tap.
func (k *keptDog) unasked() {
	if now := float64(k.dog("Juniper").Kcal); math.Abs(now-k.amount) > 0.5 {
		k.silent++
		k.amount = now
	}
}

func (k *keptDog) offers(rs []say.Reply, label string) bool {
	return slices.ContainsFunc(buttons(rs), func(b say.Button) bool { return b.Label == label })
}

func (k *keptDog) press(rs []say.Reply, label string) []say.Reply {
	if !k.offers(rs, label) {
		k.missed = append(k.missed, label+" after "+text(rs))
		return nil
	}
	return k.presses("Ines", button(k.t, rs, label))
}

// answer does what the carer does of what is said.
func (k *keptDog) answer(rs []say.Reply) {
	for range 4 {
		switch {
		case k.offers(rs, "Four questions"):
			for _, a := range []string{"Four questions", "Yes", "None of these", "No", "None I know of"} {
				rs = k.press(rs, a)
			}
			continue
		case k.offers(rs, "Apply") && k.carer.Takes():
			k.press(rs, "Apply")
			k.amount = float64(k.dog("Juniper").Kcal)
		case k.offers(rs, "Body condition") && k.offers(rs, "Keep"):
			rs = k.press(k.press(rs, "Body condition"), fmt.Sprint(k.score()))
			if k.offers(rs, fmt.Sprintf("Keep %s", say.BodyWeight(k.dog("Juniper").Ideal, planner.Units{}))) { // the goal stays
				k.press(rs, fmt.Sprintf("Keep %s", say.BodyWeight(k.dog("Juniper").Ideal, planner.Units{})))
			}
			rs = k.says("Ines", "is the amount right for Juniper?")
			continue
		}
		break
	}
	if k.vetOn < 0 && k.offers(rs, "A vet has seen it") {
		k.vetOn, k.vet = k.body.Day()+7, rs
	}
}

func (k *keptDog) score() int {
	return int(math.Max(1, math.Min(math.Round(5+(k.body.Kg()/k.goal-1)/0.1), 9)))
}

func (k *keptDog) off() float64 { return 100 * (k.body.Kg()/k.goal - 1) }

// TestKeptThroughChat closes the loop through the conversation: weights are
// typed, buttons pressed by their labels, and the dogs eat what is in force. With
// suggestions taken they end near their goal weight, with none taken no farther
// off than on food that nobody changes, and the amount never moves without a tap.
func TestKeptThroughChat(t *testing.T) {
	t.Parallel()
	dogs, weeks := uint64(2), 26
	if os.Getenv("BOWLWRIGHT_LONG") != "" {
		dogs, weeks = 300, 52
	}
	const first = 9000
	ends := map[dogtest.Habit]float64{}
	for _, habit := range []dogtest.Habit{dogtest.TakesAll, dogtest.TakesNone, dogtest.TakesHalf} {
		off, fixed := map[int][]float64{}, map[int][]float64{} // %, by week
		for i := range dogs {
			k := newKeptDog(t, first+i, habit)
			other, start := dogtest.New(first+i, dogtest.Kind{}), k.amount
			for week := 1; week <= weeks; week++ {
				k.week()
				for range 7 {
					other.Eat(start)
				}
				off[week] = append(off[week], k.off())
				fixed[week] = append(fixed[week], 100*(other.Kg()/k.goal-1))
			}
			if k.silent > 0 {
				t.Errorf("dog %d, %s: the amount moved %d times without a tap", first+i, habit, k.silent)
			}
			if len(k.missed) > 0 {
				t.Errorf("dog %d, %s: %d presses of what is not there: %s", first+i, habit, len(k.missed), strings.Join(k.missed[:1], ""))
			}
		}
		for week := 26; week <= weeks; week += 26 {
			got, still := squares(off[week]), squares(fixed[week])
			beyond := 0
			for _, x := range off[week] {
				if math.Abs(x) > 10 {
					beyond++
				}
			}
			t.Logf("%s: %.1f %% from the goal in week %d, %d of %d beyond 10 %%; fixed food %.1f %%", habit, got, week, beyond, dogs, still)
			if habit == dogtest.TakesNone && got > still+0.01 {
				t.Errorf("nothing was taken, and the dogs are %.1f %% off in week %d, %.1f %% on fixed food", got, week, still)
			}
		}
		ends[habit] = squares(off[26])
	}
	if worst := 4.5; ends[dogtest.TakesAll] > worst && dogs >= 300 || ends[dogtest.TakesAll] > 2*worst {
		t.Errorf("every suggestion taken: %.1f %% from the goal", ends[dogtest.TakesAll])
	}
}

// squares is the root of the mean square.
func squares(v []float64) float64 {
	sum := 0.0
	for _, x := range v {
		sum += x * x
	}
	return math.Sqrt(sum / float64(len(v)))
}
