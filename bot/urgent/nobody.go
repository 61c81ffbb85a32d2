package urgent

import (
	"cmp"
	"slices"
	"strings"

	"bowlwright/bot/dogs"
	"bowlwright/bot/household"
	"bowlwright/bot/read"
	"bowlwright/bot/read/alarm"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
	"bowlwright/store"
)

// nobodyAte takes back what was noted of something eaten, where it is said that no dog
// ate it, or what was told just now and is put right. Where only one of them is said not to have, or it isn't clear, it asks.
func nobodyAte(t *talk.Turn, a alarm.Alarm, s string) bool {
	if !a.Wrong && len(a.Unhad) == 0 {
		return false
	}
	of, own := toldOf(t, a), true
	wrong := toldWrongly(t, a, s, of, own)
	if len(wrong) == 0 && read.Says("taken-off", s) { // told by another carer, or "it was only Bran's kibble" of what Fern ate
		if wrong, own = toldWrongly(t, a, s, of, false), false; len(wrong) == 0 {
			wrong, own = toldWrongly(t, a, s, t.Dogs(), true), true
		}
	}
	switch {
	case len(wrong) == 0 || a.Seen && !a.TookBack:
		return false
	case !own:
		askWhich(t, wrong, msg("urgent.which"))
		return true
	case a.TookBack || a.Wrong:
		last := slices.MaxFunc(wrong, func(a, b planner.Entry) int { return a.Entered.Compare(b.Entered) })
		named := func(e planner.Entry) bool { return onlyAte(t.Alarm(e.Text), a.Unhad) }
		switch {
		case read.Says("all-wrong", s):
		case slices.ContainsFunc(wrong, named):
			wrong = slices.DeleteFunc(wrong, func(e planner.Entry) bool { return !named(e) })
		case len(wrong) > 1 && read.Says("named-note", s) && !read.Says("points", s): // "the poison thing", of several
			askWhich(t, wrong, msg("urgent.which"))
			return true
		default:
			rest := slices.DeleteFunc(slices.Clone(wrong), func(e planner.Entry) bool { return e.Entered.Equal(last.Entered) })
			takeBack(t, slices.DeleteFunc(wrong, func(e planner.Entry) bool { return !e.Entered.Equal(last.Entered) }))
			if len(rest) > 0 {
				askWhich(t, rest, msg("urgent.still-noted"))
			}
			return true
		}
		takeBack(t, wrong)
		return true
	}
	ids := []string{"nobody"}
	for _, e := range wrong {
		ids = append(ids, e.ID)
	}
	out := t.Say(say.Whole(msg("urgent.now")), say.Whole(msg("urgent.late", "eaten", toldWhen(t, wrong[0], say.Short(wrong[0].Text)))), say.Whole(household.NumbersText(t)))
	if d := t.Dog(wrong[0].Dog); d != nil {
		out.Offer(dogs.HoldButtons(t, d, nil)[0])
	}
	out.Offer(t.Button(msg("button.nobody"), "sign", ids...))
	return true
}

// toldWrongly are the notes of some dogs that a text may say were wrong: by this carer, or
// by all.
func toldWrongly(t *talk.Turn, a alarm.Alarm, s string, of []*planner.Dog, own bool) (wrong []planner.Entry) {
	what, off := strings.ToLower(cmp.Or(read.Find("not-eaten", s), read.Find("taken-off", s))), read.Says("taken-off", s)
	for _, d := range of {
		for _, e := range dogs.UnseenSigns(t, d, toldDays) {
			was := t.Alarm(e.Text)
			lately := (e.Person == t.Event.Person || !own) && (off || t.Event.At.Sub(e.Entered) <= mostGoingOn) && !was.Held()
			fits := lately && a.Wrong && (off || a.Named == "" && !was.Signs) && (strings.Contains(strings.ToLower(e.Text), what) || was.Eaten != nil && read.In("medicines", was.Eaten.Key) && alarm.NamesMedicine(what))
			if !slices.ContainsFunc(wrong, func(w planner.Entry) bool { return w.ID == e.ID }) && (fits || own && onlyAte(was, a.Unhad)) {
				wrong = append(wrong, e)
			}
		}
	}
	return wrong
}

