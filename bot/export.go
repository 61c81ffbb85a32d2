package bot

import (
	"strings"
	"time"

	"bowlwright/bot/read"
	"bowlwright/planner"
)

// exportCommand offers the files that there are, or makes the one that is
// named: "/export calendar", "/export Juniper's weigh-ins".
func (t *turn) exportCommand(rest string) {
	switch strings.ToLower(rest) {
	case "":
		t.offerFiles("")
		return
	case "zip", "all":
		t.exportAll()
		return
	}
	s, ok := read.Understand("export "+rest, t.names(), t.home.Units)
	if ok && exportIntents[s.Intent] {
		t.goTo(s)
		return
	}
	t.offerFiles(msg("export.unknown", "text", short(rest)))
}

// exportIntents are the sentences that ask for a file.
var exportIntents = map[read.Intent]bool{read.Export: true, read.ExportCalendar: true, read.ExportWeights: true, read.ExportRecipe: true}

// offerFiles asks which file is wanted.
func (t *turn) offerFiles(head string) {
	t.say(para(head), para(msg("export.which"))).
		offer(t.button(msg("button.export-all"), "export", "all"), t.button(msg("button.export-calendar"), "export", "calendar")).
		offer(t.button(msg("button.export-weights"), "export", "weights"), t.button(msg("button.export-recipe"), "export", "recipe"))
}

// pressExport makes the file of a button, or asks which dog's or recipe's in
// the button's own message.
func (t *turn) pressExport(args []string) {
	switch id := arg(args, 1); arg(args, 0) {
	case "all":
		t.exportAll()
	case "calendar":
		t.exportCalendar()
	case "weights":
		if id != "" && t.dog(id) == nil {
			t.sayMsg("press.gone")
			return
		}
		t.exportWeights(id)
	case "recipe":
		if id != "" && t.recipe(id) == nil {
			t.sayMsg("press.gone")
			return
		}
		t.exportRecipe(id)
	default:
		t.sayMsg("press.stale")
	}
	if len(t.replies) > 0 && t.replies[0].Document == nil {
		t.replies[0].InPlace = t.event.Message
	}
}

// exportWeights makes the file of a dog's weigh-ins; without an id it is that
// of the only dog, or it asks.
func (t *turn) exportWeights(id string) {
	d := t.dog(id)
	switch {
	case d == nil && len(t.home.Dogs) == 1:
		d = &t.home.Dogs[0]
	case d == nil && len(t.home.Dogs) == 0:
		t.sayMsg("who.none").offer(t.button(msg("button.add-dog"), "dog", "add"))
		return
	case d == nil:
		r := t.sayMsg("export.which-dog")
		for i := range t.home.Dogs {
			r.offer(t.button(t.home.Dogs[i].Name, "export", "weights", t.home.Dogs[i].ID))
		}
		return
	}
	rows := t.weighInRows(d.ID)
	if len(rows) == 0 {
		t.sayMsg("export.no-weights", "dog", d.Name)
		return
	}
	t.sayDocument(msg("export.weights", "dog", d.Name, "n", len(rows), "span", t.spanText(rows[0].date, rows[len(rows)-1].date)),
		Document{
			Name: fileName(map[string]bool{}, "weigh-ins", d.Name, d.ID, ".csv"), Alt: msg("export.weights-alt", "n", len(rows)),
			Type: "text/csv; charset=utf-8; header=present", Data: csvFile(weightColumns, cellsOf(rows)),
		})
}

// exportRecipe makes the file of a recipe; without an id it is that of the
// only one, or it asks.
func (t *turn) exportRecipe(id string) {
	r := t.recipe(id)
	switch {
	case r == nil && len(t.home.Recipes) == 1:
		r = &t.home.Recipes[0]
	case r == nil && len(t.home.Recipes) == 0:
		t.sayMsg("scale.no-recipe").offer(t.button(msg("button.add-recipe"), "recipe", "add"))
		return
	case r == nil:
		out := t.sayMsg("export.which-recipe")
		for i := range t.home.Recipes {
			out.offer(t.button(t.home.Recipes[i].Name, "export", "recipe", t.home.Recipes[i].ID))
		}
		return
	}
	t.sayDocument(msg("export.recipe", "recipe", r.Name), Document{
		Name: fileName(map[string]bool{}, "recipe", r.Name, r.ID, ".txt"), Alt: msg("export.recipe-alt"),
		Type: "text/plain; charset=utf-8", Data: t.recipeFile(r),
	})
}

// exportCalendar makes the file of what falls due in the coming weeks.
func (t *turn) exportCalendar() {
	events := t.calendarEvents()
	if len(events) == 0 {
		t.sayMsg("export.no-calendar", "weeks", calendarWeeks)
		return
	}
	data, err := t.calendarFile(events)
	if err != nil {
		t.fail(err)
		return
	}
	t.sayDocument(msg("export.calendar", "n", len(events), "span", t.spanText(t.dateOf(events[0].Start), t.dateOf(events[len(events)-1].Start))),
		Document{Name: calendarName, Alt: msg("export.calendar-alt", "n", len(events)), Type: "text/calendar; charset=utf-8", Data: data})
}

// exportAll makes the file of everything.
func (t *turn) exportAll() {
	all, err := t.everything()
	if err == nil {
		var data []byte
		if data, err = t.zipped(all); err == nil {
			t.sayDocument(msg("export.all", "n", len(all)), Document{
				Name: "bowlwright-" + t.date().String() + ".zip", Alt: msg("export.all-alt", "n", len(all)),
				Type: "application/zip", Data: data,
			})
			return
		}
	}
	t.fail(err)
}

// sayDocument sends a file with a text, or says that it is too large.
func (t *turn) sayDocument(text string, d Document) *Reply {
	if len(d.Data) > LargestDocument {
		const mega = 1 << 20
		return t.sayMsg("export.too-large", "size", (len(d.Data)+mega-1)/mega, "most", LargestDocument/mega)
	}
	r := t.say(para(text))
	r.Document = &d
	return r
}

// spanText prints the first and the last of some days: "Mon 2 Mar to Fri 6
// Mar", or the one that is both.
func (t *turn) spanText(first, last planner.Date) string {
	if first == last {
		return t.dateText(first)
	}
	return msg("export.span", "from", t.dateText(first), "to", t.dateText(last))
}

// dateOf is the household's day of an instant.
func (t *turn) dateOf(at time.Time) planner.Date {
	return planner.DateOf(at.In(t.event.At.Location()))
}
