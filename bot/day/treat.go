package day

import (
	"cmp"
	"math"
	"slices"
	"strings"
	"time"

	"bowlwright/bot/dogs"
	"bowlwright/bot/read"
	"bowlwright/bot/read/foodline"
	"bowlwright/bot/read/span"
	"bowlwright/bot/recipes"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/bot/weighing"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/store"
)

// TreatWords takes what a carer says of treats, and reports whether it was
// that.
func TreatWords(t *talk.Turn, s string) bool {
	said, ok := read.Treat(s, t.Names())
	if !ok || len(t.Home.Dogs) == 0 || read.Says("changes-food", s) {
		return false
	}
	if said.Each == 0 && weighing.SaidBeside(t, s) {
		return true // "Moose weighs 13.9 and had a carrot stick"
	}
	if foodline.LabelIn(s) != "" {
		t.GoTo(read.Sentence{Intent: read.AddFood})
		return true
	}
	switch got, _ := t.Understand(s); {
	case got.Intent == read.TreatsLeft: // "treats today"
		return talk.Sentence(t, s)
	case read.Without("not-had", s) != s:
		t.SayMsg("treat.none-such")
	case said.Each == 0 && said.Rest == "":
		t.SayMsg("treat.ask")
	default:
		head, beside := foodBeside(t, s, said)
		takeTreat(t, head)
		if beside.Rest != "" {
			takeTreat(t, beside)
		}
	}
	return true
}

// HadBeside takes an amount of a food of the table that a dog is said to have had: "he
// got half a tin of tuna". What is a meal, or of a food whose kcal nobody knows, it leaves.
func HadBeside(t *talk.Turn, s string) bool {
	words := withoutWhen(t, read.Find("had-beside", s))
	_, _, named := talk.DogsIn(t, s)
	_, _, others := talk.DogsIn(t, words)
	if words == "" || read.Says("other-meal", words) || len(named) > len(others)+1 && len(others) > 0 || len(named) == 0 && !read.SaysShe(s) && !read.Says("of-each", s) {
		return false
	}
	said := read.TreatSaid{Rest: words}
	if all := span.Mentions(s, t.Names().Dogs); len(all) > 0 { // who is named last may have had another part
		said.Dog = all[0].ID
	}
	return countIf(t, said, true)
}

// onlyShare reports that words say how much of something was eaten, and name nothing: the
// quarters of "no wait she ate three quarters" are no chicken.
func onlyShare(t *talk.Turn, words string) bool {
	all := span.Shares(words)
	if len(all) == 0 {
		return false
	}
	last := all[len(all)-1]
	return strings.Trim(words[last.To:], " .,!?") == "" && len(t.FoodsNamed(words[:last.From])) == 0
}

// takeTreat counts what was said of a treat, or asks which dog had it.
func takeTreat(t *talk.Turn, said read.TreatSaid) {
	note, parts := "", apart(t, said)
	if said = parts[0]; len(parts) > 1 {
		for _, p := range parts {
			if onlyShare(t, p.Rest) {
				t.Unused(p.Rest)
				continue
			}
			if of, g := span.Mentions(p.Rest, t.Names().Recipes), read.MassIn(p.Rest); len(of) == 1 && g > 0 { // "5 oz thighs and liver and a cup of green beans"
				t.GoTo(read.Sentence{Intent: read.AtePart, Dog: p.Dog, Recipe: of[0].ID, Grams: g})
				continue
			}
			takeTreat(t, p)
		}
		return
	}
	forEach := said.Each == 0 && read.Says("of-each", t.AsTyped()) // else of the pieces: "35 kcal each"
	if said.Each == 0 {
		ok := false
		if note, ok = weighTreat(t, &said); !ok {
			return
		}
	}
	total := said.Each * nutrition.Kcal(said.Pieces)
	if note == "" && said.Pieces > 1 && !read.Says("says-each", t.AsTyped()) {
		note = msg("treat.each", "n", say.Trim(said.Pieces, 1), "kcal", say.Kcal(said.Each)) // "4 biscuits, 50 kcal"
	}
	if !(total > 0 && total <= mostTreat && said.Pieces <= 100) {
		t.SayMsg("treat.absurd", "kcal", say.Trim(float64(total), 0))
		return
	}
	d := t.Dog(said.Dog)
	if d == nil && (len(t.Home.Dogs) == 1 || read.SaysShe(t.AsTyped())) {
		d = talk.TheDog(t)
	}
	day := t.Date()
	if days := read.DaysFed(t.OfDays(), t.Event.At); len(days) == 1 {
		day = days[0]
	}
	_, _, all := talk.DogsIn(t, t.AsTyped())
	if d != nil {
		all = []*planner.Dog{d}
	} else if len(all) == 0 && forEach {
		all = t.Living()
	}
	if d != nil || len(all) > 1 { // "gave them both an egg", "20 g cheddar each"
		for _, d := range all {
			giveTreat(t, d, total, said.Pieces, said.What, note, day)
		}
		return
	}
	what := strings.ToValidUTF8(said.What[:min(len(said.What), 20)], "") // a button holds 64 bytes
	what = strings.ReplaceAll(what, ":", " ")
	talk.OfferDogs(t, t.Say(say.Whole(note), say.Para(msg("treat.which", "kcal", say.Kcal(total)))), "treat", "give", say.Trim(float64(total), 1), say.Trim(said.Pieces, 1), what)
}