// askWhich asks which of several notes wasn't so.
func askWhich(t *talk.Turn, told []planner.Entry, ask string) {
	out := t.Say(say.Para(ask))
	for _, e := range told {
		out.Offer(t.Button(say.Short(e.Text), "sign", "nobody", e.ID))
	}
}

// otherDogs has the sign that this carer told of last be of another dog: "no, it was
// Biscuit, not Otto".
func otherDogs(t *talk.Turn, a alarm.Alarm, s string) bool {
	all := t.Entries(store.EntryQuery{From: t.Event.At.AddDate(0, 0, -toldDays), Newest: true, Limit: 20})
	d, living := t.DogNamed(read.Find("was-dog", s)), dogs.AskedOf(t, &planner.Reminder{})
	if len(all) == 0 || len(t.Offered("undo"))+len(talk.OfferedBeside(t, "undo")) == 0 && a.Eaten == nil {
		return false // nothing was noted just now
	}
	e := slices.MaxFunc(all, func(a, b planner.Entry) int { return a.Entered.Compare(b.Entered) })
	if i := slices.IndexFunc(living, func(d *planner.Dog) bool { return d.ID != e.Dog }); len(living) == 2 && i >= 0 && read.Says("was-other", s) {
		d = living[i]
	}
	told := slices.DeleteFunc(all, func(o planner.Entry) bool { return !o.Entered.Equal(e.Entered) || o.Text != e.Text })
	if d == nil || e.Dog == "" || e.Kind != planner.SignSeen || e.Person != t.Event.Person || t.Event.At.Sub(e.Entered) > mostGoingOn || a.Eaten != nil && !t.Alarm(e.Text).Eats(a.Eaten.Key) {
		return false
	}
	wrong := slices.DeleteFunc(slices.Clone(told), func(o planner.Entry) bool { return o.Dog == d.ID })
	if len(wrong) == 0 {
		t.SayMsg("sign.noted", "dog", d.Name, "text", say.Short(e.Text))
		return true
	}
	t.Mutate("did.sign", d.Name)
	if takeBack(t, wrong); len(wrong) < len(told) { // "only Saffi had it, not Odin"
		return true
	}
	text := d.Name + " " + strings.TrimSpace(talk.WithoutDogs(t, e.Text))
	return Urgent(t, text) || WatchSign(t, text)
}

// onlyAte reports that a note tells of dangers of these keys that were eaten, and of
// nothing else.
func onlyAte(was alarm.Alarm, keys []string) bool {
	ate := cmp.Or(was.Eaten, was.Alone)
	return ate != nil && !was.Signs && slices.Contains(keys, ate.Key) && !slices.ContainsFunc(was.Also, func(d alarm.Danger) bool { return !slices.Contains(keys, d.Key) })
}

// takeBack takes notes of what was eaten out of the journal, and tells the other carers.
func takeBack(t *talk.Turn, wrong []planner.Entry) {
	var of []*planner.Dog
	var texts []string
	for _, e := range wrong {
		if text := say.Short(e.Text); !slices.Contains(texts, text) {
			texts = append(texts, text)
		}
		if d := t.Dog(e.Dog); d != nil && !slices.Contains(of, d) {
			of = append(of, d)
		}
	}
	name := namesOf(of, msg("urgent.a-dog"))
	t.Mutate("did.nobody", name)
	if len(of) == 1 {
		t.Talk.Dog = of[0].ID
	}
	for _, e := range wrong {
		t.Unnote(e)
	}
	back := say.Whole(msg("urgent.back", "dog", name, "text", strings.Join(texts, "\", \"")))
	t.Say(back).Offer(t.UndoButton())
	t.Tell(talk.Others(t), say.Reply{Body: []say.Block{back}})
}

// pressNobody takes back the notes of a button.
func pressNobody(t *talk.Turn, ids []string) {
	var wrong []planner.Entry
	for _, id := range ids {
		if e, ok := t.Entry(id); ok && e.Kind == planner.SignSeen {
			wrong = append(wrong, e)
		}
	}
	if talk.Gone(t, len(wrong) == 0) {
		return
	}
	takeBack(t, wrong)
}
