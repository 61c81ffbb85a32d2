package remind

import (
	"cmp"
	"slices"
	"strings"

	"bowlwright/bot/read"
	"bowlwright/bot/read/span"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
)

// PauseWords takes "stop benazepril till Monday" for a pause of that one, and without an
// end for one that is not given any more.
func PauseWords(t *talk.Turn, s string) bool {
	if on := read.Find("keeps-on", s); !read.IsQuestion(s) && (read.Says("keeps-doses", s) || len(GivenNamed(t, on, nil)) > 0) && keepDoses(t) {
		return true
	}
	if rest, but := read.AllBut(s); but != "" {
		return stopBut(t, rest, About(t, but))
	}
	if twice := About(t, read.Find("listed-twice", s)); len(twice) > 1 {
		return stopOf(t, twice)
	}
	if stopThose(t, s) {
		return true
	}
	what := read.Without("pause-days", read.Find("holds-back", read.Without("orders", s))) // "don't stop it" holds nothing back
	r, err := read.ReminderText(what, t.Names(), t.Event.At)
	first, _ := talk.CutWord(strings.ToLower(s))
	other := func(r *planner.Reminder) bool { return first != "cancel" && !isGiven(t, r) }
	found := slices.DeleteFunc(resting(t, pausedThing(strings.ToLower(talk.WithoutDogs(t, r.When.Rest))), t.Dog(r.Dog)), other)
	if what == "" || what[0] >= '0' && what[0] <= '9' || strings.ContainsAny(s, "?\n") || read.Says("of-note", s) { // "no 19.7"
		return false
	}
	if err != nil || len(found) == 0 {
		if first != "no" || !r.When.Said() || !read.Says("medicine", what) {
			return false
		}
		t.SayMsg("pause.no-medicine").Offer(t.Button(msg("button.reminders"), "remind", "list"))
		return true
	}
	_, said := t.Understand(s) // "stop reminding me of zinc"
	switch {
	case r.When.Said() && first != "delete" && first != "remove" || read.Says("until-said", s):
		pauseWords(t, what, nil)
	case read.In("stop-medicine", first) && (!said || first == "delete" && t.RecipeNamed(what) == nil) || read.Says("not-needed", s):
		stopOf(t, found)
	default:
		return false
	}
	return true
}

// stopBut stops all reminders but for some, and reports whether a text asks for that.
func stopBut(t *talk.Turn, s string, kept []*planner.Reminder) bool {
	first, _ := talk.CutWord(strings.ToLower(s))
	w, err := span.WhenText(s, t.Event.At)
	all := slices.DeleteFunc(sortedReminders(t), func(r *planner.Reminder) bool { return slices.Contains(kept, r) })
	if len(kept) == 0 || len(all) == 0 || err != nil || w.Said() || !read.In("stop-medicine", first) && first != "turn" || read.IsQuestion(s) {
		return false
	}
	stopReminders(t, all...)
	return true
}

// isGiven reports that a reminder is of a supplement or a medicine.
func isGiven(t *talk.Turn, r *planner.Reminder) bool {
	return r.Kind == planner.SupplementReminder || r.Kind == planner.NoteReminder && givesOther(t, r)
}

// resting are the reminders that some words are about, of a dog where one is named: by
// all of the words, else those of what is given by the first that is about any. The "pill"
// is any, but the "heart pill" is no other.
func resting(t *talk.Turn, thing string, d *planner.Dog) (found []*planner.Reminder) {
	names := strings.Fields(thing)
	bare := len(names) > 0 && read.In("dose-forms", names[0])
	names = slices.DeleteFunc(names, func(w string) bool { return !bare && read.In("dose-forms", w) })
	for i, words := range append([]string{thing}, names...) {
		found = slices.DeleteFunc(About(t, words), func(r *planner.Reminder) bool { return d != nil && r.Dog != d.ID || i > 0 && !isGiven(t, r) })
		if len(found) > 0 {
			return found
		}
	}
	if !bare || !read.Says("medicine", thing) {
		return nil
	} else if d == nil { // "the tablet", of whatever name
		return medicinesNamed(t, thing, nil)
	}
	return medicinesNamed(t, thing, []string{d.ID})
}

// pausedThing are the words of what is to rest, empty where that is all.
func pausedThing(words string) string {
	kept := slices.DeleteFunc(strings.Fields(read.Pattern("no-word").ReplaceAllString(words, " ")), func(w string) bool {
		return read.In("pause-fillers", strings.NewReplacer("'", "", "’", "").Replace(w))
	})
	return strings.Join(kept, " ")
}

// pauseEach lets each of several reminders rest that words name one by one, and reports
// whether they do: "the joint tablet and the vitamin E until Monday".
func pauseEach(t *talk.Turn, words string, p planner.Pause, d *planner.Dog) bool {
	var each []*planner.Reminder
	for _, part := range strings.Split(words, " and ") {
		found := resting(t, pausedThing(part), d)
		if len(found) != 1 || slices.Contains(each, found[0]) {
			return false
		}
		each = append(each, found[0])
	}
	if len(each) < 2 || p.Until.IsZero() {
		return false
	}
	for _, r := range each {
		p.Reminder, p.Dog = r.ID, r.Dog
		pauseFor(t, p)
	}
	return true
}

// pauseOne lets the one reminder rest that some words are about, or asks which;
// where there is none, whether all are meant. It reports false where the words
// name a dog alone.
func pauseOne(t *talk.Turn, thing string, p planner.Pause, d *planner.Dog) bool {
	if d != nil {
		name := " " + strings.ToLower(d.Name)
		if thing = strings.TrimSpace(strings.NewReplacer(name+" ", " ", name+"s ", " ").Replace(" " + thing + " ")); thing == "" {
			return false
		}
	}
	found := resting(t, thing, d)
	button := func(label, what, id string) say.Button {
		return t.Button(say.Cut(label, 40), "pause", what, cmp.Or(p.From.String(), "-"), cmp.Or(p.Until.String(), "-"), id)
	}
	switch len(found) {
	case 0:
		none := msg("pause.which-none", "text", say.Short(thing))
		if len(strings.Fields(thing)) > 2 { // a sentence names no reminder
			none = msg("pause.sure-all")
		}
		t.Say(say.Para(none)).Offer(button(msg("button.pause-all"), "all", "-"), t.Button(msg("button.reminders"), "remind", "list"))
	case 1:
		p.Reminder, p.Dog = found[0].ID, found[0].Dog
		pauseOrAsk(t, p)
	default:
		out := t.SayMsg("pause.which")
		for _, r := range found {
			out.Offer(button(say.Capital(talk.ReminderTitle(t, r)), "one", r.ID))
		}
	}
	return true
}
