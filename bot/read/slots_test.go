package read

import (
	"fmt"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"bowlwright/bot/read/language"
	"bowlwright/bot/read/rank"
	"bowlwright/bot/read/slots"
	"bowlwright/bot/read/span"
)

// told counts how the values of a slot that were found compare with the labels.
type told struct{ right, wrong, missing, extra int }

// TestSlots holds how well slots are found in the wordings. Hands 2 to 5 name
// slots by other rules ("nutrient" for kcal), so they are not compared.
func TestSlots(t *testing.T) {
	all, err := rank.WordingsIn(os.DirFS("language/wordings"))
	if err != nil {
		t.Fatal(err)
	}
	writes, harmful, sum := 0, 0, map[string]*told{}
	for i := range all {
		if w := &all[i]; len(w.Says) == 1 && w.ID > "a" {
			s, c := w.Says[0], contextOf(w)
			c.Now = time.Time{} // no wording tells it
			bad := compareSlots(w, s, slots.In(strings.TrimSpace(span.Clean(w.Text)), c).Of(s.Intent), sum)
			if c := CostOf(s.Intent); c == Writes || c == Reaches {
				writes++
				if bad {
					harmful++
				}
			}
		}
	}
	for name, least := range leastRight {
		c := sum[name]
		if got := float64(c.right) / float64(c.right+c.wrong+c.missing); got < least {
			t.Errorf("%s: %.2f of those labelled are right, want %.2f", name, got, least)
		}
	}
	if got := float64(harmful) / float64(writes); got > 0.01 {
		t.Errorf("a dog, an amount or a day is wrong in %.3f of the writes", got)
	}
}

// leastRight is how many of the labelled values of a slot are found, at least;
// a little less than was measured.
var leastRight = map[string]float64{"age": 0.52, "amount": 0.44, "breed": 0.73, "by": 0.21, "count": 0.48, "days": 0.61, "dog": 0.81, "dose": 0.58, "every": 0.48, "factor": 0.36, "food": 0.66, "kcal": 0.74, "meal": 0.50, "meals": 0.66, "name": 0.43, "nutrient": 0.65, "part": 0.22, "place": 0.19, "recipe": 0.84, "sex": 0.44, "supp": 0.79, "target": 0.78, "time": 0.38, "weight": 0.72, "when": 0.55, "who": 0.66}

var harmfulSlots = language.SetOf("dog", "amount", "weight", "when", "date", "time")

func compareSlots(w *rank.Wording, said rank.Said, got map[string]string, sum map[string]*told) (harm bool) {
	for name := range got {
		if said.Slots[name] == nil && name != "value" {
			tally(sum, name).extra++
		}
	}
	for name, want := range said.Slots {
		if name == "value" {
			continue
		}
		v := fmt.Sprint(want)
		c := tally(sum, name)
		switch g := got[name]; {
		case g == "":
			c.missing++
		case sameSlot(w, name, g, v):
			c.right++
		default:
			c.wrong++
			harm = harm || harmfulSlots[name]
		}
	}
	return harm
}

func tally(sum map[string]*told, name string) *told {
	if sum[name] == nil {
		sum[name] = &told{}
	}
	return sum[name]
}

// sameSlot reports that a value is the labelled one but for how it is written.
func sameSlot(w *rank.Wording, name, got, want string) bool {
	if name == "dog" {
		return slices.Equal(dogsOf(w, got), dogsOf(w, want))
	}
	got, want = plainSlot(got), plainSlot(want)
	switch {
	case got == want:
		return true
	case name == "weight" || name == "target" || name == "amount" || name == "dose":
		g, wt := strings.Fields(got), strings.Fields(want) // the unit of a bare number is the household's, which no wording tells
		if strings.HasPrefix(want+" ", got+" ") || strings.TrimPrefix(got, "1 ") == want {
			return true
		}
		return len(g) > 0 && len(wt) > 0 && g[0] == wt[0] && (len(wt) == 1 || len(g) == 1 || !regexp.MustCompile(`kg|kilo|lb|pound|g\b|oz`).MatchString(strings.ToLower(w.Text)))
	case name == "when":
		return strings.HasSuffix(want, got) || strings.HasPrefix(want, got) || strings.HasSuffix(got, want) || strings.HasSuffix(got, "1 "+want)
	case name == "food" || name == "supp" || name == "breed" || name == "recipe" || name == "who" || name == "by" || name == "place" || name == "name":
		return strings.Contains(want, got) || strings.Contains(got, want)
	}
	return false
}

