package urgent

import (
	"reflect"
	"slices"

	"bowlwright/bot/household"
	"bowlwright/bot/kitchen"
	"bowlwright/bot/read"
	"bowlwright/bot/read/alarm"
	"bowlwright/bot/read/span"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
	"bowlwright/planner/larder"
	"bowlwright/store"
)

// potDays is for how many days after it food is asked about that may be of a spoiled pot
// (our own choice).
const potDays = 1

// spoiled is the pot of these days, or of which packs are left, that has in it what dogs
// must not have; nil where there is none.
func spoiled(t *talk.Turn) *planner.Spoiled {
	if p := t.Home.Spoiled; p != nil && (p.Date.DaysTo(t.Date()) <= potDays || len(kitchen.SpoiledPacks(t)) > 0) {
		return p
	}
	return nil
}

// potTold answers that something went into food that no dog has had yet, and what is said of
// such a pot afterwards. It reports false where it may have been eaten.
func potTold(t *talk.Turn, a alarm.Alarm, s string) bool {
	was := spoiled(t)
	switch {
	case a.Signs || a.HadPot:
		return false
	case a.Pot != nil && !read.Says("many-lines", s):
		t.Mutate("did.pot", a.Pot.Name)
		t.Home.Spoiled = &planner.Spoiled{Date: t.Date(), Text: asTold(s), Key: a.Pot.Key}
		if of := span.Mentions(s, t.Names().Recipes); len(of) == 1 {
			t.Home.Spoiled.Recipe = of[0].ID
		}
		out := t.Say(say.Whole(msg("pot.away")), say.Whole(kitchen.SpoiledText(t)), say.Whole(msg("refuse."+a.Pot.Key)), say.Whole(msg("urgent.if-eaten")), say.Whole(household.NumbersText(t)))
		out.Offer(t.UndoButton())
		t.Tell(talk.Others(t), say.Reply{Body: []say.Block{say.Whole(msg("pot.warn", "text", say.Short(s), "day", talk.DayOf(t, t.Date())))}})
	case was != nil && (a.Named == was.Key && read.Says("pot-never", s) || a.Named == "" && read.Says("pot-nothing", s)) && !read.Says("pot-was", s):
		takePotBack(t)
	case was != nil && (a.Named == was.Key || a.Named == "" && a.Nobody):
		t.Say(say.Whole(msg("pot.away")), say.Whole(msg("urgent.if-eaten")), say.Whole(household.NumbersText(t)))
	default:
		return false
	}
	return true
}

// takePotBack takes back what was told of a pot, in which nothing of it ever was.
func takePotBack(t *talk.Turn) {
	back := say.Whole(msg("pot.back", "text", say.Short(t.Home.Spoiled.Text)))
	t.Mutate("did.pot-not", "")
	t.Home.Spoiled = nil
	t.Say(back).Offer(t.UndoButton())
	t.Tell(talk.Others(t), say.Reply{Body: []say.Block{back}})
}

// warnPot says of food that was fed or packed that it may be of a spoiled pot.
func warnPot(t *talk.Turn, before *planner.Household) {
	was := spoiled(t)
	if was == nil || before == nil || !reflect.DeepEqual(before.Spoiled, was) || len(t.Replies) == 0 {
		return
	}
	of := kitchen.SpoiledPacks(t)
	may := func(recipe string) bool {
		if len(of) > 0 && recipe != "" {
			return slices.ContainsFunc(of, func(s larder.Stock) bool { return s.Lot.Recipe == recipe })
		}
		return was.Recipe == "" || recipe == "" || recipe == was.Recipe
	}
	fed := t.Entries(store.EntryQuery{Kinds: []planner.EntryKind{planner.Fed}, Newest: true, Limit: 1})
	packed := t.Home.Packs[min(len(before.Packs), len(t.Home.Packs)):]
	if len(fed) > 0 && fed[0].Entered.Equal(t.Event.At) && may(fed[0].Recipe) || slices.ContainsFunc(packed, func(p planner.Lot) bool { return may(p.Recipe) }) {
		t.Replies[0].Body = append([]say.Block{say.Whole(msg("pot.warn", "text", say.Short(was.Text), "day", talk.DayOf(t, was.Date)))}, t.Replies[0].Body...)
	}
}
