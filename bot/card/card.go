package card

import (
	"cmp"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"time"

	"bowlwright/bot/balance"
	"bowlwright/bot/desk"
	"bowlwright/bot/recipes"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/planner/illness"
	"bowlwright/planner/larder"
)

// Card is a recipe as it is given to readers: nothing of the household stands in
// it but the recipe.
type Card struct {
	Name string // of the recipe
	Alt  string // in words, for a screen that shows no picture

	drawn, page sheet
	sums        *sums
	at          time.Time
}

// Publication is what a card of something published says besides. The zero
// value is a card of a recipe of one's own.
type Publication struct {
	Author string // the name that its author chose
	About  string // what the author says of it
	For    string // and of the dogs that it is for
	Number int    // of the version; 0: the recipe's own
	Table  string // it is compared with; empty: that of its standing, or the household's
	Link   string // that opens it; drawn as a QR code
}

// Of makes the card of a recipe whose foods are in t.Foods. It says everything
// in the units of t's household. Errors are those of planner.TotalsOf, and
// *planner.ScaleError where no bowl can be made of the recipe.
func Of(t *talk.Turn, r planner.Recipe, p Publication) (Card, error) {
	l, err := balance.LookBy(t, &r, cmp.Or(p.Table, r.Standing.Table))
	if err != nil {
		return Card{}, err
	}
	sum, err := planner.TotalsOf(r, t.Foods)
	if err != nil {
		return Card{}, err
	}
	s, err := sumsOf(t, r, sum)
	if err != nil {
		return Card{}, err
	}
	c := Card{Name: r.Name, Alt: msg("card.alt", "recipe", r.Name), sums: s, at: t.Event.At}
	head := sheet{Title: r.Name, Amiss: paras(illName(t, r), amiss(r, l)), Under: under(t, r, p), Link: p.Link, Linked: say.Where(p.Link != "", msg("card.link")),
		Foot: msg("card.foot", "day", dayText(t.Date()))}
	if drawable(r.Name) == "" {
		head.Title = msg("card.nameless")
	}
	c.drawn, c.page = head, head
	// A page has room for a table of the recipe and one of the sizes.
	c.page.add(block{Paras: paras(p.About)}, linesBlock(t, r, sum), s.block(t, r))
	c.drawn.add(block{Paras: paras(p.About)}, s.joined(t, r, sum))
	for _, b := range []block{
		partsBlock(sum),
		dosesBlock(t, r, s),
		{Head: msg("card.method"), half: true, Paras: append(paras(r.Method), paras(recipes.NotesOf(t, &r)...)...)},
		completeBlock(t, r, l, s),
		{Head: msg("card.cautions"), half: true, Paras: cautions(t, l)},
		{Head: msg("card.sources"), half: true, Notes: sources(t, r, l)},
	} {
		c.page.add(b)
		c.drawn.add(b)
	}
	return c, nil
}

// PNG is the card as a picture for a phone.
func (c Card) PNG() ([]byte, error) { return c.drawn.png() }

// PDF is the card as a page to print.
func (c Card) PDF(on Paper) ([]byte, error) { return c.drawn.pdf(on, c.at) }

// HTML is the card as a page for a browser, in one file.
func (c Card) HTML() ([]byte, error) { return c.page.html(c.sums) }

// amiss says where a recipe falls far short of its table; the rest of the day
// makes up for a topper.
func amiss(r planner.Recipe, l balance.Looked) string {
	if r.Topper() {
		return ""
	}
	return say.Unmarked(balance.FailingText(nutrition.Failings(l.Mixture, &l.Result)))
}

// illName says that a card is not for ill dogs, of a recipe whose name speaks of an
// illness and not of a food in it.
func illName(t *talk.Turn, r planner.Recipe) string {
	for _, code := range illness.In(r.Name) {
		food := func(in planner.Ingredient) bool { return strings.Contains(t.FoodName(in.Food), string(code)) }
		if !slices.ContainsFunc(r.Ingredients, food) {
			return msg("card.ill-name")
		}
	}
	return ""
}

