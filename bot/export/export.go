package export

import (
	"bytes"
	"fmt"
	"slices"
	"strings"

	"bowlwright/bot/ical"
	"bowlwright/bot/read"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
)

// exportCommand offers the files that there are, or makes the one that is
// named: "/export calendar", "/export Juniper's weigh-ins".
func exportCommand(t *talk.Turn, rest string) {
	switch strings.ToLower(rest) {
	case "":
		offerFiles(t, "")
		return
	case "zip", "all":
		exportAll(t)
		return
	}
	s, ok := t.Understand("export " + rest)
	if ok && exportIntents[s.Intent] {
		t.GoTo(s)
		return
	}
	offerFiles(t, msg("export.unknown", "text", say.Short(rest)))
}

// exportIntents are the sentences that ask for a file.
var exportIntents = map[read.Intent]bool{read.Export: true, read.ExportCalendar: true, read.ExportWeights: true, read.ExportRecipe: true}

// offerFiles asks which file is wanted.
func offerFiles(t *talk.Turn, head string) {
	t.Say(say.Para(head), say.Para(msg("export.which"))).
		Offer(t.Button(msg("button.export-all"), "export", "all"), t.Button(msg("button.export-calendar"), "export", "calendar")).
		Offer(t.Button(msg("button.export-weights"), "export", "weights"), t.Button(msg("button.export-recipe"), "export", "recipe"))
}

// pressExport makes the file of a button, or asks which dog's or recipe's in
// the button's own message.
func pressExport(t *talk.Turn, args []string) {
	switch id := talk.Arg(args, 1); talk.Arg(args, 0) {
	case "all":
		exportAll(t)
	case "calendar":
		exportCalendar(t)
	case "weights":
		if talk.Gone(t, id != "" && t.Dog(id) == nil) {
			return
		}
		exportWeights(t, id)
	case "recipe":
		if talk.Gone(t, id != "" && t.Recipe(id) == nil) {
			return
		}
		exportRecipe(t, id)
	default:
		t.SayMsg("press.stale")
	}
	if len(t.Replies) > 0 && t.Replies[0].Document == nil {
		t.Replies[0].InPlace = t.Event.Message
	}
}

// exportWeights makes the file of a dog's weigh-ins; without an id it is that
// of the only dog, or it asks.
func exportWeights(t *talk.Turn, id string) {
	d := t.Dog(id)
	switch {
	case d == nil && len(t.Home.Dogs) == 1:
		d = &t.Home.Dogs[0]
	case d == nil && len(t.Home.Dogs) == 0:
		talk.NoDog(t)
		return
	case d == nil:
		talk.OfferDogs(t, t.SayMsg("export.which-dog"), "export", "weights")
		return
	}
	rows, days := weighInRows(t, d.ID)
	if len(rows) == 0 {
		t.SayMsg("export.no-weights", "dog", d.Name)
		return
	}
	sayDocument(t, msg("export.weights", "dog", d.Name, "n", len(rows), "span", spanText(t, days[0], days[len(days)-1])),
		say.Document{
			Name: fileName(map[string]bool{}, "weigh-ins", d.Name, d.ID, ".csv"), Alt: msg("export.weights-alt", "n", len(rows)),
			Type: "text/csv; charset=utf-8; header=present", Data: csvFile(weightColumns, rows),
		})
}

// exportRecipe makes the file of a recipe; without an id it is that of the
// only one, or it asks.
func exportRecipe(t *talk.Turn, id string) {
	r := t.Recipe(id)
	switch {
	case r == nil && len(t.Home.Recipes) == 1:
		r = &t.Home.Recipes[0]
	case r == nil && len(t.Home.Recipes) == 0:
		t.SayMsg("scale.no-recipe").Offer(t.Button(msg("button.add-recipe"), "recipe", "add"))
		return
	case r == nil:
		out := t.SayMsg("export.which-recipe")
		for i := range t.Home.Recipes {
			out.Offer(t.Button(t.Home.Recipes[i].Name, "export", "recipe", t.Home.Recipes[i].ID))
		}
		return
	}
	sayDocument(t, msg("export.recipe", "recipe", r.Name), say.Document{
		Name: fileName(map[string]bool{}, "recipe", r.Name, r.ID, ".txt"), Alt: msg("export.recipe-alt"),
		Type: "text/plain; charset=utf-8", Data: recipeFile(t, r),
	})
}

