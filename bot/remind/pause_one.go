package remind

import (
	"strings"
	"unicode"

	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
)

// pauseFillers are words beside "pause" that name no reminder: all of them, or
// the reason.
var pauseFillers = wordSet(`pause skip please everything all reminders reminder reminding remind me us it them the my our of for from to a an we i are were am im is be going go
	leave leaving away on in at holiday holidays vacation kennel kennels trip weekend now no stop and because while until till will off rest today tonight it's its travelling traveling`)

func wordSet(words string) map[string]bool {
	set := map[string]bool{}
	for _, w := range strings.Fields(words) {
		set[w] = true
	}
	return set
}

// pausedThing are the words of what is to rest, empty where that is all.
func pausedThing(words string) string {
	var kept []string
	for _, w := range strings.FieldsFunc(words, func(r rune) bool {
		return !unicode.IsLetter(r) && !unicode.IsDigit(r) && r != '\'' && r != '’' && r != '-'
	}) {
		if w = strings.TrimSuffix(strings.TrimSuffix(w, "'s"), "’s"); !pauseFillers[w] {
			kept = append(kept, w)
		}
	}
	return strings.Join(kept, " ")
}

// pauseOne lets the one reminder rest that some words are about, or asks which;
// where there is none, whether all are meant. It reports false where the words
// name a dog alone.
func pauseOne(t *talk.Turn, thing string, p planner.Pause, d *planner.Dog) bool {
	if d != nil {
		if thing = strings.TrimSpace(strings.ReplaceAll(" "+thing+" ", " "+strings.ToLower(d.Name)+" ", " ")); thing == "" {
			return false
		}
	}
	var found []*planner.Reminder
	for _, r := range About(t, thing) {
		if d == nil || r.Dog == d.ID {
			found = append(found, r)
		}
	}
	button := func(label, what, id string) say.Button {
		return t.Button(cut(label, 40), "pause", what, dateOrNone(p.From), dateOrNone(p.Until), id)
	}
	switch len(found) {
	case 0:
		t.SayMsg("pause.which-none", "text", say.Short(thing)).Offer(button(msg("button.pause-all"), "all", "-"), t.Button(msg("button.reminders"), "remind", "list"))
	case 1:
		p.Reminder, p.Dog = found[0].ID, found[0].Dog
		pauseOrAsk(t, p)
	default:
		out := t.SayMsg("pause.which")
		for _, r := range found {
			out.Offer(button(say.Capital(t.ReminderTitle(r)), "one", r.ID))
		}
	}
	return true
}

// dateOrNone is a date as a button's data has it.
func dateOrNone(d planner.Date) string {
	if d.IsZero() {
		return "-"
	}
	return d.String()
}
