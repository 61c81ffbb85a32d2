package dogs

import (
	"cmp"
	"math"
	"slices"
	"strconv"
	"strings"

	"bowlwright/bot/read"
	"bowlwright/bot/read/span"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/planner/illness"
)

// IDOf is a dog's id in a button, "-" for none; of a dog that was described in
// words it is the description: see dogIn.
func IDOf(d *planner.Dog) string {
	switch {
	case d == nil:
		return "-"
	case d.ID == "":
		return strings.Join([]string{DescribedMark, say.Trim(float64(d.Weight), 3), string(d.Activity), strconv.Itoa(d.Condition), string(d.Stage), say.Where(!d.Born.IsZero(), d.Born.Format(BornFormat))}, "/")
	}
	return d.ID
}

// Gated reports that no plan is made for a dog by itself: only a vet's.
func Gated(t *talk.Turn, d *planner.Dog) bool {
	return d != nil && planner.AmountOf(*d, t.Event.At).Gate != ""
}

// Excluder is what a dog may not have: what mayNot says, and the liver of ruminants and
// what else is rich in copper where it is of a breed that stores that. Without a dog, what
// any dog of the household may not have is no matter.
func Excluder(t *talk.Turn, d *planner.Dog) func(*nutrition.Food) bool {
	if d == nil {
		return nil
	}
	copper, not := d.StoresCopper, mayNot(d)
	return func(f *nutrition.Food) bool {
		return not(f) || copper && (nutrition.CopperLiver(f) || f.Per100[nutrition.Copper].High > richInCopper || f.Key == "copper")
	}
}

// richInCopper is above how many mg in 100 g a food is nothing for such a dog (our own
// choice: kale has 1.5, oysters have 1.6 to 5.7, beef liver 9.8).
const richInCopper = 1.5

// mayNot is what a dog's food is to be without: its exclusions, and spinach and its like
// where it gets bladder stones.
func mayNot(d *planner.Dog) func(*nutrition.Food) bool {
	words, stones := d.Excludes, slices.Contains(illness.In(d.Health), illness.BladderStones)
	return func(f *nutrition.Food) bool {
		return nutrition.Excluded(f, words) || stones && f.Has(nutrition.Oxalate)
	}
}

// DescribedMark begins what stands in a button for a dog that was described in
// words, in place of an id.
const DescribedMark = "~"

// BornFormat is how a birth stands in a button, where it is known.
const BornFormat = "060102"

// UnitsOf is the household's units, or those in which the amount was typed.
func UnitsOf(t *talk.Turn, s read.Sentence) planner.Units {
	if s.Imperial {
		return planner.Units{Ounces: true, Pounds: true}
	}
	return t.Home.Units
}

// DogOfWords is the dog that a sentence describes: "a 30 lb dog, low
// activity".
func DogOfWords(t *talk.Turn, s read.Sentence) planner.Dog {
	d := planner.Dog{Name: Describe(t, s), Weight: s.Weight, Activity: s.Activity, Condition: s.Condition}
	if s.Years > 0 {
		d.Born, d.BornAbout = t.Event.At.AddDate(0, -int(s.Years*12+0.5), 0), true
	}
	switch {
	case s.Stage == read.StagePuppy && s.Years == 0:
		d.Born, d.BornAbout = t.Event.At.AddDate(0, -5, 0), true // somewhere in its growth
	case s.Stage == read.StageSenior && s.Years == 0:
		d.Born, d.BornAbout = t.Event.At.AddDate(-9, 0, 0), true
	case s.Stage == read.StageOverweight:
		d.Condition = cmp.Or(s.Condition, 7)
	case s.Stage == read.StagePregnant || s.Stage == read.StageNursing:
		d.Stage = planner.Stage(s.Stage)
	}
	mealsForAge(t, &d)
	return d
}

// IllInWords points to the vet where a dog is described as ill, and reports
// whether it was.
func IllInWords(t *talk.Turn, s read.Sentence) bool {
	ill := s.Stage == read.StageIll
	if ill {
		t.SayMsg("gate.illness-words")
	}
	return ill
}

// Describe repeats the dog that a sentence describes.
func Describe(t *talk.Turn, s read.Sentence) string {
	weight := say.BodyWeight(s.Weight, UnitsOf(t, s))
	text := msg("eater.weight", "a", article(weight), "weight", weight)
	if s.Stage != "" {
		text += ", " + s.Stage
	}
	switch months := math.Round(s.Years * 12); {
	case months > 0 && months < 24:
		text += ", " + msg("age.months", "n", int(months))
	case s.Years > 0:
		text += ", " + msg("age.years", "n", say.Trim(s.Years, 1))
	}
	if s.Activity != "" {
		text += ", " + msg("activity-short."+string(s.Activity))
	}
	return text
}

// article is what stands before a number that is spoken: "an 8 kg dog".
func article(number string) string {
	whole, _, _ := strings.Cut(number, " ")
	whole, _, _ = strings.Cut(whole, ".")
	return say.Choose(strings.HasPrefix(whole, "8") || whole == "11" || whole == "18", "an", "a")
}

// DropsDog takes back a dog whose profile is asked for ("beef isn't a dog", "stop asking
// about Beef"), and a dog that is named as one ("delete the dog called Beef") for that dog
// alone, whatever else is called so.
func DropsDog(t *talk.Turn, s string) bool {
	var draft dogDraft
	if t.Talk.Kind == "dog" {
		t.Draft(&draft)
	}
	called := read.Find("dog-called", s)
	said, name := read.Pattern("drops-dog").FindStringSubmatch(s), called
	if said != nil {
		name = cmp.Or(called, said[1])
	}
	own := draft.Dog.Name
	begun := t.Talk.Kind == "dog" && draft.Dog.ID == ""
	switch d := t.DogNamed(name); {
	case begun && (said != nil && (name == "" || strings.EqualFold(name, own)) || read.Says("no-dog", s) || own != "" && read.Says("drops", s) && read.HasName(s, own)):
		t.EndDialogue()
		t.SayMsg("dog.dropped", "dog", cmp.Or(own, msg("dog.it")))
	case said == nil && called == "", d == nil && called == "" && (name == "" || read.In("dog-things", strings.ToLower(name)) || !strings.HasSuffix(strings.Trim(s, " .!"), name)):
		return false
	case d == nil:
		t.SayMsg("dog.no-such", "name", span.Capital(name))
	default:
		askRemove(t, d)
	}
	return true
}