// exportCalendar makes the file of what falls due in the coming weeks.
func exportCalendar(t *talk.Turn) {
	events := calendarEvents(t)
	if len(events) == 0 {
		t.SayMsg("export.no-calendar", "weeks", calendarWeeks)
		return
	}
	data, err := calendarFile(t, events)
	if err != nil {
		t.Fail(err)
		return
	}
	sayDocument(t, msg("export.calendar", "n", len(events), "span", spanText(t, t.DateAt(events[0].Start), t.DateAt(events[len(events)-1].Start))),
		say.Document{Name: calendarName, Alt: msg("export.calendar-alt", "n", len(events)), Type: "text/calendar; charset=utf-8", Data: data})
}

// exportAll makes the file of everything.
func exportAll(t *talk.Turn) {
	all, err := everything(t)
	if err == nil {
		var data []byte
		if data, err = zipped(t, all); err == nil {
			sayDocument(t, msg("export.all", "n", len(all)), say.Document{
				Name: "bowlwright-" + t.Date().String() + ".zip", Alt: msg("export.all-alt", "n", len(all)),
				Type: "application/zip", Data: data,
			})
			return
		}
	}
	t.Fail(err)
}

// sayDocument sends a file with a text, or says that it is too large.
func sayDocument(t *talk.Turn, text string, d say.Document) *say.Reply {
	if len(d.Data) > say.LargestDocument {
		const mega = 1 << 20
		return t.Say(say.Para(msg("export.too-large", "size", (len(d.Data)+mega-1)/mega, "most", say.LargestDocument/mega)))
	}
	r := t.Say(say.Para(text))
	r.Document = &d
	return r
}

// spanText prints the first and the last of some days: "Mon 2 Mar to Fri 6
// Mar", or the one that is both.
func spanText(t *talk.Turn, first, last planner.Date) string {
	return say.Choose(first == last, t.DateText(first), msg("export.span", "from", t.DateText(first), "to", t.DateText(last)))
}

const (
	calendarName  = "bowlwright.ics"
	calendarWeeks = 4 // that a calendar file covers; our own choice
)

// calendarEvents is what falls due in the coming weeks, in order. An event has
// the time of its schedule, quiet hours or not, since a calendar wakes nobody;
// what was put off has its new time.
func calendarEvents(t *talk.Turn) []ical.Event {
	until := t.Event.At.AddDate(0, 0, 7*calendarWeeks)
	due := planner.Agenda(t.Home, t.Event.At, until)
	events := make([]ical.Event, 0, len(due))
	for _, o := range due {
		at := o.At
		if o.Snoozed > 0 {
			at = o.Send
		}
		events = append(events, ical.Event{UID: o.ID, Start: at, Summary: calendarText(t, o)})
	}
	slices.SortStableFunc(events, func(a, b ical.Event) int { return a.Start.Compare(b.Start) })
	return events
}

// calendarFile sets events as a file.
func calendarFile(t *talk.Turn, events []ical.Event) ([]byte, error) {
	var b bytes.Buffer
	c := ical.Calendar{Name: msg("export.calendar-name"), Stamp: t.Event.At, Events: events}
	if err := ical.Write(&b, c); err != nil {
		return nil, fmt.Errorf("bot: calendar: %w", err)
	}
	return b.Bytes(), nil
}

// calendarText is what an occurrence is called in a calendar: a bowl by the
// recipe of its day, a note as it was typed, all else by what it is about. It
// has no amounts: they may have changed by then.
func calendarText(t *talk.Turn, o planner.Occurrence) string {
	r := t.Reminder(o.Reminder)
	if r == nil {
		return talk.Plainly(t, o)
	}
	d := t.Dog(r.Dog)
	switch {
	case r.Kind == planner.NoteReminder && d != nil:
		return msg("tick.for", "dog", d.Name, "what", r.Text)
	case r.Kind == planner.NoteReminder:
		return r.Text
	case r.Kind == planner.BowlReminder && d != nil:
		if name := mealTitle(t, d, o); name != "" {
			return msg("tick.for", "dog", d.Name, "what", name)
		}
	}
	return say.Capital(talk.ReminderTitle(t, r))
}

// mealTitle is what a dog eats at a meal, empty where that is not known or where
// another food is still mixed in.
func mealTitle(t *talk.Turn, d *planner.Dog, o planner.Occurrence) string {
	if tr, _ := talk.Switching(t, d, o.Date); tr != nil {
		return ""
	}
	meal := slices.Index(d.MealTimes(), o.Clock)
	return talk.FareNames(slices.DeleteFunc(planner.FareOn(t.Home, d.ID, o.Date), func(f planner.Fare) bool { return f.ShareAt(meal) == 0 }))
}
