package bot

import (
	"strings"
	"unicode"

	"bowlwright/planner"
)

// pauseFillers are words beside "pause" that name no reminder: the whole of
// them, or why they are to rest.
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
func (t *turn) pauseOne(thing string, p planner.Pause, d *planner.Dog) bool {
	if d != nil {
		if thing = strings.TrimSpace(strings.ReplaceAll(" "+thing+" ", " "+strings.ToLower(d.Name)+" ", " ")); thing == "" {
			return false
		}
	}
	var found []*planner.Reminder
	for _, r := range t.remindersAbout(thing) {
		if d == nil || r.Dog == d.ID {
			found = append(found, r)
		}
	}
	button := func(label, what, id string) Button {
		return t.button(cut(label, 40), "pause", what, dateOrNone(p.From), dateOrNone(p.Until), id)
	}
	switch len(found) {
	case 0:
		t.sayMsg("pause.which-none", "text", short(thing)).offer(button(msg("button.pause-all"), "all", "-"), t.button(msg("button.reminders"), "remind", "list"))
	case 1:
		p.Reminder, p.Dog = found[0].ID, found[0].Dog
		t.pauseOrAsk(p)
	default:
		out := t.sayMsg("pause.which")
		for _, r := range found {
			out.offer(button(capital(t.reminderTitle(r)), "one", r.ID))
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
