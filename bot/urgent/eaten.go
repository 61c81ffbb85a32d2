package urgent

import (
	"bowlwright/bot/household"
	"bowlwright/bot/read"
	"bowlwright/bot/recipes"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
)

// DangerAsked refuses what is dangerous and only asked about.
func DangerAsked(t *talk.Turn, s string) bool {
	a := read.AlarmIn(s, t.Names())
	if a.Asked == nil || manyLines(s) {
		return false
	}
	recipes.SayDanger(t, a.Asked)
	return true
}

// eatenUnknown answers that a dog has eaten something that is in no list of
// dangers.
func eatenUnknown(t *talk.Turn, s string) bool {
	if a := read.AlarmIn(s, t.Names()); a.Past || a.Mended {
		return false
	}
	got, ok := t.Understand(s)
	if !ok || got.Intent != read.HasEaten {
		return false
	}
	food := got.Food
	if food == "" && len(got.FoodList) > 0 {
		food = got.FoodList[0]
	}
	if _, told := lastEmergency(t); !told && read.OwnBowl(food) {
		return false
	}
	if d := t.Dog(got.Dog); d != nil {
		t.Talk.Dog = d.ID
	}
	found := t.Foods.Find(food)
	switch {
	case found.Refused != nil && found.Refused.Key != "sulphite", found.Food != nil && found.Food.Key == recipes.SaltKey:
		key := "salt-excess"
		if found.Refused != nil {
			key = found.Refused.Key
		}
		a := read.Alarm{Eaten: &read.Danger{Key: key}, Packet: true}
		if got.Dog != "" {
			a.Dogs = []string{got.Dog}
		}
		sayAlarm(t, a, read.VetNow, s)
		return true
	case found.Food != nil && nutrition.Concentrated(found.Food):
		household.OfferNumbers(t, t.Say(say.Whole(msg("urgent.supplement", "food", found.Food.Name)), say.Whole(household.NumbersText(t))))
		return true
	case found.Food != nil:
		t.SayMsg("urgent.known", "food", found.Food.Name)
		return true
	}
	if read.Everyday(food) {
		t.SayMsg("urgent.everyday", "food", say.Capital(food))
		return true
	}
	wait := waitText(t, dogsMeant(t, read.Alarm{Dogs: []string{got.Dog}}), true)
	household.OfferNumbers(t, t.Say(say.Whole(msg("urgent.unknown", "food", say.Short(food))), say.Whole(wait), say.Whole(household.NumbersText(t))))
	return true
}
