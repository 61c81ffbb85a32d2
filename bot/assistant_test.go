package bot

import (
	"context"
	"errors"
	"fmt"
	"os"
	"runtime/debug"
	"strings"
	"sync"
	"testing"
	"time"

	"bowlwright/bot/recipes"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/store"
	"bowlwright/store/storetest"
)

// TestMain lets garbage lie longer, as the program does.
func TestMain(m *testing.M) {
	debug.SetGCPercent(400)
	m.Run()
}

// TestEveryFoodIsAnswered asks of every food of the table, by default of each third,
// whether dogs may have it, in common wordings.
func TestEveryFoodIsAnswered(t *testing.T) {
	t.Parallel()
	w := newWorld(t)
	w.says("Ines", "dog Juniper 19.6 kg 4 years healthy")
	wordings, words := []string{"can dogs eat %s?", "can Juniper have %s?", "is %s safe for dogs?", "can she eat %s"}, rooms()
	for i, f := range nutrition.Default().Foods() {
		if f.Has(nutrition.Supplement) || i%3 > 0 && os.Getenv("BOWLWRIGHT_LONG") == "" {
			continue
		}
		asked := fmt.Sprintf(wordings[i%len(wordings)], f.Name)
		how := recipes.HowMay((&talk.Turn{Home: &planner.Household{}}), f)
		want, _, _ := strings.Cut(words.Words.Msg("may."+how, "food", f.Name, "kcal", "|"), "|")
		if got := text(w.says("Ines", asked)); !strings.HasPrefix(got, want) {
			t.Errorf("%s: %q", asked, got)
		}
	}
}

// refusedWords name each refused food as carers do (FEDIAF annex on risks of
// some human foods; FDA and veterinary poison-line lists, from memory).
var refusedWords = map[string]string{
	"grape": "grapes", "allium": "onion", "chocolate": "dark chocolate", "caffeine": "coffee", "xylitol": "xylitol gum",
	"macadamia": "macadamia nuts", "alcohol": "beer", "dough": "raw bread dough", "hops": "hops", "cooked-bone": "cooked chicken bones",
	"mould": "mouldy cheese", "avocado": "avocado", "nutmeg": "nutmeg", "salt-excess": "salt water", "fruit-stone": "cherry stones",
	"green-potato": "green potatoes", "rhubarb-leaf": "rhubarb leaves", "tartar": "cream of tartar", "star-fruit": "star fruit", "sulphite": "pet mince",
}

func TestEveryRefusedFoodIsRefused(t *testing.T) {
	t.Parallel()
	w := newWorld(t)
	w.says("Ines", "dog Juniper 19.6 kg 4 years healthy")
	for _, key := range nutrition.RefusalKeys {
		words, ok := refusedWords[key]
		if !ok {
			t.Errorf("no wording for %q", key)
			continue
		}
		for _, wording := range []string{"can dogs eat %s?", "can she have %s?", "is %s bad for dogs?"} {
			got := text(w.says("Ines", fmt.Sprintf(wording, words)))
			if !strings.HasPrefix(got, "No ") || !strings.Contains(got, rooms().Words.Msg("refuse."+key)) {
				t.Errorf("%s: %q", fmt.Sprintf(wording, words), got)
			}
		}
		if key == "sulphite" {
			continue // eaten once, it is nothing to call a vet for
		}
		got := w.says("Ines", "she ate some "+words)
		first := rooms().Words.Msg("urgent.now")
		if key == "cooked-bone" {
			first = rooms().Words.Msg("urgent.today") // where nothing more is told
		}
		if text := text(got); len(got) != 1 || !strings.HasPrefix(text, first+"\n"+rooms().Words.Msg("refuse."+key)+"\nDo not wait for signs") {
			t.Errorf("she ate some %s: %q", words, text)
		}
	}
}

// TestConcurrentEvents sends events of one household at once: none is lost.
func TestConcurrentEvents(t *testing.T) {
	w := newWorld(t)
	w.says("Ines", "dog Juniper 19.6 kg")
	const dogs = 20
	var wg sync.WaitGroup
	for i := range dogs {
		e := w.eventOf("Ines", fmt.Sprintf("dog Pup%c 10 kg", 'a'+i), "")
		wg.Go(func() {
			if err := w.a.Handle(context.Background(), e); err != nil {
				t.Error(err)
			}
		})
	}
	wg.Wait()
	w.read("x/Ines")
	wantText(t, w.says("Ines", "/dog"), fmt.Sprintf("%d dogs", dogs+1))
}

// TestTroubleIsSaidPlainly holds that no technical text reaches a person.
func TestTroubleIsSaidPlainly(t *testing.T) {
	for _, code := range []store.Code{store.Busy, store.ReadOnly, store.Full, store.Newer, store.Damaged, store.Internal, store.NotFound} {
		got := talk.TroubleText(&store.Error{Code: code, Op: "secret operation", Err: errors.New("secret cause")})
		if got == "" || strings.Contains(got, "secret") {
			t.Errorf("%s: %q", code, got)
		}
	}
	if got := talk.TroubleText(errors.New("secret")); got != rooms().Words.Msg("trouble.internal") {
		t.Errorf("an unknown error: %q", got)
	}
}

// BenchmarkMessage answers questions about a bowl and about recipes of twelve
// lines, store in memory.
func BenchmarkMessage(b *testing.B) {
	const lines = "\n300 g turkey thigh\n100 g beef heart\n40 g beef liver\n40 g beef kidney\n60 g Atlantic mackerel\n50 g kale\n50 g carrots\n2 g kelp powder\n3 g salmon oil\n3 g calcium carbonate\nvitamin E 200 IU every 3 days\n"
	for _, text := range []string{"how much Turkey for Juniper?", "compare Turkey with Other", "Turkey on dry matter", "ratios of Turkey", "why each food in Turkey"} {
		b.Run(text, func(b *testing.B) {
			a := NewAssistant(storetest.NewMemory(), nutrition.Default())
			send := func(i int, text string) {
				e := talk.Event{ID: fmt.Sprint(i), Chat: "c", Person: "p", Name: "Ines", At: time.Date(2026, 3, 2, 7, 30, 0, 0, time.UTC), Text: text}
				if err := a.Handle(context.Background(), e); err != nil {
					b.Fatal(err)
				}
			}
			send(-3, "dog Juniper 19.6 kg 4 years healthy")
			send(-2, "recipe Turkey:"+lines+"2 eggs")
			send(-1, "recipe Other:"+lines+"200 g lamb heart")
			for i := range b.N {
				send(i, text)
			}
		})
	}
}