// withoutWhen is a text without the day that it tells of; that of a recipe's name stays.
func withoutWhen(t *talk.Turn, s string) string {
	bound, asTyped := span.BindNames(s, span.Names{Recipes: t.Names().Recipes})
	return asTyped(read.WithoutWhen(bound))
}

// apart parts several foods that a dog had: "10 g cheddar and a slice of apple".
func apart(t *talk.Turn, said read.TreatSaid) []read.TreatSaid {
	if said.Each > 0 {
		return []read.TreatSaid{said}
	}
	said.Rest = read.Without("no-food", withoutWhen(t, said.Rest))
	if _, refused, ok := recipes.ServingOf(t, said.Rest); ok || refused != nil {
		return []read.TreatSaid{said}
	}
	all := []read.TreatSaid{said}
	bound, asTyped := span.BindNames(said.Rest, span.Names{Recipes: t.Names().Recipes})
	for i, part := range read.Servings(bound) {
		said.Rest = asTyped(read.WithoutBit(part))
		all = append(all[:i], said)
	}
	return all
}

// countIf counts what was eaten where the kcal of all of it are known or, where some
// suffices, of any, and reports whether they are.
func countIf(t *talk.Turn, said read.TreatSaid, some bool) bool {
	all := apart(t, said)
	known := 0
	for _, p := range all {
		if s, refused, ok := recipes.ServingOf(t, p.Rest); ok && refused == nil && s.Energy.Mid > 0 {
			known++
		}
	}
	if known == 0 || known < len(all) && !some {
		return false
	}
	takeTreat(t, said)
	return true
}

// mostTreat is more than any treat holds, in kcal.
const mostTreat = 5000

// weighTreat works out the kcal of a treat named by its weight, pieces or slices, and
// returns what there is to say of that. It says what is wrong where it cannot.
func weighTreat(t *talk.Turn, said *read.TreatSaid) (note string, ok bool) {
	s, refused, ok := recipes.ServingOf(t, said.Rest)
	switch {
	case refused != nil:
		recipes.SayRefused(t, refused)
		return "", false
	case !ok:
		sayUnknown(t, t.Dog(said.Dog), said.Rest)
		return "", false
	}
	said.Each, said.Pieces, said.What = nutrition.Kcal(s.Energy.Mid), 1, strings.TrimSpace(say.Where(s.Grams > 0, say.ExactMass(s.Grams, t.Home.Units)+" ")+s.Name)
	return servingNote(t, s), true
}

// sayUnknown says that the kcal of what a dog had are not known, or its weight.
func sayUnknown(t *talk.Turn, d *planner.Dog, what string) {
	whose := ""
	if d != nil && len(t.Home.Dogs) > 1 {
		whose = msg("treat.whose", "dog", d.Name)
	}
	got := t.RecipeText(what).Problems
	known := len(got) == 1 && (got[0].Finding.Food != nil || len(got[0].Finding.Choices) > 0) // "2 cheese"
	t.Say(say.Whole(recipes.Against(t, cmp.Or(d, talk.TheDog(t)), what)), say.Whole(say.Where(read.Says("asks-bones", what), msg("food.bones"))), say.Para(msg(say.Choose(known, "treat.no-grams", "treat.unknown"), "text", say.Short(what), "whose", whose)))
}

