package bot

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"bowlwright/bot/say"
)

// newPuppy is a household with one puppy, born ten weeks before the first of
// March.
func newPuppy(t *testing.T, rest string) *scales {
	k := newScales(t)
	k.types("remove Bracken")
	k.types("dog Pip " + rest)
	return k
}

// pip weighs Pip on a day.
func (k *scales) pip(day int, kg float64) []say.Reply {
	k.day(day)
	return k.types(fmt.Sprintf("Pip %.2f", kg))
}

// wantNoFood holds that nothing of other food is offered.
func (k *scales) wantNoFood(rs []say.Reply) {
	k.t.Helper()
	for _, l := range labels(rs) {
		if l == "Apply" || l == "Keep" || strings.HasPrefix(l, "Begin") {
			k.t.Errorf("offers %q", l)
		}
	}
	if text := textOf(rs); strings.Contains(text, "would fit better") || strings.Contains(text, "own need") {
		k.t.Errorf("suggests food: %s", text)
	}
}

// TestGrowthAnswers says where a weight lies. The band of a dog of 6.5 kg at 12
// weeks is 2.0 to 3.6 kg, at 13 weeks 2.3 to 3.9.
func TestGrowthAnswers(t *testing.T) {
	const born = "born 21 December 2025 female 5/9 adult weight 6.5 kg" // 1 March: ten weeks
	for _, c := range []struct {
		name      string
		kg        []float64 // of days 0, 7, 14, 21
		want, not string
		vet       bool
	}{
		{"within", []float64{1.9, 2.2, 2.5, 2.8}, "At 13 weeks that's within what's usual for a dog of 6.5 kg grown: 2.3-3.9 kg.", "vet judge", false},
		{"below", []float64{1.6, 1.7, 1.8, 1.9}, "below what's usual for a dog of 6.5 kg grown: 2.3-3.9 kg. Please let a vet judge that; the food stays as it is until then.", "", true},
		{"above", []float64{2.9, 3.3, 3.8, 4.3}, "above what's usual for a dog of 6.5 kg grown: 2.3-3.9 kg. Please let a vet judge that; the food stays as it is until then.", "", true},
		{"falls", []float64{1.9, 2.2, 2.7, 2.5}, "Pip has lost 7.4 % since Sun 15 Mar.", "gains", true},
	} {
		t.Run(c.name, func(t *testing.T) {
			k := newPuppy(t, fmt.Sprintf("%.1f kg %s", c.kg[0], born))
			var rs []say.Reply
			guides := 0 // what the band is worth is said once, and beside each vet line
			for i, kg := range c.kg[1:] {
				rs = k.pip(7*(i+1), kg)
				guides += strings.Count(textOf(rs), "A guide from memory")
			}
			k.want(rs, c.want)
			if c.vet != strings.Contains(textOf(rs), "A guide from memory") || !c.vet && guides != 1 {
				t.Errorf("the guide is said %d times, the last time with %s", guides, textOf(rs))
			}
			if text := textOf(rs); c.not != "" && strings.Contains(text, c.not) {
				t.Errorf("says %q in %s", c.not, text)
			}
			if got := slices.Contains(labels(rs), "A vet has seen it"); got != c.vet {
				t.Errorf("a vet's button: %v", got)
			}
			k.wantNoFood(rs)
			text := textOf(rs)
			vet, food := strings.Index(text, "a vet"), strings.Index(text, "kcal")
			if c.vet && (vet < 0 || food >= 0 && food < vet) {
				t.Errorf("the vet after food: %s", text)
			}
			for _, ask := range []string{"how is Pip growing?", "show Pip's trend", "Pip's weight", "is the amount right for Pip?"} {
				rs := k.types(ask)
				k.want(rs, c.want)
				k.wantNoFood(rs)
			}
		})
	}
}

// TestGrowthLarge: a large dog that rises fast through its band is for a vet,
// until one has seen it.
func TestGrowthLarge(t *testing.T) {
	k := newPuppy(t, "4.6 kg born 4 January 2026 male 5/9 adult weight 33 kg")
	var rs []say.Reply
	for i, kg := range []float64{5.5, 6.7, 8.3, 10.2, 12.6} {
		rs = k.pip(7*(i+1), kg)
	}
	k.want(rs, "rising fast through the usual range", "joints")
	k.wantNoFood(rs)
	k.presses(k.presses(k.presses(rs, "A vet has seen it"), "Today"), "Nothing")
	if rs = k.pip(42, 14.2); strings.Contains(textOf(rs), "joints") {
		t.Errorf("after a vet has seen it: %s", textOf(rs))
	}
}

