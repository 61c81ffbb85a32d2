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

// answerStock notes how many of a supplement there are: "stock 60 capsules",
// "I bought 90".
func answerStock(t *talk.Turn, s read.Sentence) {
	got, err := read.StockText(t.Event.Text)
	if err != nil {
		t.Say(say.Para(msg("stock.how-many")))
		return
	}
	switch found := stocked(t, got); len(found) {
	case 0:
	case 1:
		setStock(t, found[0], got)
	default:
		r := t.SayMsg("stock.which", "n", say.Trim(got.Count, 2))
		for _, f := range found {
			r.Offer(t.Button(say.Cut(talk.AboutReminder(t, f), 30), "supplement", "stock", f.ID, say.Trim(got.Count, 2), say.Choose(got.More, "more", "set"), say.Cut(got.Form, 10)))
		}
	}
}

// RanOut takes "the fish oil is finished" for a stock of which nothing is left, and reports
// whether a text says so of a supplement.
func RanOut(t *talk.Turn, s string) bool {
	food := read.Find("nothing-left", s)
	last := food[strings.LastIndexByte(food, ' ')+1:]
	found := slices.DeleteFunc(DosesNamed(t, food, nil), func(r *planner.Reminder) bool { // "the fish is finished" is of no oil
		return t.Foods.Find(food).Food == nil && !span.IsForm(last) && !strings.HasSuffix(t.FoodName(r.Dose.Food), last)
	})
	if food == "" || len(found) == 0 {
		return false
	}
	out := t.SayMsg("stock.ran-out", "food", t.FoodName(found[0].Dose.Food))
	for _, r := range found {
		if r.Stock != nil {
			t.Mutate("did.stock", talk.AboutReminder(t, r))
			r.Stock.Left = 0
		}
		out.Offer(t.Button(msg("button.stop-of", "what", talk.AboutReminder(t, r)), "remind", "stop", r.ID))
	}
	if t.Changed {
		out.Offer(t.UndoButton())
	}
	return true
}

// stocked are the supplements that a count can be of: by name, else by form. Where there
// are none it says so.
func stocked(t *talk.Turn, s read.Stock) []*planner.Reminder {
	found, all := DosesNamed(t, cmp.Or(s.Food, s.Form), nil), sortedReminders(t, planner.SupplementReminder)
	switch {
	case len(all) == 0:
		t.SayMsg("stock.no-supplement").Offer(t.Button(msg("button.add-supplement"), "supplement", "add"))
	case len(found) == 0 && s.Food == "":
		return all
	case len(found) == 0:
		listSupplements(t, msg("stock.not-reminded", "text", say.Short(s.Food)))
	}
	return found
}

// DoseIs reports that a reminder is of a dose of what some words name.
func DoseIs(t *talk.Turn, r *planner.Reminder, words string) bool {
	if r.Kind != planner.SupplementReminder || r.Dose == nil {
		return false
	}
	low := strings.ToLower(words)
	if span.IsForm(low) { // "their capsules"
		return r.Dose.Form != "" && strings.HasPrefix(low, r.Dose.Form)
	}
	name := " " + strings.ToLower(t.FoodName(r.Dose.Food))
	if strings.Contains(low, name[1:]) || low != "" && strings.Contains(name, " "+low) || strings.Contains(low, strings.ReplaceAll(r.Dose.Food, "-", " ")) {
		return true
	}
	found := t.Foods.Find(words) // by another of its names
	return found.Food != nil && found.Food.Key == r.Dose.Food || low == "fish oil" && read.In("fish-oils", name[1:])
}

// DosesNamed are the reminders of doses that some words name, of the dogs
// that are named or of all.
func DosesNamed(t *talk.Turn, words string, dogs []string) []*planner.Reminder {
	return slices.DeleteFunc(sortedReminders(t, planner.SupplementReminder), func(r *planner.Reminder) bool {
		return !DoseIs(t, r, words) || len(dogs) > 0 && r.Dog != "" && !slices.Contains(dogs, r.Dog)
	})
}

// GivenNamed are the reminders that some words are about one by one, of the dogs that
// are named or of all: of supplements, else of what notes say. Part of a name is enough:
// "benazepril and the powder".
func GivenNamed(t *talk.Turn, words string, dogs []string) (fits []*planner.Reminder) {
	for _, part := range read.Clauses(words) {
		thing := cmp.Or(read.GivenThing(read.Pattern("dose").ReplaceAllString(part, " "), t.Names()), read.GivenThing(part, t.Names()))
		found := DosesNamed(t, thing, dogs)
		by := []func(*talk.Turn, string, []string) []*planner.Reminder{NotesNamed, medicinesNamed}
		if onlyMedicine(thing) { // "her tablet" is of any of them
			slices.Reverse(by)
		}
		for _, of := range by {
			if thing != "" && len(found) == 0 {
				found = of(t, thing, dogs)
			}
		}
		says := func(r *planner.Reminder) bool {
			return strings.Contains(strings.ToLower(r.Text), strings.ToLower(thing))
		}
		byWord := slices.ContainsFunc(found, says) // "the tablet" is none of the powders
		for _, r := range found {
			if !slices.Contains(fits, r) && (says(r) || !byWord) {
				fits = append(fits, r)
			}
		}
	}
	return fits
}

