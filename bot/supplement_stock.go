package bot

import (
	"cmp"
	"strings"

	"bowlwright/bot/read"
	"bowlwright/planner"
)

// mostStock is the largest count that is taken for meant.
const mostStock = 100_000

// answerStock notes how many of a supplement there are: "stock 60 capsules",
// "I bought 90".
func (t *turn) answerStock(s read.Sentence) {
	got, err := read.StockText(t.event.Text)
	if err != nil {
		t.say(para(msg("stock.how-many")))
		return
	}
	found := t.stocked(got)
	switch {
	case len(found) == 1:
		t.setStock(found[0], got)
	case len(t.sortedReminders(planner.SupplementReminder)) == 0:
		t.sayMsg("stock.no-supplement").offer(t.button(msg("button.add-supplement"), "supplement", "add"))
	case len(found) == 0:
		t.listSupplements(msg("stock.not-reminded", "text", short(got.Food)))
	default:
		r := t.sayMsg("stock.which", "n", trim(got.Count, 2))
		for _, f := range found {
			r.offer(t.button(cut(t.aboutReminder(f), 30), "supplement", "stock", f.ID, trim(got.Count, 2), choose(got.More, "more", "set"), cut(got.Form, 10)))
		}
	}
}

// stocked are the supplements that a count can be of: by name, else by form.
func (t *turn) stocked(s read.Stock) []*planner.Reminder {
	all := t.sortedReminders(planner.SupplementReminder)
	if s.Food != "" {
		var out []*planner.Reminder
		want := t.foods.Find(s.Food).Food
		for _, r := range all {
			if r.Dose != nil && (want != nil && r.Dose.Food == want.Key || strings.Contains(strings.ToLower(t.foodName(r.Dose.Food)), strings.ToLower(s.Food))) {
				out = append(out, r)
			}
		}
		return out
	}
	var same []*planner.Reminder
	for _, r := range all {
		if s.Form != "" && r.Dose != nil && r.Dose.Form == s.Form {
			same = append(same, r)
		}
	}
	if len(same) > 0 {
		return same
	}
	return all
}

// pressStock notes a count for the supplement that was chosen.
func (t *turn) pressStock(args []string) {
	r := t.reminder(arg(args, 0))
	n, err := read.Number(arg(args, 1))
	if r == nil || err != nil {
		t.sayMsg("press.gone")
		return
	}
	t.setStock(r, read.Stock{Count: n, More: arg(args, 2) == "more", Form: arg(args, 3)})
}

// setStock keeps a count, and says until when it lasts.
func (t *turn) setStock(r *planner.Reminder, s read.Stock) {
	if wrong := stockTrouble(s); wrong != "" {
		t.say(para(wrong))
		return
	}
	t.mutate("did.stock", t.aboutReminder(r))
	taken := putStock(r, s)
	t.showReminder(r, joinParas(msg("remind.changed"), taken), t.undoButton())
}

func stockTrouble(s read.Stock) string {
	if s.Count < 0 || s.Count > mostStock {
		return msg("stock.how-many")
	}
	return ""
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
func (t *turn) answerStockLeft(s read.Sentence) {
	found := t.stocked(read.Stock{Food: s.Food})
	if read.IsForm(s.Food) { // "how many capsules are left"
		found = t.sortedReminders(planner.SupplementReminder)
	}
	switch {
	case len(found) > 0:
	case len(t.sortedReminders(planner.SupplementReminder)) == 0:
		t.sayMsg("stock.no-supplement").offer(t.button(msg("button.add-supplement"), "supplement", "add"))
		return
	default:
		t.listSupplements(msg("stock.not-reminded", "text", short(s.Food)))
		return
	}
	var lines []string
	hint := ""
	for _, r := range found {
		line := t.stockLine(r)
		if line == "" {
			line, hint = msg("stock.not-counted"), msg("stock.hint")
		}
		lines = append(lines, msg("stock.line", "what", capital(t.aboutReminder(r)), "stock", line))
	}
	out := t.say(para(joinLines(lines)), para(hint))
	t.offerReminders(out, found)
}

// stockLine says what is left of a supplement and until when it lasts.
func (t *turn) stockLine(r *planner.Reminder) string {
	if r.Stock == nil {
		return ""
	}
	left := trim(r.Stock.Left, 2)
	if out, ok := r.Stock.RunsOut(*r, t.date(), t.event.At.Location()); ok {
		if !t.date().Before(out) {
			return msg("stock.out", "left", left)
		}
		return msg("stock.until", "left", left, "day", t.dateText(out))
	}
	return msg("stock.left", "left", left)
}

func askRemindStock(t *turn, d *remindDraft) {
	t.sayMsg("stock.ask", "food", t.foodName(d.R.Dose.Food)).offer(t.answer(msg("button.no-stock"), "stock", "none"))
}

func takeRemindStock(t *turn, d *remindDraft, in answer) string {
	switch strings.ToLower(strings.Trim(in.value(), " .!")) {
	case "none", "no", "do not count", "don't count", "stop counting":
		d.R.Stock = nil
		return ""
	}
	s, err := read.StockText(in.value())
	if err != nil || stockTrouble(s) != "" || d.R.Dose == nil {
		return msg("stock.how-many")
	}
	if d.R.Stock != nil {
		kept := *d.R.Stock
		d.R.Stock = &kept
	}
	putStock(&d.R, s)
	return ""
}