// under are the lines under a card's Title: for whom it is first, and what it is.
func under(t *talk.Turn, r planner.Recipe, p Publication) []string {
	n := cmp.Or(p.Number, r.Number, 1)
	since := t.Date()
	if !r.Since.IsZero() {
		since = t.DateAt(r.Since)
	}
	version := msg(say.Choose(p.Author == "", "card.version", "card.version-by"), "n", n, "day", dayText(since), "author", p.Author)
	topper := say.Where(r.Topper(), msg("card.topper"))
	return paras(msg("card.for"), desk.StandingText(t, &r), topper, say.Where(p.For != "", msg("card.for-whom", "for", p.For)), version)
}

func dayText(d planner.Date) string {
	return time.Date(d.Year, d.Month, d.Day, 12, 0, 0, 0, time.UTC).Format("2 January 2006")
}

// linesBlock is the recipe as written, in grams and ounces.
func linesBlock(t *talk.Turn, r planner.Recipe, sum planner.Totals) block {
	tab := &table{Heads: [][]string{{"", "g", "oz"}}, sums: 1}
	for _, in := range r.Ingredients {
		tab.Rows = append(tab.Rows, []string{foodText(t, in), figure(in.Grams, false), figure(in.Grams, true)})
	}
	tab.Rows = append(tab.Rows, []string{msg("card.together"), figure(sum.Grams, false), figure(sum.Grams, true)})
	return block{Head: msg("card.recipe"), Table: tab, Notes: append(writtenNotes(r, sum), cookedNotes(t, r)...)}
}

// writtenNotes say what the recipe as written brings.
func writtenNotes(r planner.Recipe, sum planner.Totals) []string {
	var notes string
	if sum.Energy.Complete {
		notes = msg("card.energy", "kcal", say.KcalRange(sum.Energy), "per", say.Trim(sum.Energy.Mid*100/float64(sum.Grams), 0))
	}
	if r.Days > 0 {
		notes += "\n" + msg("card.days", "n", say.Trim(r.Days, 1))
	}
	return paras(notes)
}

// cookedNotes say of a recipe that is cooked what its weights are, and what it comes
// out at.
func cookedNotes(t *talk.Turn, r planner.Recipe) []string {
	inCooked := larder.InCookedWeights(r, t.Foods)
	yield, weighed := r.Yield()
	return paras(say.JoinParas(say.Where(inCooked, msg("card.cooked-weights")), say.Where(weighed && !inCooked, msg("card.yield", "yield", say.Trim(yield, 2))),
		say.Where(r.Cooking.Poured, msg("card.poured"))))
}

// figure is an amount as a recipe states it, without its unit.
func figure(g nutrition.Grams, ounces bool) string {
	return say.Choose(ounces, say.Trim(g.Ounces(), 2), say.Trim(float64(g), 1))
}

// foodText is a food with what its package says of it: a reader's package has
// to say the same.
func foodText(t *talk.Turn, in planner.Ingredient) string {
	text := t.FoodName(in.Food)
	for i, f := range in.Label {
		text += say.Choose(i == 0, " (", ", ") + msg("card.label", "amount", say.Sig(f.PerGram), "unit", say.UnitText(f.Nutrient.Unit()), "nutrient", f.Nutrient.Name())
	}
	return text + say.Where(len(in.Label) > 0, ")")
}

// partsBlock is what share of the weight each body part is.
func partsBlock(sum planner.Totals) block {
	var parts []string
	for p := range nutrition.PartCount {
		if f := sum.Shares[p]; f > 0.0005 { // less is not named; our own choice
			parts = append(parts, recipes.PartText(p)+" "+say.Percent(f))
		}
	}
	return block{Head: msg("card.parts"), half: true, Paras: []string{say.Capital(strings.Join(parts, ", ")) + "."}}
}