// Given are the reminders of all that is given, to the dogs that are named or to all.
func Given(t *talk.Turn, dogs []string) []*planner.Reminder {
	return slices.DeleteFunc(sortedReminders(t, planner.SupplementReminder, planner.NoteReminder), func(r *planner.Reminder) bool {
		return !isGiven(t, r) || len(dogs) > 0 && r.Dog != "" && !slices.Contains(dogs, r.Dog)
	})
}

// NotesNamed are the notes that some words are about, of the dogs that are named or of all.
func NotesNamed(t *talk.Turn, thing string, dogs []string) []*planner.Reminder {
	return slices.DeleteFunc(About(t, thing), func(r *planner.Reminder) bool {
		return r.Kind != planner.NoteReminder || len(dogs) > 0 && r.Dog != "" && !slices.Contains(dogs, r.Dog)
	})
}

// medicinesNamed are the notes of what is given that have one of some words, or all of
// them where the words are no more than "the tablet".
func medicinesNamed(t *talk.Turn, thing string, dogs []string) []*planner.Reminder {
	given := slices.DeleteFunc(Given(t, dogs), func(r *planner.Reminder) bool { return r.Kind != planner.NoteReminder })
	named := slices.DeleteFunc(slices.Clone(given), func(r *planner.Reminder) bool { // "Dev gave her vetmedin"
		return !slices.ContainsFunc(strings.Fields(strings.ToLower(thing)), func(w string) bool {
			return len(w) > 3 && !span.IsForm(w) && !read.In("any-medicine", w) && read.HasName(talk.WithoutDogs(t, read.Pattern("dose").ReplaceAllString(r.Text, " ")), w)
		})
	})
	if len(named) == 0 && onlyMedicine(thing) {
		return given
	}
	return named
}

// onlyMedicine reports that words are no more than "the tablet".
func onlyMedicine(words string) bool {
	return strings.TrimSpace(read.Pattern("medicine").ReplaceAllString(words, " ")) == ""
}

// pressStock notes a count for the supplement that was chosen.
func pressStock(t *talk.Turn, args []string) {
	r := t.Reminder(talk.Arg(args, 0))
	n, err := span.Number(talk.Arg(args, 1))
	if talk.Gone(t, r == nil || err != nil) {
		return
	}
	setStock(t, r, read.Stock{Count: n, More: talk.Arg(args, 2) == "more", Form: talk.Arg(args, 3)})
}

// setStock keeps a count, and says until when it lasts.
func setStock(t *talk.Turn, r *planner.Reminder, s read.Stock) {
	t.Mutate("did.stock", talk.AboutReminder(t, r))
	taken := putStock(r, s)
	showReminder(t, r, say.JoinParas(msg("remind.changed"), taken), t.UndoButton())
}

// putStock puts a count into a reminder. Where the dose was not counted in
// pieces it is from now on, one each time, and that is said.
func putStock(r *planner.Reminder, s read.Stock) (said string) {
	if r.Stock == nil {
		r.Stock = &planner.Stock{}
	}
	if s.More {
		r.Stock.Add(s.Count)
	} else {
		*r.Stock = planner.Stock{Left: s.Count}
	}
	if r.Dose.Count == 0 && r.Dose.Grams == 0 {
		dose := *r.Dose
		dose.Count, dose.Form = 1, cmp.Or(s.Form, "capsule")
		r.Dose = &dose
		return msg("stock.one-each", "form", dose.Form)
	}
	return ""
}

// answerStockLeft says how much of a supplement is left, and until when that
// lasts.
func answerStockLeft(t *talk.Turn, s read.Sentence) {
	if span.IsForm(s.Food) { // "how many capsules are left": of any
		s.Food = ""
	}
	found := stocked(t, read.Stock{Food: s.Food})
	if len(found) == 0 {
		return
	}
	var lines []string
	hint := ""
	for _, r := range found {
		line := stockLine(t, r)
		if line == "" {
			line, hint = msg("stock.not-counted"), msg("stock.hint")
		}
		lines = append(lines, msg("stock.line", "what", say.Capital(talk.AboutReminder(t, r)), "stock", line))
	}
	out := t.Say(say.Whole(talk.JoinLines(lines)), say.Para(hint))
	offerReminders(t, out, found)
}

// stockLine says what is left of a supplement and until when it lasts.
func stockLine(t *talk.Turn, r *planner.Reminder) string {
	if r.Stock == nil {
		return ""
	}
	left := say.Trim(r.Stock.Left, 2)
	if out, ok := r.Stock.RunsOut(*r, t.Date(), t.Event.At.Location()); ok {
		if !t.Date().Before(out) {
			return msg("stock.out", "left", left)
		}
		return msg("stock.until", "left", left, "day", t.DateText(out))
	}
	return msg("stock.left", "left", left)
}

func askRemindStock(t *talk.Turn, d *remindDraft) {
	t.SayMsg("stock.ask", "food", t.FoodName(d.R.Dose.Food)).Offer(t.Answer(msg("button.no-stock"), "stock", "none"))
}

func takeRemindStock(t *talk.Turn, d *remindDraft, in talk.Answer) string {
	if read.Said("uncounted", in.Value()) {
		d.R.Stock = nil
		return ""
	}
	s, err := read.StockText(in.Value())
	if err != nil || d.R.Dose == nil {
		return msg("stock.how-many")
	}
	if d.R.Stock != nil {
		kept := *d.R.Stock
		d.R.Stock = &kept
	}
	putStock(&d.R, s)
	return ""
}
