package say

import (
	"cmp"
	"errors"
	"math"
	"slices"
	"strings"
	"time"
	"unicode"

	"bowlwright/bot/read/foodline"
	"bowlwright/bot/read/span"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// DisplayUnit is the factor and unit in which an amount reads best.
func DisplayUnit(x float64, unit string) (float64, string) {
	switch {
	case unit == "ratio":
		return 1, " : 1"
	case unit == "mg" && x >= 1000:
		return 1000, " g"
	case unit == "ug" && x >= 1000:
		return 1000, " mg"
	}
	return 1, " " + UnitText(unit)
}

// Figure is an amount that is rounded already, in the household's unit,
// without it: the column's heading has it.
func Figure(g nutrition.Grams, u planner.Units) string {
	if u.Ounces {
		return Trim(g.Ounces(), 1)
	}
	return Trim(float64(g), 1)
}

// MassUnit is the unit of a Figure.
func MassUnit(u planner.Units) string { return Choose(u.Ounces, "oz", "g") }

// WholeText is a whole that is rounded already, as the table under it has it;
// kilograms or pounds where it is a batch.
func WholeText(g nutrition.Grams, u planner.Units) string {
	if g >= 10_000 {
		return Mass(g, u)
	}
	return Figure(g, u) + " " + MassUnit(u)
}

// Short cuts what a person typed to what a reply repeats of it.
func Short(s string) string {
	return Cut(span.JoinFields(s), 60)
}

// Cut shortens a text to so many characters.
func Cut(s string, most int) string {
	if r := []rune(s); len(r) > most {
		return string(r[:most-1]) + "…"
	}
	return s
}

// MaxName is how many characters the name of a dog or recipe may have.
const MaxName = 40

// JoinParas puts texts below one another, leaving out empty ones.
func JoinParas(parts ...string) string {
	said := slices.DeleteFunc(slices.Clone(parts), func(p string) bool { return p == "" })
	return strings.Join(said, "\n")
}

// FieldText says which answer about a dog cannot be right.
func FieldText(err error, u planner.Units) string {
	var f *planner.FieldError
	if !errors.As(err, &f) {
		return Msg("trouble.internal")
	}
	key := "field-wrong." + f.Field + "." + string(f.Code)
	if !common.Has(key) {
		key = "field-wrong." + f.Field
	}
	if !common.Has(key) {
		return Msg("field-wrong.other", "field", f.Field)
	}
	low, high := "0.3 kg", "120 kg"
	if u.Pounds {
		low, high = "0.7 lb", "264 lb"
	}
	if f.Field == "weight" {
		return Msg(key, "low", low, "high", high)
	}
	return Msg(key)
}

// How a press on what fell due is written: "due:ACTION:REMINDER:STAMP", the
// stamp being the date and the clock of the occurrence.
const StampForm = "200601021504"

func StampOf(m planner.Moment) string {
	return time.Date(m.Date.Year, m.Date.Month, m.Date.Day, m.Clock.Hour(), m.Clock.Minute(), 0, 0, time.UTC).Format(StampForm)
}

// DayText prints a day: "Thu 5 Mar".
func DayText(d planner.Date) string {
	return time.Date(d.Year, d.Month, d.Day, 12, 0, 0, 0, time.UTC).Format("Mon 2 Jan")
}

// Sig prints a figure to about three significant digits.
func Sig(x float64) string {
	switch {
	case x >= 1000:
		return Trim(math.Round(x/10)*10, 0)
	case x >= 100:
		return Trim(x, 0)
	case x >= 10:
		return Trim(x, 1)
	case x >= 1:
		return Trim(x, 2)
	}
	return Trim(x, 3)
}

func UnitText(u string) string {
	if u == "ug" {
		return "µg"
	}
	return u
}

// CadenceText prints how often a supplement is given.
func CadenceText(c planner.Cadence) string {
	switch {
	case c.EveryDays > 1:
		return Msg("cadence.every", "n", c.EveryDays)
	case len(c.Weekdays) > 0:
		return Msg("cadence.weekdays", "days", ListOf(c.Weekdays, time.Weekday.String))
	case c.PerWeek > 0:
		return Msg("cadence.per-week", "n", c.PerWeek)
	}
	return Msg("cadence.daily")
}

// ProblemText says what is wrong with a piece of text and what to type
// instead.
func ProblemText(p span.Problem) string {
	key := "problem." + string(p.Code)
	if p.Code == span.RefusedFood && p.Finding.Refused != nil {
		return Msg("problem.refused-food", "text", Short(p.Text), "food", p.Finding.Refused.Name,
			"reason", Msg("refuse."+p.Finding.Refused.Key))
	}
	if p.Code == span.SaltOrElement && p.Finding.Food != nil {
		return Msg("problem.salt-or-element", "text", Short(p.Text), "part", Short(p.Part), "share", Percent(foodline.SaltOf(p).Share))
	}
	if !common.Has(key) {
		return Msg("wrong.text", "text", Short(p.Text))
	}
	part := cmp.Or(p.Part, p.Text)
	s := Msg(key, "text", Short(p.Text), "part", Short(part))
	if foodline.Labelled(p) {
		return s + " " + Msg("problem.own-product")
	}
	if len(p.Finding.Nearest) > 0 {
		names := Each(p.Finding.Nearest, func(f *nutrition.Food) string { return f.Name })
		s += " " + Msg("problem.nearest", "foods", strings.Join(names, "; "))
	}
	return s
}

// ProblemsText says several of them, a line each.
func ProblemsText(all []span.Problem) string {
	lines := make([]string, len(all))
	for i, p := range all {
		lines[i] = ProblemText(p)
	}
	return strings.Join(lines, "\n")
}

// ClocksText prints times: "07:30 and 18:00".
func ClocksText(times []planner.Clock) string {
	return ListOf(times, planner.Clock.String)
}

// Capital begins a text with a capital letter.
func Capital(s string) string { return span.Capital(s) }

// StampOfDate is a day in a button.
func StampOfDate(d planner.Date) string {
	return time.Date(d.Year, d.Month, d.Day, 12, 0, 0, 0, time.UTC).Format("20060102")
}

// DateOfStamp is the day that a button stands for.
func DateOfStamp(s string) (planner.Date, bool) {
	at, err := time.Parse("20060102", s)
	if err != nil {
		return planner.Date{}, false
	}
	return planner.DateOf(at), true
}

// Choose is the first of two values where something is so, else the second.
func Choose[T any](so bool, yes, no T) T { return span.Choose(so, yes, no) }

// Where is a text that is said where something is so, else nothing.
func Where(b bool, text string) string { return Choose(b, text, "") }

// Dosed reports that a food is given in doses: a supplement, or an oil.
func Dosed(f *nutrition.Food) bool {
	return f != nil && (f.Has(nutrition.Supplement) || f.Kind == "oil")
}

// HasLetters reports that a text says anything.
func HasLetters(s string) bool {
	return strings.ToLower(s) != strings.ToUpper(s)
}

// TableName is the source of a figure as a carer reads it: "USDA" of "USDA SR26
// 13321", whose table and row stand with the food.
func TableName(source string) string {
	table, rest, found := strings.Cut(source, " SR26 ")
	if !found {
		return source
	}
	return table + strings.TrimLeft(rest, "0123456789")
}

func Para(s string) Block { return Block{Text: s} }

// Asking is a paragraph of the open question.
func Asking(s string) Block { return Block{Text: s, Asks: true} }

func TableBlock(rows []TableRow) Block { return Block{Text: tableText(rows), Table: true} }

// Offer adds a row of buttons to a reply.
func (r *Reply) Offer(row ...Button) *Reply {
	if len(row) > 0 {
		r.Buttons = append(r.Buttons, row)
	}
	return r
}

// Begin puts paragraphs before a reply.
func (r *Reply) Begin(texts ...string) *Reply {
	var head []Block
	for _, s := range texts {
		if s != "" {
			head = append(head, Para(s))
		}
	}
	r.Body = append(head, r.Body...)
	return r
}

// Add puts a paragraph under a reply; an empty one is left out.
func (r *Reply) Add(s string) *Reply {
	if s != "" {
		r.Body = append(r.Body, Para(s))
	}
	return r
}

// Rows adds buttons in rows of so many.
func (r *Reply) Rows(most int, buttons ...Button) *Reply {
	for row := range slices.Chunk(buttons, most) {
		r.Offer(row...)
	}
	return r
}

// Noon is the time of a weigh-in of which only the day is told.
const Noon = planner.Clock(12 * 60)

// MonthText is a day so far ahead that the year belongs to it.
func MonthText(d planner.Date) string { return DayText(d) + " " + Trim(float64(d.Year), 0) }

// longestFileName is how many characters of a name go into a file's name (our own
// choice).
const longestFileName = 40

// FileName makes a file's name, without its ending, of what somebody called
// something: letters and figures, and "-" for all else, so that no name leads
// elsewhere or is one that some system keeps for itself. It may be empty.
func FileName(name string) string {
	words := strings.FieldsFunc(strings.ToLower(name), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) && !unicode.IsMark(r) })
	base := []rune(strings.Join(words, "-"))
	return strings.TrimRight(string(base[:min(len(base), longestFileName)]), "-")
}