// servingNote says how the kcal of a serving were come by, where that is not plain,
// and what may be in it.
func servingNote(t *talk.Turn, s recipes.Serving) string {
	var lines []string
	grams := say.Mass(s.Grams, t.Home.Units)
	switch {
	case s.Grams == 0: // told in kcal
	case s.Extra:
		lines = append(lines, msg("serving.rough", "food", s.Name, "grams", grams))
	case say.Kcal(nutrition.Kcal(s.Energy.Low)) != say.Kcal(nutrition.Kcal(s.Energy.High)):
		lines = append(lines, msg("serving.range", "food", s.Name, "grams", grams, "low", say.Kcal(nutrition.Kcal(s.Energy.Low)), "high", say.Kcal(nutrition.Kcal(s.Energy.High))))
	default:
		lines = append(lines, msg("serving.plain", "food", s.Name, "grams", grams))
	}
	if s.Extra {
		lines = append([]string{msg("serving.seasoned", "food", s.Name)}, lines...)
	}
	if f := t.Foods.Find(s.Name).Food; f != nil {
		for _, c := range nutrition.Cautions([]nutrition.Item{{Food: f, Grams: s.Grams}}, nutrition.CautionContext{}) {
			lines = append(lines, say.Where(c.Code == nutrition.XylitolCaution, recipes.CautionText(c, t.Foods)))
		}
	}
	if read.Says("bony-cut", s.Name) {
		lines = append([]string{msg("serving.bone")}, lines...)
	}
	return say.JoinParas(lines...)
}

// AteServing counts an amount of food that a dog had besides, and reports whether
// its kcal are known: "she stole a 300 g steak".
func AteServing(t *talk.Turn, dog, text string) bool {
	return text != "" && countIf(t, read.TreatSaid{Dog: dog, Rest: text}, false)
}

// answerAte counts what a dog was given besides: "gave her a boiled egg".
func answerAte(t *talk.Turn, s read.Sentence) {
	rest := read.Without("off-where", read.Pattern("other-meal").ReplaceAllString(s.Words, " ")) // "a carrot for tea", "off the counter"
	said := read.TreatSaid{Dog: s.Dog, Rest: strings.TrimSpace(rest)}
	for _, p := range apart(t, said) {
		if _, refused, _ := recipes.ServingOf(t, p.Rest); refused != nil { // it has eaten it
			t.Happened(talk.DangerEaten{Dog: t.Dog(p.Dog), Food: refused.Name})
			return
		}
	}
	takeTreat(t, said)
}

// giveTreat enters a treat and says the day's total against a tenth of the
// day's kcal. note is what there is to say of how much it was.
func giveTreat(t *talk.Turn, d *planner.Dog, total nutrition.Kcal, pieces float64, what, note string, day planner.Date) {
	t.Talk.Dog = d.ID
	t.Mutate("did.treat", d.Name)
	e := planner.Entry{Kind: planner.Treat, Dog: d.ID, Kcal: total, Amount: pieces, Text: what}
	if day != t.Date() {
		e.Date, e.At = day, planner.Instant(day, say.Noon, t.Event.At.Location())
	}
	same := slices.ContainsFunc(treatEntries(t, d, day), func(was planner.Entry) bool { return was.Text == what && was.Kcal == total && what != "" })
	e = t.Note(e)
	sum := treatsOn(t, d, day)
	n := planner.AmountOf(*d, t.Event.At)
	need := n.Kcal
	most, told := dogs.MostTreats(d, need)
	off := say.Where(read.Says("daily", t.Event.Text), msg("treat.today-only"))
	if d.TreatsOff {
		off = say.JoinParas(off, msg("treat.off-next"))
	}
	much := say.JoinParas(say.Where(same && total > most, msg("treat.again")), say.Where(total > need*muchAtOnce, msg("treat.much", "dog", d.Name)))
	out := t.Say(say.Whole(recipes.Against(t, d, what)), say.Whole(note), say.Para(msg(say.Choose(sum > most, "treat.over", "treat.sum")+say.Where(told, "-told"), "dog", d.Name, "day", askedDay(t, day), "kcal", say.Kcal(total), "sum", say.Kcal(sum), "most", say.Kcal(most), "share", say.Percent(float64(sum/need)))), say.Whole(much), say.Para(off))
	more := t.Button(msg("button.treats-off"), "treat", "off", d.ID)
	switch {
	case d.TreatsOff:
		more = t.Button(msg("button.treats-on"), "treat", "keep", d.ID)
	case total > most && day == t.Date() && n.Gate == "" && !d.Diabetic():
		more = t.Button(msg("button.less-next"), "treat", "less", d.ID, say.Trim(float64(total), 0))
	}
	out.Offer(t.UndoButton(), more)
	if day == t.Date() && total > need/nutrition.Kcal(2*talk.MealsOf(*d)) {
		out.Offer(t.Button(msg("button.was-meal"), "treat", "meal", d.ID, e.ID))
	}
}

// muchAtOnce is the part of a day's kcal from which something eaten besides may upset
// a stomach (our own choice).
const muchAtOnce = 0.4

