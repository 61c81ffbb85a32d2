package kitchen

import (
	"math"
	"strconv"
	"strings"

	"bowlwright/bot/read"
	"bowlwright/bot/read/span"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// cookedDraft is a pan that was weighed cooked, of which nobody has said what went in.
type cookedDraft struct {
	Recipe string          `json:"recipe"`
	Cooked nutrition.Grams `json:"cooked"`
}

// answerCookedOnly takes what a batch weighs cooked, or what part of its weight it
// lost, where what went in is not said: it was that batch that was worked out last,
// else it is asked. A part is of the recipe as it is written where there is none.
func answerCookedOnly(t *talk.Turn, s read.Sentence) {
	r, raw := batchOffered(t)
	if r == nil || s.Recipe != "" && r.ID != s.Recipe {
		if r, raw = talk.RecipeMeant(t, s), 0; r == nil {
			return
		}
	}
	if s.Factor > 0 {
		if sum, err := planner.TotalsOf(*r, t.Foods); raw == 0 && err == nil {
			raw = int(math.Round(float64(sum.Grams)))
		}
		s.Cooked = nutrition.Grams(float64(raw) * (1 - s.Factor))
	}
	if raw == 0 {
		askRaw(t, cookedDraft{r.ID, s.Cooked})
		return
	}
	answerCameOut(t, read.Sentence{Recipe: r.ID, Grams: nutrition.Grams(raw), Cooked: s.Cooked})
}

// askRaw asks what went into the pan.
func askRaw(t *talk.Turn, d cookedDraft) {
	t.Ask("cooked", "raw", d)
	t.SayMsg("cooked.ask-raw", "cooked", kilos(t, d.Cooked), "recipe", talk.RecipeName(t, d.Recipe)).Offer(t.StopButton())
}

func takeRaw(t *talk.Turn, d cookedDraft, in talk.Answer) {
	grams := panWeight(t, in.Text)
	if grams <= 0 {
		if t.Asked(in.Text) {
			t.Again(func() { askRaw(t, d) })
		} else {
			talk.Wrong(t, msg("cooked.no-raw", "text", say.Short(in.Value())), func() { askRaw(t, d) })
		}
		return
	}
	t.EndDialogue()
	answerCameOut(t, read.Sentence{Recipe: d.Recipe, Grams: grams, Cooked: d.Cooked})
}

// panWeight is what a text says that a pan weighs, and no more than that; 0 where it
// says something else. A bare number is in what pans are weighed in.
func panWeight(t *talk.Turn, s string) nutrition.Grams {
	words := strings.Fields(strings.ToLower(strings.Trim(s, " .!")))
	for len(words) > 1 && read.In("sum-leads", strings.Trim(words[0], ",")) {
		words = words[1:]
	}
	s = strings.Join(words, " ")
	if n, err := span.Number(s); err == nil {
		s += say.Choose(t.Home.Units.Ounces, " lb", say.Choose(n < 100, " kg", " g"))
	}
	if rest, grams := read.AmountOff(s); rest == "" {
		return grams
	}
	return 0
}

// unsureWeighed answers what was typed where it was asked whether an unusual weight is
// right: another weight takes its place; else what was said is done, and the weight can
// still be confirmed.
func unsureWeighed(t *talk.Turn, h *talk.NeitherYesNorNo) {
	args := h.Args[1:] // behind "cooked"
	raw, _ := strconv.Atoi(talk.Arg(args, 1))
	h.Taken = true
	t.Event.Text = h.Text
	if is, _, ok := read.SumSaid(h.Text); ok { // "sorry, it was 2.1"
		h.Text = is.Money.Sum
	}
	if cooked := panWeight(t, h.Text); cooked > 0 {
		answerCameOut(t, read.Sentence{Recipe: talk.Arg(args, 0), Grams: nutrition.Grams(raw), Cooked: cooked})
		return
	}
	t.RouteWords(h.Text)
	if len(t.Replies) > 0 {
		cooked, _ := strconv.Atoi(talk.Arg(args, 2))
		t.LastReply().Add(msg("cooked.not-kept", "raw", kilos(t, nutrition.Grams(raw)), "cooked", kilos(t, nutrition.Grams(cooked))))
		t.LastReply().Offer(t.Button(msg("button.that-is-right"), "packs", h.Args...))
	}
}

// panMended takes "no, it was 16.9 kg, not 15.9 kg" after a pan that was just weighed, and
// reports whether it was that.
func panMended(t *talk.Turn, s string) bool {
	if r, _ := batchOffered(t); r == nil {
		return false
	}
	got, ok := t.Understand(strings.Replace(strings.ToLower(s), "it was", "the batch was", 1))
	if !ok || got.Intent != read.CookedFix {
		return false
	}
	answerCookedFix(t, got)
	return true
}

// sameWeight is by how much a weight may differ from one that was told before and
// still be it (our own choice).
const sameWeight = 0.02

// answerCookedFix takes back what a pan was said to weigh, raw or cooked, and has the
// packs that were counted of it bring what they do by the right weight.
func answerCookedFix(t *talk.Turn, s read.Sentence) {
	is := func(grams int) bool {
		return grams > 0 && math.Abs(float64(grams)-float64(s.Cooked)) <= sameWeight*float64(grams)
	}
	for _, r := range t.Recipes() {
		raw, cooked := r.Cooking.Raw, r.Cooking.Cooked
		was, weighed := r.Yield()
		switch {
		case s.Recipe != "" && r.ID != s.Recipe || !weighed:
			continue
		case is(cooked):
			cooked = int(math.Round(float64(s.Grams)))
		case is(raw):
			raw = int(math.Round(float64(s.Grams)))
		default:
			continue
		}
		counted := false
		yield := float64(cooked) / float64(raw)
		for n := range t.Home.Packs {
			if l := &t.Home.Packs[n]; l.Recipe == r.ID && l.Raw == 0 && math.Abs(l.Yield-was) < 0.001 { // its button has a thousandth
				t.Mutate("did.yield", r.Name)
				l.Kcal *= nutrition.Kcal(was / yield)
				l.Yield, l.Warned, counted = yield, false, true
			}
		}
		if !counted {
			answerCameOut(t, read.Sentence{Recipe: r.ID, Grams: nutrition.Grams(raw), Cooked: nutrition.Grams(cooked)})
			return
		}
		r.Weigh(raw, cooked, t.Date())
		weighedNow(t, r, raw, cooked, false)
		t.Say(say.Para(msg("cooked.fixed", "raw", kilos(t, nutrition.Grams(raw)), "cooked", kilos(t, nutrition.Grams(cooked)), "recipe", r.Name, "yield", say.Trim(yield, 2))),
			say.Whole(shelvesText(t, shelvesOf(t, r.ID, "")))).Offer(t.UndoButton())
		return
	}
	t.SayMsg("cooked.how-much")
}
