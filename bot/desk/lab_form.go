package desk

import (
	"slices"
	"strings"

	"bowlwright/bot/read/foodline"
	"bowlwright/bot/read/span"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// The questions of the form: the figures, and whether some that are far from the
// table's are right.
var labSteps = []talk.Step[labDraft]{
	{Name: "figures", Ask: askLab, Free: true, Take: func(t *talk.Turn, d *labDraft, in talk.Answer) string {
		if !strings.ContainsAny(in.Text, "0123456789?") && t.Asked(in.Text) {
			return ""
		}
		takeLab(t, *d, in.Value())
		return ""
	}},
	{Name: "which", Ask: askWhichFood, Take: takeWhichFood, Repeats: true},
	{Name: "sure", Ask: askSureLab, Take: takeSureLab, Repeats: true},
}

func askLab(t *talk.Turn, d *labDraft) {
	if s, ok := sampleOf(t, *d); ok {
		t.Ask("lab", "figures", labDraft{Recipe: d.Recipe, Food: d.Food, Typed: d.Typed})
		t.Say(say.Para(say.Choose(d.Typed == "", msg("ask.lab", "name", s.name), msg("ask.lab-dry")))).Offer(t.StopButton())
	}
}

// takeLab reads what a laboratory measured. Figures in dry matter count by the
// water that the report says, else by that of the table.
func takeLab(t *talk.Turn, d labDraft, figures string) {
	s, ok := sampleOf(t, d)
	if !ok {
		return
	}
	water, before := -1.0, false
	if v := s.table[nutrition.Water]; v.Complete {
		water = v.Mid
	}
	for _, f := range s.lab.Facts {
		if f.Nutrient == nutrition.Water && (s.recipe == nil || s.recipe.LabCounts()) {
			water, before = f.PerGram*100, true
		}
	}
	figures = strings.TrimSpace(d.Typed + "\n" + figures)
	d.Typed = ""
	l, day, used, problems := foodline.LabText(figures, water)
	if used {
		delete(l.Per100, nutrition.Water)
	}
	switch {
	case slices.ContainsFunc(problems, func(p span.Problem) bool { return p.Code == span.NoMoisture }):
		d.Typed = figures
		askLab(t, &d)
		return
	case len(l.Per100)+len(l.Open) == 0:
		askLab(t, &d)
		t.LastReply().Begin(say.ProblemsText(problems))
		return
	}
	d.Facts, d.Open, d.Day = nil, l.Open, day
	for n := range nutrition.NutrientCount {
		if x, ok := l.Per100[n]; ok {
			d.Facts = append(d.Facts, planner.Fact{Nutrient: n, PerGram: x / 100})
		}
	}
	left := say.Each(problems, say.ProblemText)
	d.Head = say.JoinParas(say.Where(used, say.Choose(before, msg("lab.dry-known", "dry", say.Trim(100-water, 1)), say.Msg("lab.dry", "dry", say.Trim(100-water, 1)))),
		say.Where(len(left) > 0, msg("lab.left-out", "why", strings.Join(left, " "))))
	if far := farOff(s, d.Facts); len(far) > 0 {
		t.Ask("lab", "sure", d)
		askSureLab(t, &d)
		return
	}
	keepLab(t, d, s)
}

// slip is by how much a figure and the table's must differ before it is asked
// about: a decimal point in the wrong place makes ten times, and foods differ as
// well (our own choice).
const slip = 5

// farOff are the figures that are far from all that the table says there may be.
func farOff(s sample, facts []planner.Fact) (far []planner.Fact) {
	for _, f := range facts {
		v, x, most := s.table[f.Nutrient], f.PerGram*100, float64(slip)
		if !v.Complete {
			most *= 2 // there may be more; our own choice
		}
		if x < v.Low/slip || v.High > 0 && x > v.High*most {
			far = append(far, f)
		}
	}
	return far
}

func askSureLab(t *talk.Turn, d *labDraft) {
	s, ok := sampleOf(t, *d)
	if !ok {
		return
	}
	far := say.LinesOf(farOff(s, d.Facts), func(f planner.Fact) string {
		return msg("lab.far", "nutrient", f.Nutrient.Name(), "is", perHundred(f.PerGram*100, f.Nutrient), "table", tableCell(s.table[f.Nutrient], f.Nutrient))
	})
	t.Say(say.Whole(say.JoinParas(msg("ask.lab-sure", "name", s.name), far))).
		Offer(t.Answer(msg("button.lab-right"), "sure", "keep"), t.Answer(msg("button.lab-without"), "sure", "without"), t.StopButton())
}

func takeSureLab(t *talk.Turn, d *labDraft, in talk.Answer) (wrong string) {
	s, ok := sampleOf(t, *d)
	switch {
	case !ok:
	case in.Press == "keep" || talk.IsYes(in.Text):
		keepLab(t, *d, s)
	case in.Press == "without" || talk.IsNo(in.Text):
		far := farOff(s, d.Facts)
		d.Facts = slices.DeleteFunc(d.Facts, func(f planner.Fact) bool { return slices.Contains(far, f) })
		keepLab(t, *d, s)
	default:
		return msg("lab.yes-or-no")
	}
	return ""
}

func askWhichFood(t *talk.Turn, d *labDraft) {
	out := t.SayMsg("lab.which", "text", say.Short(d.Words))
	for _, f := range t.Foods.Find(d.Words).Choices {
		out.Offer(t.Answer(f.Name, "which", f.Key))
	}
	out.Offer(t.StopButton())
}

func takeWhichFood(t *talk.Turn, d *labDraft, in talk.Answer) (wrong string) {
	f := t.Foods.Food(in.Press)
	if f == nil {
		if f = t.Foods.Find(in.Text).Food; f == nil {
			return msg("lab.which", "text", say.Short(d.Words))
		}
	}
	t.EndDialogue()
	if to := (labDraft{Food: f.Key}); strings.TrimSpace(d.Typed) == "" {
		showLab(t, to, "")
	} else {
		takeLab(t, to, d.Typed)
	}
	return ""
}