// pressLess takes what a dog had besides off its next meals.
func pressLess(t *talk.Turn, d *planner.Dog, had float64) {
	kcal := nutrition.Kcal(had)
	n := planner.AmountOf(*d, t.Event.At)
	if talk.Stale(t, n.Gate != "" || d.Diabetic() || !(kcal > 0) || kcal > mostTreat) {
		return
	}
	meals := talk.MealsOf(*d)
	day, meal := nextMeal(t, d)
	each := n.Kcal / nutrition.Kcal(meals)
	if before := d.Less.At(day, meal, meals, each); before > 0 { // what the last was not made up for yet
		_, off := d.Less.Meals(meals, each)
		kcal += off - d.Less.Kcal + before
		kcal = max(kcal, before)
	}
	t.Mutate("did.less", d.Name)
	d.Less = planner.Less{Kcal: kcal, From: day, Meal: meal}
	count, off := d.Less.Meals(meals, each)
	left := say.Where(kcal-off > 1, msg("less.left", "kcal", say.Kcal(kcal-off)))
	t.InPlace(t.Say(say.Para(msg("less.set", "dog", d.Name, "n", count, "off", say.Kcal(off), "kcal", say.Kcal(each-d.Less.At(day, meal, meals, each)), "usual", say.Kcal(each))), say.Para(left)).Offer(t.UndoButton()))
}

// nextMeal is the day and the place in it of the first meal of a dog that is not answered
// and still to come, or of which a reminder that was sent not long ago still asks.
func nextMeal(t *talk.Turn, d *planner.Dog) (planner.Date, int) {
	today := t.Date()
	for i, m := range restOf(t, d) {
		if m.entry.Kind == "" && (m.at.After(t.Event.At) || m.due.ID != "" && m.at.After(t.Event.At.Add(-lateForPart))) {
			return today, i
		}
	}
	return today.AddDays(1), 0
}

// sayTreatsLeft says how many kcal of treats a dog may still have today, and which it had
// or, where days that were are named, those of them alone.
func sayTreatsLeft(t *talk.Turn, d *planner.Dog) {
	food := read.Find("may-have", t.OfDays()) // "can he have a bit of cheese?" asks of that too
	if found := t.Foods.Find(food); food != "" && (found.Food != nil || len(found.Choices) > 0) {
		t.GoTo(read.Sentence{Intent: read.CanEat, Dog: d.ID, Food: food})
		return
	}
	from, until, several := read.DaysAsked(t.OfDays(), t.Event.At)
	if !several {
		from, _, _ = read.DayAsked(t.OfDays(), t.Event.At)
		until = from
	}
	var rows []say.TableRow
	var had nutrition.Kcal
	for day := latest(from, until.AddDays(1-mostDaysFed)); !until.Before(day); day = day.AddDays(1) {
		for _, e := range treatEntries(t, d, day) {
			had += e.Kcal
			rows = append(rows, say.TableRow{Label: say.DayText(day) + " " + cmp.Or(e.Text, msg("fed.treat")), Cells: []string{shortEntry(t, e)}})
		}
	}
	if from.Before(t.Date()) {
		days := askedDay(t, from)
		if from != until {
			days = msg("treat.span", "from", say.DayText(from), "to", say.DayText(until))
		}
		t.Say(say.Para(msg("treat.had", "dog", d.Name, "days", days, "kcal", say.Kcal(had))), say.TableBlock(rows))
		return
	}
	need := planner.AmountOf(*d, t.Event.At).Kcal
	sum := treatsOn(t, d, t.Date())
	most, told := dogs.MostTreats(d, need)
	most = nutrition.Kcal(math.Round(float64(most)/5) * 5) // so that what is left adds up as it is told
	t.Say(say.Para(msg(say.Choose(told, "treat.left-told", "treat.left"), "dog", d.Name, "left", say.Kcal(max(most-sum, 0)), "sum", say.Kcal(sum), "most", say.Kcal(most))), say.TableBlock(rows),
		say.Whole(dogs.GateText(*d, planner.AmountOf(*d, t.Event.At))))
}

// treatsOn are the kcal of a dog's treats on a day.
func treatsOn(t *talk.Turn, d *planner.Dog, day planner.Date) (sum nutrition.Kcal) {
	for _, e := range treatEntries(t, d, day) {
		sum += e.Kcal
	}
	return sum
}

func treatEntries(t *talk.Turn, d *planner.Dog, day planner.Date) (all []planner.Entry) {
	from := planner.Instant(day, 0, t.Event.At.Location())
	for _, e := range t.Entries(store.EntryQuery{Dog: d.ID, Kinds: []planner.EntryKind{planner.Treat}, From: from.Add(-24 * time.Hour), To: from.Add(48 * time.Hour)}) {
		if e.Date == day {
			all = append(all, e)
		}
	}
	return all
}