func dogsOf(w *rank.Wording, value string) (dogs []string) {
	if value == "all" || value == "both" && len(w.Dogs) <= 2 {
		value = strings.Join(w.Dogs, ", ")
	}
	for _, d := range strings.Split(strings.ToLower(value), ",") {
		dogs = append(dogs, strings.TrimSpace(d))
	}
	slices.Sort(dogs)
	return dogs
}

var (
	slotNoise = regexp.MustCompile(`\b(since|until|till|til|by|on|at|the|from|every|about|a|in|per|of|and|to)\b|['’]s\b`)
	slotForms = strings.NewReplacer("daily", "day", "weekly", "week", "monthly", "month", "teaspoon", "tsp", "tablespoon", "tbsp", "vit ", "vitamin ", "1/2", "0.5", "1/4", "0.25", "half", "0.5", "year", "y", "+", "", "-", " ",
		"%", " %", "castrated", "neutered", "desexed", "neutered", "minutes", "min", "minute", "min", "one", "1", "two", "2", "three", "3", "five", "5", "ten", "10", "30 min", "0.5 hour", "quarter of hour", "15 min", "an hour", "1 hour", "sep", "september", "feb ", "february ")
)

func plainSlot(v string) string {
	v = slotNoise.ReplaceAllString(strings.ToLower(v), " ")
	v = regexp.MustCompile(`\b0(\d:)`).ReplaceAllString(v, "$1")
	f := strings.Fields(slotForms.Replace(strings.ReplaceAll(v, ",", " ")))
	for i := range f {
		f[i] = strings.TrimSuffix(f[i], "s")
	}
	return strings.Join(f, " ")
}

// TestSentencesReached holds that each sentence in which a reading is said in full is
// that of some wording: one that is never said does nothing.
func TestSentencesReached(t *testing.T) {
	all, err := rank.WordingsIn(os.DirFS("language/wordings"))
	if err != nil {
		t.Fatal(err)
	}
	all = append(all, rank.Wording{Input: rank.Input{Text: "both get only rice for dinner", Dogs: []string{"Pip", "Juniper"}}, Says: []rank.Said{{Intent: "fed.other"}}})
	said := map[string]bool{"recipe.set.fat0": true} // asked by the recipes
	waiting := map[string][]int{}
	for intent, lines := range fullLines() {
		for at := range lines {
			waiting[intent] = append(waiting[intent], at)
		}
	}
	for i := range all {
		for _, s := range all[i].Says {
			if s.Intent == "recipe.swap" {
				said["recipe.swap0"] = true // of the balance
			}
			if !slices.ContainsFunc(waiting[s.Intent], func(at int) bool { return !said[fmt.Sprint(s.Intent, at)] }) {
				continue
			}
			found := slots.In(strings.TrimSpace(span.Clean(all[i].Text)), contextOf(&all[i])).Of(s.Intent)
			if at := slices.IndexFunc(fullLines()[s.Intent], func(l fullLine) bool { _, is := l.fill(found); return is }); at >= 0 {
				said[fmt.Sprint(s.Intent, at)] = true
			}
		}
	}
	for intent, lines := range fullLines() {
		for at, l := range lines {
			if !said[fmt.Sprint(intent, at)] {
				t.Errorf("%s: %s", intent, l.sentence)
			}
		}
	}
}
