package bot

import (
	"math"
	"strings"
	"time"
	"unicode/utf8"

	"bowlwright/bot/read"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/store"
)

// treatShare is the most of a day's kcal that treats should make up (AAHA and
// WSAVA nutrition guidelines, from memory).
const treatShare = 0.1

// treatWords takes what a carer says of treats, and reports whether it was
// that.
func (t *turn) treatWords(s string) bool {
	said, ok := read.Treat(s, t.names())
	if !ok || len(t.home.Dogs) == 0 {
		return false
	}
	if said.Each == 0 {
		if said.Rest == "" {
			t.sayMsg("treat.ask")
			return true
		}
		if !t.weighTreat(&said) {
			return true
		}
	}
	total := said.Each * nutrition.Kcal(said.Pieces)
	if !(total > 0 && total <= mostTreat && said.Pieces <= 100) {
		t.sayMsg("treat.absurd", "kcal", trim(float64(total), 0))
		return true
	}
	if said.Dog == "" && len(t.home.Dogs) == 1 {
		said.Dog = t.home.Dogs[0].ID
	}
	if d := t.dog(said.Dog); d != nil {
		t.giveTreat(d, total, said.Pieces, said.What)
		return true
	}
	out := t.sayMsg("treat.which", "kcal", kcal(total))
	what := said.What
	for len(what) > 20 { // a button holds 64 bytes
		_, size := utf8.DecodeLastRuneInString(what)
		what = what[:len(what)-size]
	}
	what = strings.ReplaceAll(what, ":", " ")
	for i := range t.home.Dogs {
		d := &t.home.Dogs[i]
		out.offer(t.button(d.Name, "treat", "give", d.ID, trim(float64(total), 1), trim(said.Pieces, 1), what))
	}
	return true
}

// mostTreat is more than any treat holds, in kcal.
const mostTreat = 5000

// weighTreat works out the kcal of a treat that is named by its weight. It
// says what is wrong where it cannot.
func (t *turn) weighTreat(said *read.TreatSaid) bool {
	got := read.RecipeText(said.Rest, t.foods)
	if len(got.Problems) > 0 || len(got.Lines) != 1 || got.Lines[0].Ingredient == nil {
		if found := t.foods.Find(said.Rest); found.Refused != nil {
			t.sayRefused(found.Refused)
			return false
		}
		t.sayMsg("treat.unknown", "text", short(said.Rest))
		return false
	}
	in := got.Lines[0].Ingredient
	f := t.foods.Food(in.Food)
	if f == nil || f.Per100[nutrition.Energy].IsUnknown() {
		t.sayMsg("treat.unknown", "text", short(said.Rest))
		return false
	}
	said.Each = nutrition.Kcal(f.Per100[nutrition.Energy].Mid * float64(in.Grams) / 100)
	said.Pieces, said.What = 1, exactMass(in.Grams, t.home.Units)+" "+f.Name
	return true
}

// giveTreat enters a treat and says the day's total against a tenth of the
// day's kcal.
func (t *turn) giveTreat(d *planner.Dog, total nutrition.Kcal, pieces float64, what string) {
	t.talk.Dog = d.ID
	t.mutate("did.treat", d.Name)
	t.note(planner.Entry{Kind: planner.Treat, Dog: d.ID, Kcal: total, Amount: pieces, Text: what})
	sum := t.treatsOn(d, t.date())
	need := planner.AmountOf(*d, t.event.At).Kcal
	most := need * treatShare
	key := "treat.sum"
	if sum > most {
		key = "treat.over"
	}
	off := ""
	if read.SaysDaily(t.event.Text) {
		off = msg("treat.today-only")
	}
	if d.TreatsOff {
		off = joinParas(off, msg("treat.off-next"))
	}
	out := t.say(para(msg(key, "dog", d.Name, "kcal", kcal(total), "sum", kcal(sum), "most", kcal(most), "share", percent(float64(sum/need)))), para(off))
	if d.TreatsOff {
		out.offer(t.undoButton(), t.button(msg("button.treats-on"), "treat", "keep", d.ID))
		return
	}
	out.offer(t.undoButton(), t.button(msg("button.treats-off"), "treat", "off", d.ID))
}

// sayTreatsLeft says how many kcal of treats a dog may still have today.
func (t *turn) sayTreatsLeft(d *planner.Dog) {
	need := planner.AmountOf(*d, t.event.At).Kcal
	sum := t.treatsOn(d, t.date())
	most := nutrition.Kcal(math.Round(float64(need*treatShare)/5) * 5) // so that what is left adds up as it is told
	t.say(para(msg("treat.left", "dog", d.Name, "left", kcal(max(most-sum, 0)), "sum", kcal(sum), "most", kcal(most))),
		para(t.gateText(*d, planner.AmountOf(*d, t.event.At))))
}

// treatsOn are the kcal of a dog's treats on a day.
func (t *turn) treatsOn(d *planner.Dog, day planner.Date) (sum nutrition.Kcal) {
	from := planner.Instant(day, 0, t.event.At.Location())
	for _, e := range t.entries(store.EntryQuery{Dog: d.ID, Kinds: []planner.EntryKind{planner.Treat}, From: from.Add(-24 * time.Hour), To: from.Add(48 * time.Hour)}) {
		if e.Date == day {
			sum += e.Kcal
		}
	}
	return sum
}

// pressTreat gives the treat to the dog that was chosen, or turns taking
// treats off the bowl on and off.
func (t *turn) pressTreat(args []string) {
	d := t.dog(arg(args, 1))
	if d == nil {
		t.sayMsg("press.gone")
		return
	}
	switch arg(args, 0) {
	case "give":
		total, err := read.Number(arg(args, 2))
		pieces, err2 := read.Number(arg(args, 3))
		if err != nil || err2 != nil || !(total > 0 && total <= mostTreat) {
			t.sayMsg("press.stale")
			return
		}
		t.giveTreat(d, nutrition.Kcal(total), pieces, arg(args, 4))
	case "off", "keep":
		t.mutate("did.treats-off", d.Name)
		d.TreatsOff = arg(args, 0) == "off"
		t.say(para(msg(choose(d.TreatsOff, "treat.now-off", "treat.now-kept"), "dog", d.Name))).offer(t.undoButton())
	default:
		t.sayMsg("press.stale")
	}
}
