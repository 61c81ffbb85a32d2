package day

import (
	"cmp"
	"slices"
	"strings"
	"time"

	"bowlwright/bot/read"
	"bowlwright/bot/read/span"
	"bowlwright/bot/recipes"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/store"
)

// movedWithin is for how long what was told of a dog may be said to be of another
// (our own choice).
const movedWithin = 2 * time.Hour

// OtherDog has what this carer told last be of the dogs that a text names and of none
// behind its "not", else of another, and reports whether that is clear: "no that was Pip",
// and where one message told it of several, "only Pip", "not Pip". Of which other it asks.
func OtherDog(t *talk.Turn, s string) bool {
	kinds := []planner.EntryKind{planner.Treat, planner.Fed, planner.NotFed, planner.Weighed, planner.Given}
	all := t.Entries(store.EntryQuery{Kinds: kinds, From: t.Event.At.AddDate(0, 0, -1), Newest: true, Limit: 20})
	all = slices.DeleteFunc(all, func(e planner.Entry) bool {
		told := e.Person == t.Event.Person || slices.ContainsFunc(justTold(t), func(was planner.Entry) bool { return was.ID == e.ID }) // of another's doing
		return t.Dog(e.Dog) == nil || !told || t.Event.At.Sub(e.Entered) > movedWithin
	})
	if len(all) == 0 || len(span.Mentions(s, t.Names().Dogs)) == 0 && strings.ContainsAny(s, "0123456789") { // it is of an amount
		return false
	}
	last := slices.MaxFunc(all, func(a, b planner.Entry) int { return a.Entered.Compare(b.Entered) })
	all = slices.DeleteFunc(all, func(e planner.Entry) bool { return e.Kind != last.Kind || !e.Entered.Equal(last.Entered) })
	if last.Kind == planner.Weighed || slices.ContainsFunc(t.LastChange().Removed, func(e planner.Entry) bool {
		return e.Entered.Equal(last.Entered)
	}) {
		return false
	}
	var yes, no, kept, gone []string
	for _, m := range span.Mentions(s, t.Names().Dogs) {
		if read.Says("but-not", s[:m.From]) {
			no = append(no, m.ID)
		} else {
			yes = append(yes, m.ID)
		}
	}
	var others []*planner.Dog
	for _, d := range t.Dogs() {
		told := slices.ContainsFunc(all, func(e planner.Entry) bool { return e.Dog == d.ID })
		is := slices.Contains(yes, d.ID) || len(yes) == 0 && len(no) > 0 && !slices.Contains(no, d.ID)
		switch {
		case told && is:
			kept = append(kept, d.Name)
		case told:
			gone = append(gone, d.Name)
		case d.Died.IsZero() && (is || len(yes) == 0):
			others = append(others, d)
		}
	}
	switch {
	case len(gone) > 0 && len(kept) > 0 && (len(yes) == 0 || len(others) == 0):
		t.Mutate("did.moved", say.List(kept))
		for _, e := range all {
			if !slices.Contains(gone, t.Dog(e.Dog).Name) {
				continue
			}
			t.Unnote(e)
			if _, r, ok := t.Home.Occurrence(e.Of); ok && r.Stock != nil {
				r.Stock.Add(e.Amount) // a dose that is still there
			}
		}
		talk.SayDone(t, msg("moved.done", "dog", say.List(kept), "other", say.List(gone), "what", msg("moved.was-"+string(last.Kind), "kcal", say.Kcal(last.Kcal))))
		return true
	case len(gone) > 0 && read.Says("undoes", s):
		t.GoTo(read.Sentence{Intent: read.Undo})
		return true
	case len(gone) != 1 || len(kept) > 0 || len(others) == 0 || last.Kind == planner.Given:
		return false
	case len(others) == 1:
		moveEntry(t, others[0], last.ID)
		return true
	}
	out := t.SayMsg("moved.which")
	for _, d := range others {
		out.Offer(t.Button(d.Name, "treat", "move", d.ID, last.ID))
	}
	return true
}

