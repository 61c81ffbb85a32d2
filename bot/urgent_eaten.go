package bot

import (
	"bowlwright/bot/read"
)

// dangerAsked refuses what is dangerous and only asked about.
func (t *turn) dangerAsked(s string) bool {
	a := read.AlarmIn(s, t.names())
	if a.Asked == nil || manyLines(s) {
		return false
	}
	t.sayDanger(a.Asked)
	return true
}

// sayDanger refuses what the lists know as dangerous.
func (t *turn) sayDanger(d *read.Danger) *Reply {
	return t.say(para(dangerText(d)))
}

func dangerText(d *read.Danger) string {
	return msg("food.refused", "food", d.Name, "reason", msg("refuse."+d.Key))
}

// eatenUnknown answers that a dog has eaten something that is in no list of
// dangers.
func (t *turn) eatenUnknown(s string) bool {
	if !read.MayHaveEaten(s, t.names()) || read.AlarmIn(s, t.names()).Past {
		return false
	}
	got, ok := t.understand(s)
	if !ok || got.Intent != read.HasEaten {
		return false
	}
	food := got.Food
	if food == "" && len(got.FoodList) > 0 {
		food = got.FoodList[0]
	}
	if d := t.dog(got.Dog); d != nil {
		t.talk.Dog = d.ID
	}
	found := t.foods.Find(food)
	switch {
	case found.Refused != nil && found.Refused.Key != "sulphite", found.Food != nil && found.Food.Key == saltKey:
		key := "salt-excess"
		if found.Refused != nil {
			key = found.Refused.Key
		}
		a := read.Alarm{Eaten: &read.Danger{Key: key}, Packet: true}
		if got.Dog != "" {
			a.Dogs = []string{got.Dog}
		}
		t.sayAlarm(a, read.VetNow, s)
		return true
	case found.Food != nil:
		t.sayMsg("urgent.known", "food", found.Food.Name)
		return true
	}
	wait := t.waitText(t.dogsMeant(read.Alarm{Dogs: []string{got.Dog}}), true)
	t.offerNumbers(t.say(para(msg("urgent.unknown", "food", short(food))), para(wait), para(t.numbersText())))
	return true
}
