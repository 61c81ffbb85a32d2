package desk

import (
	"slices"
	"strings"

	"bowlwright/bot/read"
	"bowlwright/bot/recipes"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// labDraft is what a laboratory measured, until it is kept: of a recipe or a food.
type labDraft struct {
	Recipe string               `json:"recipe,omitempty"`
	Food   string               `json:"food,omitempty"`
	Words  string               `json:"words,omitempty"` // that name several foods
	Facts  []planner.Fact       `json:"facts,omitempty"` // as fed
	Open   []nutrition.Nutrient `json:"open,omitempty"`  // figures that are taken out
	Day    string               `json:"day,omitempty"`
	Head   string               `json:"head,omitempty"`  // what is to be said of how they were read
	Typed  string               `json:"typed,omitempty"` // figures that wait for the dry matter, or for which food they are of
}

// sample is what was measured, and what is known of it without the laboratory.
type sample struct {
	name   string
	lab    planner.Lab
	table  nutrition.Composition // per 100 g as fed
	recipe *planner.Recipe       // nil: a food
}

// sampleOf is what a draft is about. Where it is gone, or weighs nothing, it says
// so.
func sampleOf(t *talk.Turn, d labDraft) (s sample, ok bool) {
	if d.Food != "" {
		f := t.Base.With(t.Home.Foods).Food(d.Food)
		if f == nil {
			t.Gone()
			return s, false
		}
		s.name, s.table = f.Name, f.Per100
		if l := t.Home.LabOf(d.Food); l != nil {
			s.lab = *l
		}
		return s, true
	}
	r := t.Recipe(d.Recipe)
	if r == nil {
		t.Gone()
		return s, false
	}
	t.Talk.Recipe = r.ID
	bare := *r
	bare.Lab = planner.Lab{}
	m, err := planner.MixtureOf(bare, t.Foods, 0)
	sum := nutrition.Sum(m)
	switch {
	case recipes.Failed(t, r, err):
		return s, false
	case !(sum.Grams > 0):
		t.SayMsg("compare.empty")
		return s, false
	}
	s = sample{name: r.Name, lab: r.Lab, recipe: r}
	for n, v := range sum.Values {
		s.table[n] = v.Times(100 / float64(sum.Grams))
	}
	return s, true
}

// LabWords hears what a laboratory measured: what it is of, a colon or the end of
// the line, and the figures, however many.
func LabWords(t *talk.Turn, text string) bool {
	if m := read.Pattern("lab-says").FindStringSubmatch(text); m != nil {
		text = "lab for " + m[1] + ": " + m[2]
	}
	at := strings.IndexAny(text, ":\n")
	if at < 0 || !strings.ContainsAny(text[at:], "0123456789?") {
		return false
	}
	s, ok := t.Understand(text[:at])
	if !ok || s.Intent != read.LabValues {
		return false
	}
	labOf(t, s, text[:at], text[at+1:], func(d labDraft) { takeLab(t, d, text[at+1:]) })
	return true
}

// labOf finds the recipe or food that a sentence about a laboratory's figures
// means; where it may be several foods it asks, and keeps the figures.
func labOf(t *talk.Turn, s read.Sentence, said, figures string, do func(labDraft)) {
	switch food := foodSaid(t, said); {
	case s.Own != "":
		do(labDraft{Food: s.Own})
	case food != nil:
		do(labDraft{Food: food.Key})
	case s.Food == "" || t.Recipe(s.Recipe) != nil:
		if r := talk.RecipeMeant(t, s); r != nil {
			do(labDraft{Recipe: r.ID})
		}
	default:
		if r := recipes.RecipeWith(t, s.Food); r != nil {
			do(labDraft{Food: recipes.FindIn(t, r, s.Food).Key})
			return
		}
		if found := t.Foods.Find(s.Food); found.Food == nil && len(found.Choices) > 0 {
			t.Ask("lab", "which", labDraft{Words: s.Food, Typed: figures})
			askWhichFood(t, &labDraft{Words: s.Food})
			return
		}
		recipes.WithFood(t, s.Food, "show", func(f *nutrition.Food) { do(labDraft{Food: f.Key}) })
	}
}

// foodSaid is the food whose whole name stands at the end of what was said: "lab
// for turkey heart" is not about Turkey and heart.
func foodSaid(t *talk.Turn, said string) *nutrition.Food {
	words := strings.Fields(strings.Trim(said, " .?!"))
	for i, w := range words {
		if w == "for" || w == "of" || w == "on" {
			name := strings.TrimPrefix(strings.Join(words[i+1:], " "), "the ")
			if found := t.Foods.Find(name); t.RecipeNamed(name) == nil && len(found.Ignored) == 0 {
				return found.Food
			}
		}
	}
	return nil
}

// pressLab does what a button about a laboratory's figures asks.
func pressLab(t *talk.Turn, args []string) {
	d := labDraft{Recipe: talk.Arg(args, 1)}
	if talk.Arg(args, 1) == "food" {
		d = labDraft{Food: talk.Arg(args, 2)}
	}
	switch talk.Arg(args, 0) {
	case "show":
		showLab(t, d, "")
	case "more":
		askLab(t, &d)
	case "drop":
		dropLab(t, d)
	default:
		t.SayMsg("press.stale")
	}
}

// button is a button about what a draft is of.
func (d labDraft) button(t *talk.Turn, label, verb string) say.Button {
	if d.Food != "" {
		return t.Button(label, "lab", verb, "food", d.Food)
	}
	return t.Button(label, "lab", verb, d.Recipe)
}

// keepLab keeps what was measured.
func keepLab(t *talk.Turn, d labDraft, s sample) {
	t.EndDialogue()
	if len(d.Facts)+len(d.Open) == 0 {
		t.SayMsg("lab.nothing-kept")
		return
	}
	t.Mutate("did.lab", s.name)
	lab := s.lab
	if s.recipe != nil && !s.recipe.LabCounts() {
		lab = planner.Lab{} // of other lines
	}
	for _, f := range d.Facts {
		lab.Set(f.Nutrient, f.PerGram)
	}
	for _, n := range d.Open {
		lab.Drop(n)
	}
	if d.Day != "" {
		lab.Day = d.Day
	}
	setLab(t, d, lab)
	showLab(t, d, say.JoinParas(msg("lab.kept"), d.Head), t.UndoButton())
}

// setLab gives a recipe or a food what was measured; without figures, nothing.
func setLab(t *talk.Turn, d labDraft, lab planner.Lab) {
	if len(lab.Facts) == 0 {
		lab = planner.Lab{}
	}
	if r := t.Recipe(d.Recipe); r != nil {
		if r.Lab = lab; len(lab.Facts) > 0 {
			r.Measure()
		}
		return
	}
	lab.Food = d.Food
	labs := slices.DeleteFunc(slices.Clone(t.Home.Labs), func(l planner.Lab) bool { return l.Food == d.Food })
	if len(lab.Facts) > 0 {
		labs = append(labs, lab)
	}
	t.Home.Labs = labs
	t.Shelve()
}

// dropLab takes all figures of a recipe or a food out.
func dropLab(t *talk.Turn, d labDraft) {
	s, ok := sampleOf(t, d)
	switch {
	case !ok:
	case len(s.lab.Facts) == 0:
		showLab(t, d, "")
	default:
		t.Mutate("did.lab", s.name)
		setLab(t, d, planner.Lab{})
		t.SayMsg("lab.dropped", "name", s.name).Offer(t.UndoButton())
	}
}

// showLab lists what was measured beside what the table says, and asks for it
// where there is nothing.
func showLab(t *talk.Turn, d labDraft, head string, extra ...say.Button) {
	s, ok := sampleOf(t, d)
	if !ok {
		return
	}
	if len(s.lab.Facts) == 0 {
		askLab(t, &d)
		t.LastReply().Begin(head)
		return
	}
	rows := append([]say.TableRow{{Label: msg("lab.per-100"), Cells: []string{msg("lab.column"), msg("lab.table")}}}, say.Each(s.lab.Facts, func(f planner.Fact) say.TableRow {
		return say.TableRow{Label: f.Nutrient.Name(), Cells: []string{perHundred(f.PerGram*100, f.Nutrient), tableCell(s.table[f.Nutrient], f.Nutrient)}}
	})...)
	counts := ""
	if s.recipe != nil {
		counts = msg(say.Choose(s.recipe.LabCounts(), "lab.rests", "lab.stale"), "recipe", s.name)
	}
	out := t.Say(say.Para(head), say.Para(msg("lab.of", "name", s.name, "day", dayText(s.lab.Day))), say.TableBlock(rows), say.Para(counts))
	out.Offer(d.button(t, msg("button.lab-more"), "more"), d.button(t, msg("button.lab-drop"), "drop"))
	out.Offer(extra...)
}

// dayText is the day of a report, with the word before it.
func dayText(day string) string {
	if d, err := planner.ParseDate(day); err == nil {
		day = say.MonthText(d)
	}
	return say.Where(day != "", ", "+msg("lab.day", "day", day))
}

func perHundred(x float64, n nutrition.Nutrient) string { return recipes.LimitText(x, n.Unit()) }

// tableCell is what the table says, short: a range, or the least there is.
func tableCell(v nutrition.Value, n nutrition.Nutrient) string {
	switch {
	case v.IsUnknown():
		return "?"
	case !v.Complete:
		return ">" + perHundred(v.Low, n)
	case say.Sig(v.Low) != say.Sig(v.High):
		f, u := say.DisplayUnit(v.High, n.Unit())
		return say.Sig(v.Low/f) + "-" + say.Sig(v.High/f) + u
	}
	return perHundred(v.Mid, n)
}

// labText is what a recipe has from a laboratory, to be shown with it, and that
// its figures count no more, or again, after a change.
func labText(t *talk.Turn, r *planner.Recipe) string {
	if len(r.Lab.Facts) == 0 {
		return ""
	}
	counts := r.LabCounts()
	if stored := t.Recipe(r.ID); stored != nil && stored.Lab.Stale == counts {
		stored.Lab.Stale, t.Changed = !counts, true
		if !counts {
			return msg("lab.no-longer", "recipe", r.Name)
		}
	}
	return say.Where(counts, msg("lab.shown", "n", len(r.Lab.Facts), "day", dayText(r.Lab.Day)))
}