// justTold are the entries that came with the last change of the household, where this
// carer made it not long ago.
func justTold(t *talk.Turn) []planner.Entry {
	last := t.LastChange()
	if last.Person != t.Event.Person || t.Event.At.Sub(last.At) > movedWithin {
		return nil
	}
	return last.Added
}

// OtherAmount puts right how much a dog had of what was told last, or of what food, and
// reports whether a text does that: "no wait only half", "Pip only had 10", "no it was ham".
func OtherAmount(t *talk.Turn, s string) bool {
	if otherTime(t, s) {
		return true
	}
	whole := read.Says("ate-whole", s)
	amount, food := read.Find("other-amount", s), read.Find("other-food", s)
	named, all := read.DogsOf(s, t.Names()), slices.Clone(justTold(t))
	if was := read.Pattern("treat-was").FindStringSubmatch(s); was != nil { // "Pip's sausage was 80 g", of one told of lately
		amount, all = was[2], t.Entries(store.EntryQuery{Kinds: []planner.EntryKind{planner.Treat}, From: t.Event.At.AddDate(0, 0, -1), Newest: true, Limit: 20})
		all = slices.DeleteFunc(all, func(e planner.Entry) bool {
			return e.Person != t.Event.Person || t.Event.At.Sub(e.Entered) > movedWithin || !strings.Contains(strings.ToLower(e.Text), strings.TrimSuffix(strings.ToLower(was[1]), "s"))
		})
		told := t.Entries(store.EntryQuery{Kinds: []planner.EntryKind{planner.SignSeen}, From: t.Event.At.AddDate(0, 0, -1), Newest: true, Limit: 20})
		if len(all) == 0 && slices.ContainsFunc(told, func(e planner.Entry) bool { return read.HasName(e.Text, was[1]) }) { // what was stolen
			return AteServing(t, "", was[2]+" of "+was[1])
		}
	}
	part, _ := read.PartEaten(amount)
	_, grams := read.AmountOff(amount)
	all = slices.DeleteFunc(all, func(e planner.Entry) bool {
		return len(named) > 0 && !slices.Contains(named, e.Dog)
	})
	if amount+food == "" && !whole || len(all) != 1 || t.Dog(all[0].Dog) == nil || t.Talk.Kind == "recipe" || t.Talk.Kind != "" && part == 0 {
		return false
	}
	e := all[0]
	if whole { // "she ate all of it", after a part of it was told
		_, m := mealEaten(t, t.Dog(e.Dog))
		if e.Kind != planner.Fed || e.Text == "" || m == nil {
			return false
		}
		t.Mutate("did.fed", t.Dog(e.Dog).Name)
		e.Kcal, e.Recipe, e.Text = m.kcal(), m.Recipe.ID, ""
		sayAte(t, t.Dog(e.Dog), t.Note(e), m.kcal(), "", "")
		return true
	}
	d, had := t.Dog(e.Dog), read.Pattern("amount-of").FindStringSubmatch(e.Text)
	if e.Kind == planner.Fed && food == "" {
		if n, err := span.Number(amount); err == nil && part == 0 {
			grams = nutrition.Grams(n)
		}
		return t.As(d.Name+" ate "+amount, func() bool { answerAtePart(t, d, read.Sentence{Grams: grams}); return true })
	}
	if had == nil { // told in kcal
		had = []string{"", say.Trim(float64(e.Kcal), 0), " kcal", ""}
	}
	if whole, _ := span.Number(had[1]); part > 0 {
		amount = say.Trim(whole*part, 1)
	}
	said, _ := read.Treat("treat "+cmp.Or(amount, had[1])+say.Where(grams == 0, had[2])+" "+cmp.Or(food, had[3]), span.Names{})
	_, refused, ok := recipes.ServingOf(t, said.Rest)
	if e.Kind != planner.Treat || said.Each == 0 && !ok || refused != nil {
		return false
	}
	note := ""
	if said.Each == 0 {
		note, _ = weighTreat(t, &said)
	}
	t.Mutate("did.treat", d.Name)
	t.Unnote(e)
	giveTreat(t, d, said.Each, said.Pieces, said.What, note, e.Date)
	t.LastReply().Begin(msg("treat.not-so-much", "dog", d.Name, "what", cmp.Or(said.What, say.Kcal(said.Each)+" kcal"), "was", cmp.Or(e.Text, say.Kcal(e.Kcal)+" kcal")))
	return true
}

