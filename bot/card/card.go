package card

import (
	"cmp"
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
		{Head: msg("card.method"), half: true, Paras: methodText(t, r)},
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
	n := p.Number
	if n == 0 {
		n = max(r.Number, 1)
	}
	since := t.Date()
	if !r.Since.IsZero() {
		since = t.DateAt(r.Since)
	}
	version := msg("card.version", "n", n, "day", dayText(since))
	if p.Author != "" {
		version = msg("card.version-by", "n", n, "day", dayText(since), "author", p.Author)
	}
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
	if ounces {
		return say.Trim(g.Ounces(), 2)
	}
	return say.Trim(float64(g), 1)
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

// methodText is how it is made, and why each food is there.
func methodText(t *talk.Turn, r planner.Recipe) []string {
	out := paras(r.Method)
	for _, n := range r.Notes {
		switch {
		case n.Food == "":
			out = append(out, paras(n.Text)...)
		case r.Uses(n.Food):
			out = append(out, msg("card.why", "food", say.Capital(t.FoodName(n.Food)), "text", n.Text))
		}
	}
	return out
}
