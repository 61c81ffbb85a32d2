package bot

import (
	"slices"
	"strings"
	"testing"

	"bowlwright/bot/say"
)

// grams are the foods of a recipe with their amounts, as kept.
func (k *talker) grams(recipe string) (out []string) {
	k.t.Helper()
	for _, r := range k.home().Recipes {
		for _, in := range r.Ingredients {
			if r.Name == recipe {
				out = append(out, in.Food+" "+say.Trim(float64(in.Grams), 0))
			}
		}
	}
	return out
}

// TestBareNumberIsAsked holds that "chicken liver 50" becomes no 50 livers.
func TestBareNumberIsAsked(t *testing.T) {
	k := newTalker(t)
	k.say("dog Juniper 19.6 kg 4 years")
	rs := k.say("my recipe:\n150 g beef heart\nchicken liver 50\n12 eggs\nchicken liver 60")
	if got := textOf(rs); !strings.Contains(got, "50 g, or 50 pieces?") || strings.Contains(got, "g chicken liver (") {
		t.Fatalf("read: %s", got)
	}
	k.send(k.event("", labelled(t, rs, "50 g")))
	k.say("60 g")
	k.say("turkey heart 70")
	k.say("grams")
	k.say("Beef bowl") // "my recipe" names nothing
	got := k.grams("Beef bowl")
	if len(got) != 5 || !slices.Contains(got, "turkey-heart 70") || got[0] != "beef-heart 150" || !slices.Contains(got, "chicken-liver 50") || !slices.Contains(got, "chicken-liver 60") {
		t.Errorf("kept: %v", got)
	}
}

// TestRecipeChangedInWords changes a recipe by sentences, kept and while its
// lines are typed.
func TestRecipeChangedInWords(t *testing.T) {
	k := newTalker(t)
	k.say("dog Juniper 19.6 kg 4 years")
	k.say("recipe Beef bowl")
	k.say("150 g beef heart")
	k.say("100 g kale, cooked")
	k.say("80 g snark")
	k.say("change the heart to 140 g")
	k.say("remove the kale")
	k.say("leave it out")
	k.say("40 g lamb liver")
	k.say("save")
	want := []string{"beef-heart 140", "lamb-liver 40"}
	if got := k.grams("Beef bowl"); !slices.Equal(got, want) {
		t.Fatalf("typed: %v, want %v", got, want)
	}
	k.say("change the liver to 30 g")
	if got := textOf(k.say("leave out the unicorn")); !strings.Contains(got, "There's no unicorn in Beef bowl") {
		t.Errorf("no such line: %s", got)
	}
	k.say("take the heart out of the beef bowl")
	if got := k.grams("Beef bowl"); !slices.Equal(got, []string{"lamb-liver 30"}) {
		t.Errorf("changed: %v", got)
	}
	k.say("undo")
	if got := k.grams("Beef bowl"); !slices.Equal(got, []string{"beef-heart 140", "lamb-liver 30"}) {
		t.Errorf("taken back: %v", got)
	}
}