// otherTime puts right when the meals were that were told last, and reports whether a
// text does that: "it was at 7:20, not 2:30".
func otherTime(t *talk.Turn, s string) bool {
	told := slices.DeleteFunc(slices.Clone(justTold(t)), func(e planner.Entry) bool { return e.Kind != planner.Fed || t.Dog(e.Dog) == nil })
	if len(told) == 0 || t.Talk.Kind != "" {
		return false
	}
	for _, e := range told {
		times := clocksFed(t, t.Dog(e.Dog), read.Find("other-time", s))
		if len(times) != 1 {
			return false
		}
		e.At = planner.Instant(e.Date, times[0], t.Event.At.Location())
		t.Mutate("did.fed", t.Dog(e.Dog).Name)
		talk.SayDone(t, msg("due.done", "what", t.Dog(e.Dog).Name, "how", talk.EntryText(t, t.Note(e))))
	}
	return true
}

// NotHad takes a treat told of lately off the record that no dog is said to have had, of
// all to which one message gave it, and what was noted of it where that was no poison:
// "no bone meal!", "Pip did not eat cheese, remove it".
func NotHad(t *talk.Turn, s string) bool {
	what := read.Without("not-had", s)
	if what == s || t.Talk.Kind != "" {
		return false
	}
	_, _, named := talk.DogsIn(t, s)
	all := t.Entries(store.EntryQuery{Kinds: []planner.EntryKind{planner.Treat, planner.SignSeen}, From: t.Event.At.AddDate(0, 0, -1), Newest: true, Limit: 20})
	all = slices.DeleteFunc(all, func(e planner.Entry) bool {
		d, sign := t.Dog(e.Dog), e.Kind == planner.SignSeen
		return d == nil || read.Says("only-no", s) && !slices.ContainsFunc(justTold(t), func(was planner.Entry) bool { return was.ID == e.ID }) || what == "" && !sign || what != "" && sign && (t.Alarm(e.Text).CannotWait() || t.Alarm(s).NamesPassed()) || !strings.Contains(say.Kcal(e.Kcal)+" kcal "+strings.ToLower(e.Text), strings.TrimSuffix(strings.ToLower(what), "s")) || len(named) > 0 && !slices.Contains(named, d) || t.Event.At.Sub(e.Entered) > movedWithin
	})
	if len(all) > 0 && what == "" && t.Alarm(all[0].Text).CannotWait() {
		return false
	}
	for _, e := range all {
		if d := t.Dog(e.Dog); e.Entered.Equal(all[0].Entered) {
			t.Mutate("did.treat", d.Name)
			t.Unnote(e)
			t.Talk.Dog = d.ID
			sum := say.Where(e.Kind == planner.Treat, msg("treat.not-had", "dog", d.Name, "kcal", say.Kcal(e.Kcal), "sum", say.Kcal(treatsOn(t, d, e.Date))))
			talk.SayDone(t, say.JoinParas(msg("treat.off-record", "dog", d.Name, "what", cmp.Or(e.Text, say.Kcal(e.Kcal)+" kcal")), sum))
		}
	}
	return len(all) > 0
}

// moveEntry has an entry be of another dog: a meal, of that dog's meal at about the
// same time.
func moveEntry(t *talk.Turn, d *planner.Dog, id string) {
	e, ok := t.Entry(id)
	from := t.Dog(e.Dog)
	if talk.Gone(t, !ok || from == nil || d.ID == e.Dog) {
		return
	}
	t.Mutate("did.moved", d.Name)
	t.Unnote(e)
	e.ID, e.Dog = "", d.ID
	what := msg("moved.was-"+string(e.Kind), "kcal", say.Kcal(e.Kcal))
	if e.Kind != planner.Treat {
		e.Of, e.Kcal, e.Recipe = "", 0, ""
		meal := 0
		if o, due := mealAbout(t, d, e.At); due && len(talk.Answered(t, o)) == 0 {
			e.Of, e.Date, meal = o.ID, o.Date, mealAt(*d, o.Clock)
		}
		if m, _ := MealFor(t, d, e.Date, meal); m != nil && e.Kind == planner.Fed {
			e.Kcal, e.Recipe = m.kcal(), m.Recipe.ID
		}
	}
	t.Note(e)
	t.Talk.Dog = d.ID
	talk.SayDone(t, msg("moved.done", "dog", d.Name, "other", from.Name, "what", what))
}

