package urgent

import (
	"slices"
	"strings"

	"bowlwright/bot/day"
	"bowlwright/bot/household"
	"bowlwright/bot/read"
	"bowlwright/bot/read/alarm"
	"bowlwright/bot/read/span"
	"bowlwright/bot/recipes"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// DangerAsked refuses what is dangerous and only asked about.
func DangerAsked(t *talk.Turn, s string) bool {
	a := t.Alarm(s)
	if a.Asked == nil || read.Says("many-lines", s) || talk.OnlyBought(t, s) {
		return false
	}
	sayAsked(t, a.Asked, a.Also, s)
	if a.Ordered {
		t.LastReply().Add(msg("urgent.not-in"))
		leaveOut(t, s)
	}
	return true
}

// leaveOut does the rest of what is to become of the food: "add onion gravy to the pot and take out the
// peas".
func leaveOut(t *talk.Turn, s string) {
	rest := slices.DeleteFunc(read.Clauses(s), func(c string) bool { return t.Alarm(c).Named != "" })
	if text := strings.Join(rest, " and "); text != "" && !t.Aside(text) {
		t.Unused(text)
	}
}

// sayAsked refuses what is dangerous, and answers for the other foods that are asked
// about with it: "are onions ok, and what about carrots".
func sayAsked(t *talk.Turn, no *alarm.Danger, also []alarm.Danger, s string) {
	recipes.SayDanger(t, no, also...)
	if told := read.ToldOnly(s); len(told) < len(strings.TrimRight(s, " .!")) && t.Alarm(told).HadPot || read.Says("gives-it", s) { // "gave her cake. May she have raisins?"
		household.OfferNumbers(t, t.Say(say.Whole(msg("urgent.if-eaten")), say.Whole(household.NumbersText(t))))
	}
	for _, part := range read.Clauses(read.Pattern("clause-ends").ReplaceAllString(s, ", ")) {
		if a := t.Alarm(part); a.Asked != nil || a.Food != nil || a.Alone != nil || a.Eaten != nil {
			continue
		}
		is, ok := t.Understand(part)
		if !ok && (t.Foods.Find(part).Food != nil || !strings.Contains(part, " ") && !read.Ranker().Knows(strings.ToLower(part))) {
			is, ok = read.Sentence{Intent: read.CanEat, FoodList: []string{part}}, true
		}
		if ok && is.Intent == read.CanEat {
			t.GoTo(is)
		}
	}
}

// sulphite is the key of what sausages may have in them.
const sulphite = "sulphite"

// longestItsMeal is how many words "Juniper wolfed it down" has at most: of more,
// "it" may be something else (our own choice).
const longestItsMeal = 5

// eatenUnknown answers that a dog has eaten something that is in no list of
// dangers.
func eatenUnknown(t *talk.Turn, s string) bool {
	a := t.Alarm(s)
	s = read.Without("by-mistake", s)
	got, ok := t.Understand(s)
	if ok && got.Intent == read.AteTheirs && t.Talk.Kind == "" {
		t.GoTo(got)
		return true
	}
	if a.Past || a.Mended || !ok || got.Intent != read.HasEaten {
		return false
	}
	food := got.Food
	meal, others := othersBowl(t, food)
	itsMeal := read.Says("its-meal", food) && (read.Says("tells-fed", s) || got.Dog != "" && strings.Contains(food, " ") && len(strings.Fields(read.Clauses(s)[0])) <= longestItsMeal)
	if food == "" || read.Says("eats-well", food) || read.Says("ate-when", food) || read.Says("no-food-word", strings.TrimSpace(talk.WithoutDogs(t, food))) || read.Says("refused-meal", talk.WithoutDogs(t, food)) || len(a.Dogs) > 1 && read.Says("ate-each", s) {
		return false
	}
	if others != nil && read.Says("own-bowl", meal) {
		t.GoTo(read.Sentence{Intent: read.AteTheirs, Dog: got.Dog, Other: others.ID})
		return true
	}
	if _, told := lastEmergency(t); !told && (read.Says("own-bowl", food) || itsMeal) {
		return false
	}
	if others != nil && len(span.Mentions(food, t.Names().Recipes)) == 0 {
		food = meal
	}
	if read.Says("elsewhere", food) { // "ate at gran's"
		if read.Says("of-yesterday", s) {
			t.GoTo(read.Sentence{Intent: read.FedAway, Dog: got.Dog, Words: s})
		}
		return len(t.Replies) > 0
	}
	if d := t.Dog(got.Dog); d != nil {
		t.Talk.Dog = d.ID
	}
	food = strings.TrimSpace(read.Without("lump-of", food)) // "a whole stick of butter"
	found := t.Foods.Find(food)
	switch {
	case found.Refused != nil && found.Refused.Key != sulphite, found.Food != nil && found.Food.Key == recipes.SaltKey:
		key := "salt-excess"
		if found.Refused != nil {
			key = found.Refused.Key
		}
		a := alarm.Alarm{Eaten: &alarm.Danger{Key: key}, Packet: true, Took: true}
		if got.Dog != "" {
			a.Dogs = []string{got.Dog}
		}
		sayAlarm(t, a, alarm.VetNow, s, "")
		return true
	case found.Food != nil && nutrition.Concentrated(found.Food):
		household.OfferNumbers(t, t.Say(say.Whole(msg("urgent.supplement", "food", found.Food.Name)), say.Whole(household.NumbersText(t))))
		return true
	case !read.Says("bony-cut", food) && !read.IsQuestion(s) && day.AteServing(t, got.Dog, read.FromAmount(s)):
		return true
	case a.Signs && (found.Food != nil || alarm.Everyday(food)): // "ate grass and was sick"
		sayWatch(t, a, s)
		return true
	case found.Food != nil:
		t.Say(say.Whole(recipes.Against(t, talk.TalkedOf(t), found.Food.Name)), say.Whole(msg("urgent.known", "food", say.Capital(found.Food.Name))), say.Whole(strings.Join(recipes.FoodNotes(t, found.Food), "\n")), howMuch(s, true))
		return true
	case read.Says("bone", food): // of whatever animal
		t.Say(say.Whole(msg("food.bones")), say.Whole(msg("serving.bone")))
		return true
	case found.Refused == nil && !found.Known() && read.Says("baked", food):
		t.SayMsg("urgent.baked", "food", say.Capital(food))
		return true
	case found.Refused != nil: // sausage
		t.SayMsg("urgent.seasoned", "food", say.Capital(food))
		return true
	}
	if names, all := knownTogether(t, food); all {
		t.SayMsg("urgent.known-all", "foods", say.Capital(say.List(names)))
		return true
	}
	r := t.RecipeSaid(food)
	if of := span.Mentions(food, t.Names().Recipes); r == nil && len(of) == 1 {
		r = t.Recipe(of[0].ID)
	}
	if r != nil {
		if day.MealTold(t, s) {
			return true
		}
		if grams := read.MassIn(s); grams > 0 {
			t.GoTo(read.Sentence{Intent: read.AtePart, Dog: got.Dog, Recipe: r.ID, Grams: grams})
			return true
		}
		if read.Says("cups-eaten", s) {
			t.SayMsg("urgent.cups", "recipe", r.Name)
			return true
		}
		food = r.Name
	}
	if read.Says("dog-food", food) && !read.IsQuestion(s) && len(t.Home.Dogs) > 0 {
		t.GoTo(read.Sentence{Intent: read.AteBeside, Dog: got.Dog, Words: food})
		return true
	}
	if len(found.Choices) > 1 && !read.Says("any-dose", food) || alarm.Everyday(food) || t.RecipeNamed(food) != nil {
		t.Say(say.Whole(recipes.Against(t, talk.TalkedOf(t), food)), say.Whole(msg(say.Choose(read.In("mostly-fat", strings.ToLower(food)), "urgent.fat", "urgent.everyday"), "food", say.Capital(food))), howMuch(s, len(found.Choices) > 1))
		return true
	}
	if read.Says("amount-alone", strings.TrimSpace(talk.WithoutDogs(t, food))) || talk.SaysElse(t, s, "urgent", "treat", "food.ask", "health", "fed.other", "chat") { // "did ate joy give him his dinner"
		return false
	}
	thing := func(w string) bool { return !read.Ranker().Knows(w) || read.In("holder:tablet", w) }
	harm := func(st read.Statement) bool { return st.Urgent >= leastUnknown }
	if !slices.ContainsFunc(strings.Fields(strings.ToLower(food)), thing) && !slices.ContainsFunc(t.Unasked(s), harm) {
		return false // "Pip ate everything both times"
	}
	dogs, first := dogsMeant(t, alarm.Alarm{Dogs: []string{got.Dog}, Stranger: a.Stranger}), msg("urgent.unknown", "food", say.Short(food))
	out := t.Say(say.Whole(first), say.Whole(waitText(t, dogs, alarm.Alarm{Packet: true, Took: true})), say.Whole(recipes.Against(t, t.Dog(got.Dog), food)), say.Whole(household.NumbersText(t)))
	if !read.IsQuestion(s) {
		note(t, out, a, dogs, s, first)
	}
	household.OfferNumbers(t, out)
	return true
}

// leastUnknown is how likely it must be that something that no list has was eaten in harm
// (our own choice).
const leastUnknown = 0.1

// mostDoses is how many times its dose of a supplement a dog may be given before it is an
// overdose (our own choice).
const mostDoses = 3

// overdosed answers that a dog was given many times its dose of a supplement, or may be.
func overdosed(t *talk.Turn, a alarm.Alarm, s string) bool {
	food, grams := read.AmountOff(read.FromAmount(s))
	of := dogsMeant(t, a)
	i := slices.IndexFunc(t.Home.Reminders, func(r planner.Reminder) bool {
		gets := slices.ContainsFunc(of, func(d *planner.Dog) bool { return r.Dog == "" || r.Dog == d.ID })
		return gets && r.Dose != nil && r.Dose.Grams > 0 && grams >= mostDoses*r.Dose.Grams && read.HasName(food, read.Without("dose-form", t.FoodName(r.Dose.Food)))
	})
	if i < 0 || t.Talk.Kind != "" || a.Stranger || !read.Says("dose-told", s) {
		return false
	}
	dose := t.Home.Reminders[i].Dose
	name := t.FoodName(dose.Food)
	first := msg("urgent.overdose", "n", say.Trim(float64(grams/dose.Grams), 0), "dog", talk.NamesOf(of), "food", name, "dose", say.Mass(dose.Grams, t.Home.Units))
	out := t.Say(say.Whole(say.JoinParas(first, msg("urgent.supplement", "food", name))), say.Whole(household.NumbersText(t)))
	if !read.IsQuestion(s) {
		noteSign(t, out, of, s, first)
	}
	household.OfferNumbers(t, out)
	return true
}

// othersBowl is what of another dog of the household was eaten, "Bracken's dinner", "the food
// of Bracken", and that dog.
func othersBowl(t *talk.Turn, food string) (meal string, of *planner.Dog) {
	whose, meal, _ := strings.Cut(strings.ToLower(food), " ")
	if before, after, found := strings.Cut(strings.ToLower(food), " of "); found {
		meal, whose = before, after
	}
	return meal, t.DogNamed(strings.TrimSuffix(strings.NewReplacer("'", "", "’", "").Replace(whose), "s"))
}

// knownTogether are the foods that were eaten together, and whether all are of
// the table, none of them refused.
func knownTogether(t *talk.Turn, eaten string) (names []string, all bool) {
	names = alarm.FoodsTogether(eaten)
	if len(names) < 2 {
		return nil, false
	}
	for _, n := range names {
		if found := t.Foods.Find(n); found.Refused != nil || found.Food == nil && len(found.Choices) == 0 && !alarm.Everyday(n) || found.Food != nil && nutrition.Concentrated(found.Food) {
			return nil, false
		}
	}
	return names, true
}

// whyText is what is dangerous of all that was eaten, the worst first.
func whyText(a alarm.Alarm) string {
	lines := []string{msg("refuse." + a.Eaten.Key)}
	for _, d := range a.Also {
		lines = append(lines, msg("urgent.also", "food", d.Name, "reason", msg("refuse."+d.Key)))
	}
	return strings.Join(lines, "\n")
}

// waitText is the line under what cannot wait, with the packet to take along where
// there is one.
func waitText(t *talk.Turn, dogs []*planner.Dog, a alarm.Alarm) string {
	of := her(t, dogs)
	text := say.Choose(a.Took, msg("urgent.wait", "her", of), msg("urgent.wait-sign", "her", of))
	if a.Packet {
		text += " " + msg("urgent.packet")
	}
	return text
}

// her is how the second line speaks of the dog.
func her(t *talk.Turn, dogs []*planner.Dog) string {
	if len(dogs) == 1 {
		switch dogs[0].Sex {
		case planner.Female:
			return msg("urgent.her")
		case planner.Male:
			return msg("urgent.him")
		}
		return dogs[0].Name
	}
	return msg("urgent.the-dog")
}

// howMuch asks for the amount of a known food that was told to have been eaten, which then
// counts.
func howMuch(s string, known bool) say.Block {
	return say.Whole(say.Where(known && !read.IsQuestion(s) && !strings.ContainsAny(s, "0123456789"), msg("urgent.how-much")))
}