// completeBlock says how a recipe compares with its table, and what is not
// known of it.
func completeBlock(t *talk.Turn, r planner.Recipe, l balance.Looked, s *sums) block {
	all := len(l.Result.Rows)
	wrong, open := balance.FindingLines(l, all, all)
	off, _ := balance.SharesOffText(l)
	var byDay []string
	for _, d := range r.Doses {
		if forOneDog(d) && r.Days == 0 {
			byDay = append(byDay, t.FoodName(d.Food))
		}
	}
	return block{Head: msg("card.complete"), half: true, Lead: say.Unmarked(balance.VerdictText(l)),
		Paras: unmarked(paras(wrong, s.over, open, off)),
		Notes: paras(msg("card.basis", "table", msgProfile(l.Result.ProfileID)), say.Where(len(byDay) > 0, msg("card.not-counted", "foods", say.List(byDay))))}
}

func unmarked(lines []string) []string {
	for i := range lines {
		lines[i] = say.Unmarked(lines[i])
	}
	return lines
}

// cautions are what any reader has to know: whatever foods call for, for the
// smallest dog, and for a home with somebody frail in it. What is said of the
// same foods stands together.
func cautions(t *talk.Turn, l balance.Looked) []string {
	ctx := nutrition.CautionContext{Analysis: &l.Result, AtRisk: true, Weight: leastKilos}
	var whose, texts []string
	for _, c := range nutrition.Cautions(l.Mixture.Items, ctx) {
		foods := say.Capital(say.ListOf(c.Foods, t.FoodName))
		if c.Code == nutrition.HomeAtRiskCaution { // of all that is raw
			foods = ""
		}
		text := recipes.CautionText(nutrition.Caution{Code: c.Code}, t.Foods)
		if i := slices.Index(whose, foods); i >= 0 && foods != "" {
			texts[i] += " " + text
			continue
		}
		whose, texts = append(whose, foods), append(texts, text)
	}
	for i, foods := range whose {
		if foods != "" {
			texts[i] = foods + ": " + texts[i]
		}
	}
	return unmarked(paras(msg("card.caution-vet"), strings.Join(texts, "\n"), msg("card.caution-keep")))
}

// sourceTable is what foods of the compiled-in table are from, and sourceRow such a
// food's source: the table, and its row.
const sourceTable = "USDA SR26"

var sourceRow = regexp.MustCompile("^" + sourceTable + ` (\d{5})$`)

// sources are where the figures are from.
func sources(t *talk.Turn, r planner.Recipe, l balance.Looked) []string {
	var rows, rest, out []string
	for _, key := range r.Foods() {
		f := t.Foods.Food(key)
		if f == nil {
			continue
		}
		if m := sourceRow.FindStringSubmatch(f.Source); m != nil {
			if !slices.Contains(rows, m[1]) {
				rows = append(rows, m[1])
			}
		} else if s := fmt.Sprintf("%s: %s", f.Name, f.Source); f.Source != "" && !slices.Contains(rest, s) {
			rest = append(rest, s)
		}
	}
	if len(rows) > 0 {
		out = append(out, msg("card.source-foods", "table", sourceTable, "rows", strings.Join(rows, ", ")))
	}
	if len(rest) > 0 {
		out = append(out, say.Capital(strings.Join(rest, "; "))+".")
	}
	out = append(out, paras(labText(l.Result.Rows))...)
	return append(out, msg("card.source-energy", "factor", say.Trim(nutrition.ActivityModerate.Factor(), 0)), msg("card.source-table", "table", msgProfile(l.Result.ProfileID)))
}

// labText says that some figures are a laboratory's; each is marked.
func labText(rows []nutrition.Row) string {
	measured := slices.ContainsFunc(rows, func(r nutrition.Row) bool { return r.Measured })
	return say.Where(measured, msg("card.source-lab"))
}

func msgProfile(id string) string { return say.Msg("profile." + id) }
