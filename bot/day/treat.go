package day

import (
	"math"
	"strings"
	"time"
	"unicode/utf8"

	"bowlwright/bot/dogs"
	"bowlwright/bot/read"
	"bowlwright/bot/read/foodline"
	"bowlwright/bot/read/span"
	"bowlwright/bot/recipes"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/store"
)

// TreatWords takes what a carer says of treats, and reports whether it was
// that.
func TreatWords(t *talk.Turn, s string) bool {
	said, ok := read.Treat(s, t.Names())
	if !ok || len(t.Home.Dogs) == 0 || read.ChangesFood(s) {
		return false
	}
	if said.Each == 0 {
		if said.Rest == "" {
			t.SayMsg("treat.ask")
			return true
		}
		if !weighTreat(t, &said) {
			return true
		}
	}
	total := said.Each * nutrition.Kcal(said.Pieces)
	if !(total > 0 && total <= mostTreat && said.Pieces <= 100) {
		t.SayMsg("treat.absurd", "kcal", say.Trim(float64(total), 0))
		return true
	}
	if said.Dog == "" && len(t.Home.Dogs) == 1 {
		said.Dog = t.Home.Dogs[0].ID
	}
	if d := t.Dog(said.Dog); d != nil {
		giveTreat(t, d, total, said.Pieces, said.What)
		return true
	}
	what := said.What
	for len(what) > 20 { // a button holds 64 bytes
		_, size := utf8.DecodeLastRuneInString(what)
		what = what[:len(what)-size]
	}
	what = strings.ReplaceAll(what, ":", " ")
	t.OfferDogs(t.SayMsg("treat.which", "kcal", say.Kcal(total)), "treat", "give", say.Trim(float64(total), 1), say.Trim(said.Pieces, 1), what)
	return true
}

// mostTreat is more than any treat holds, in kcal.
const mostTreat = 5000

// weighTreat works out the kcal of a treat that is named by its weight. It
// says what is wrong where it cannot.
func weighTreat(t *talk.Turn, said *read.TreatSaid) bool {
	got := foodline.RecipeText(said.Rest, t.Foods)
	if len(got.Problems) > 0 || len(got.Lines) != 1 || got.Lines[0].Ingredient == nil {
		if found := t.Foods.Find(said.Rest); found.Refused != nil {
			recipes.SayRefused(t, found.Refused)
			return false
		}
		t.SayMsg("treat.unknown", "text", say.Short(said.Rest))
		return false
	}
	in := got.Lines[0].Ingredient
	f := t.Foods.Food(in.Food)
	if f == nil || f.Per100[nutrition.Energy].IsUnknown() {
		t.SayMsg("treat.unknown", "text", say.Short(said.Rest))
		return false
	}
	said.Each = nutrition.Kcal(f.Per100[nutrition.Energy].Mid * float64(in.Grams) / 100)
	said.Pieces, said.What = 1, say.ExactMass(in.Grams, t.Home.Units)+" "+f.Name
	return true
}

// giveTreat enters a treat and says the day's total against a tenth of the
// day's kcal.
func giveTreat(t *talk.Turn, d *planner.Dog, total nutrition.Kcal, pieces float64, what string) {
	t.Talk.Dog = d.ID
	t.Mutate("did.treat", d.Name)
	t.Note(planner.Entry{Kind: planner.Treat, Dog: d.ID, Kcal: total, Amount: pieces, Text: what})
	sum := treatsOn(t, d, t.Date())
	need := planner.AmountOf(*d, t.Event.At).Kcal
	most := need * planner.TreatShare
	key := "treat.sum"
	if sum > most {
		key = "treat.over"
	}
	off := say.Where(read.SaysDaily(t.Event.Text), msg("treat.today-only"))
	if d.TreatsOff {
		off = say.JoinParas(off, msg("treat.off-next"))
	}
	out := t.Say(say.Para(msg(key, "dog", d.Name, "kcal", say.Kcal(total), "sum", say.Kcal(sum), "most", say.Kcal(most), "share", say.Percent(float64(sum/need)))), say.Para(off))
	if d.TreatsOff {
		out.Offer(t.UndoButton(), t.Button(msg("button.treats-on"), "treat", "keep", d.ID))
		return
	}
	out.Offer(t.UndoButton(), t.Button(msg("button.treats-off"), "treat", "off", d.ID))
}

// sayTreatsLeft says how many kcal of treats a dog may still have today.
func sayTreatsLeft(t *talk.Turn, d *planner.Dog) {
	need := planner.AmountOf(*d, t.Event.At).Kcal
	sum := treatsOn(t, d, t.Date())
	most := nutrition.Kcal(math.Round(float64(need*planner.TreatShare)/5) * 5) // so that what is left adds up as it is told
	t.Say(say.Para(msg("treat.left", "dog", d.Name, "left", say.Kcal(max(most-sum, 0)), "sum", say.Kcal(sum), "most", say.Kcal(most))),
		say.Whole(dogs.GateText(*d, planner.AmountOf(*d, t.Event.At))))
}

// treatsOn are the kcal of a dog's treats on a day.
func treatsOn(t *talk.Turn, d *planner.Dog, day planner.Date) (sum nutrition.Kcal) {
	from := planner.Instant(day, 0, t.Event.At.Location())
	for _, e := range t.Entries(store.EntryQuery{Dog: d.ID, Kinds: []planner.EntryKind{planner.Treat}, From: from.Add(-24 * time.Hour), To: from.Add(48 * time.Hour)}) {
		if e.Date == day {
			sum += e.Kcal
		}
	}
	return sum
}

// pressTreat gives the treat to the dog that was chosen, or turns taking
// treats off the bowl on and off.
func pressTreat(t *talk.Turn, args []string) {
	d := t.Dog(talk.Arg(args, 1))
	if d == nil {
		t.SayMsg("press.gone")
		return
	}
	switch talk.Arg(args, 0) {
	case "give":
		total, err := span.Number(talk.Arg(args, 2))
		pieces, err2 := span.Number(talk.Arg(args, 3))
		if err != nil || err2 != nil || !(total > 0 && total <= mostTreat) {
			t.SayMsg("press.stale")
			return
		}
		giveTreat(t, d, nutrition.Kcal(total), pieces, talk.Arg(args, 4))
	case "off", "keep":
		t.Mutate("did.treats-off", d.Name)
		d.TreatsOff = talk.Arg(args, 0) == "off"
		t.Say(say.Para(msg(say.Choose(d.TreatsOff, "treat.now-off", "treat.now-kept"), "dog", d.Name))).Offer(t.UndoButton())
	default:
		t.SayMsg("press.stale")
	}
}