// answerTheirs answers that a dog had another's bowl, of which it is not said how much: what
// of it that dog may not have, and a medicine that may have been in it, come first.
func answerTheirs(t *talk.Turn, is read.Sentence) {
	names := talk.Examples(t)
	names = append([]any{"without", names[1]}, names...)
	d, of := t.Dog(is.Dog), t.Dog(is.Other)
	if d == nil || of == nil || d == of { // "mixed up the bowls"
		t.SayMsg("fed.theirs", names...)
		return
	}
	t.Talk.Dog = d.ID
	names, harm := append([]any{"dog", d.Name, "without", of.Name}, names...), ""
	if r := t.Home.UsualOn(of, t.Date()); r != nil {
		names = append([]any{"recipe", r.Name}, names...)
		for i := 0; i < len(r.Ingredients) && harm == ""; i++ {
			harm = recipes.Against(t, d, t.FoodName(r.Ingredients[i].Food))
		}
	}
	dosed := of.Health != "" || slices.ContainsFunc(t.Home.Reminders, func(r planner.Reminder) bool { return r.Dog == of.ID && read.Says("medicine", r.Text) })
	first := say.JoinParas(harm, say.Where(dosed, msg("fed.theirs-dosed", "other", of.Name)))
	if n := len(t.Replies); is.Words != "" && t.As(is.Words, func() bool { return talk.Sentence(t, is.Words) }) && len(t.Replies) > n {
		each := planner.AmountOf(*of, t.Event.At).Kcal / nutrition.Kcal(talk.MealsOf(*of))
		for _, e := range t.Entries(store.EntryQuery{Dog: of.ID, Kinds: []planner.EntryKind{planner.Fed}, From: t.Event.At.Add(-saidWindow), Newest: true, Limit: 1}) {
			if short := each - e.Kcal; short > 0 && e.Kcal > 0 {
				t.Replies[n].Begin(first).Add(msg("fed.theirs-short", "other", of.Name, "kcal", say.Kcal(short)))
				giveTreat(t, d, short, 1, msg("fed.theirs-what", "other", of.Name), "", t.Date())
			}
		}
		return
	}
	t.Say(say.Whole(first), say.Para(msg("fed.theirs", names...)))
}

// TheirsWords counts for a dog what it had of another's bowl, and for the other what it got:
// "Rusty ate 275 g of her dinner", "Clem only got half because Rusty pinched the rest".
func TheirsWords(t *talk.Turn, s string) bool {
	_, said := read.Match("stole", s)
	whose := strings.ToLower(said["whose"])
	d, of, sex := t.DogNamed(said["thief"]), t.DogNamed(whose), read.SexSaid(whose)
	for _, o := range t.Living() {
		if he := read.SexSaid(said["thief"]); d == nil && he != "" && talk.MayBe(o, he) && o != of {
			d = o
		}
	}
	for _, o := range t.Living() {
		if theirs := strings.ToLower(o.Name) + "s"; of == nil && o != d && (theirs == strings.NewReplacer("'", "", "’", "").Replace(whose) || sex != "" && d != nil && talk.MayBe(o, sex) && !talk.MayBe(d, sex)) {
			of = o
		}
	}
	a := t.Alarm(s)
	if d == nil || of == nil || d == of || a.Signs || a.Eaten != nil || read.IsQuestion(s) || t.Talk.Kind != "" || len(span.Mentions(s, t.Names().Recipes)) > 0 {
		return false
	}
	answerTheirs(t, read.Sentence{Dog: d.ID, Other: of.ID, Words: of.Name + say.Choose(said["part"] != "", " left "+said["part"], " only ate "+said["ate"])})
	return true
}