// TestGrownWeightAsked asks for the grown weight once, opens no dialogue by it,
// and takes no weigh-in for an answer.
func TestGrownWeightAsked(t *testing.T) {
	k := newPuppy(t, "1.9 kg born 21 December 2025 female 5/9")
	rs := k.pip(7, 2.2)
	k.want(rs, "What will Pip weigh when grown?")
	if rs = k.pip(14, 2.5); strings.Contains(textOf(rs), "What will Pip weigh") {
		t.Errorf("asked twice: %s", textOf(rs))
	}
	k.want(rs, "whether that's usual without a grown weight", "Pip is gaining 300 g a week")
	k.want(k.presses(rs, "Don't know"), "weight gain a week")

	k.presses(rs, "Grown weight")
	k.want(k.types("how is Pip growing?"), "usual without") // a question in between is answered
	k.want(k.types("lots"), "lots")
	k.want(k.types("1.5 kg"), "already weighs 2.5 kg")
	k.day(21)
	k.want(k.types("Pip 2.8"), "Pip 2.8 kg") // the question is a week old
	k.presses(k.types("how is Pip growing?"), "Grown weight")
	k.day(28)
	k.types("3.1 kg")
	if d := k.dog("Pip"); d.AdultWeight != 0 {
		t.Errorf("took a weigh-in for the grown weight: %v", d.AdultWeight)
	}
	k.presses(k.types("how is Pip growing?"), "Grown weight")
	k.want(k.types("6.5"), "Pip should weigh 6.5 kg when grown.", "within what's usual")
	if d := k.dog("Pip"); d.AdultWeight != 6.5 {
		t.Errorf("%v kg", d.AdultWeight)
	}
	k.types("/undo")
	if d := k.dog("Pip"); d.AdultWeight != 0 {
		t.Errorf("after Undo %v kg", d.AdultWeight)
	}
	k.want(k.types("Pip will weigh 6.5 kg when grown"), "Pip should weigh 6.5 kg")
	k.presses(k.types("Juniper will weigh 30 kg when grown"), "Set the ideal weight")
}

// TestGrowthGaps says why there is no band, or how wide it is.
func TestGrowthGaps(t *testing.T) {
	for _, c := range []struct{ rest, want string }{
		{"1.2 kg born 25 January 2026 5/9 adult weight 6.5 kg", "Under 8 weeks I don't know what's usual"},
		{"2 kg 5/9 adult weight 6.5 kg", "usual without a birth date"},
		{"2 kg 10 weeks 5/9 adult weight 6.5 kg", "only roughly known"},
		{"6.2 kg born 25 February 2025 5/9 adult weight 26 kg", "below what's usual for a dog of 26 kg"},
	} {
		k := newPuppy(t, c.rest)
		rs := k.types("how is Pip growing?")
		k.want(rs, c.want)
		k.wantNoFood(rs)
	}
	k := newPuppy(t, "1.9 kg born 21 December 2025 female kidney disease 5/9 adult weight 6.5 kg")
	text := textOf(k.pip(7, 2.2))
	if ill, place := strings.Index(text, "vet"), strings.Index(text, "within"); ill < 0 || place < ill {
		t.Errorf("illness is graver: %s", text)
	}
	k.want(k.types("how is Juniper growing?"), "Juniper is grown")
	k.types("dog Rex 12 kg female")
	k.presses(k.types("how is Rex growing?"), "Birth date")
	k.want(k.types("4 months"), "4 months")
	k.want(k.types("how is Rex growing?"), "What will Rex weigh when grown?")
}

// TestGrowthPounds keeps to the household's units.
func TestGrowthPounds(t *testing.T) {
	k := newPuppy(t, "1.9 kg born 21 December 2025 female 5/9 adult weight 6.5 kg")
	k.types("use pounds")
	k.day(7)
	k.want(k.types("Pip 4.9 lb"), "Pip 4.9 lb", "a dog of 14.3 lb grown: 4-7.2 lb", "gaining 0.7 lb a week")
}
