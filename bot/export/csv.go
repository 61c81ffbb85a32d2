package export

import (
	"bytes"
	"encoding/csv"
	"math"
	"strconv"
	"strings"
	"time"

	"bowlwright/bot/talk"
	"bowlwright/planner"
	"bowlwright/store"
)

// The columns of the files, RFC 4180: a heading, then a line for each entry in
// the order in which they happened, in UTF-8, lines ended by CR and LF. Dates
// and times are by the household's clock, entered is RFC 3339.
var (
	weightColumns  = []string{"date", "time", "dog", "kg", "entered_by", "entered"}
	journalColumns = []string{"date", "time", "dog", "kind", "kg", "condition", "kcal", "recipe", "amount", "stool",
		"until", "text", "entered_by", "entered", "id"}
)

// csvFile sets rows under a heading.
func csvFile(heading []string, rows [][]string) []byte {
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	w.UseCRLF = true
	w.Write(heading) // into memory: cannot fail, and Flush would tell
	w.WriteAll(rows)
	return b.Bytes()
}

// csvText is a text as a cell that a spreadsheet takes for text: one that it
// would take for a formula begins with an apostrophe (OWASP, CSV injection).
func csvText(s string) string {
	if begin := strings.TrimLeft(s, " \u00a0"); strings.IndexAny(begin, "=+-@\t\r\n＝＋－＠") == 0 {
		return "'" + s
	}
	return s
}

// csvNumber prints a figure of at most so many decimals, nothing where it is 0.
func csvNumber(x float64, decimals int) string {
	scale := math.Pow10(decimals)
	if x = math.Round(x*scale) / scale; x == 0 {
		return ""
	}
	return strconv.FormatFloat(x, 'f', -1, 64)
}

// weighInRows are a dog's weigh-ins as a file's rows, and the days that they are of.
func weighInRows(t *talk.Turn, dog string) (rows [][]string, days []planner.Date) {
	for _, e := range t.Entries(store.EntryQuery{Dog: dog, Kinds: []planner.EntryKind{planner.Weighed}}) {
		days = append(days, e.Date)
		rows = append(rows, []string{e.Date.String(), csvClock(t, e.At), csvText(dogName(t, e.Dog)),
			csvNumber(float64(e.Weight), 3), csvText(talk.NameOf(t, e.Person)), csvStamp(t, e.Entered)})
	}
	return rows, days
}

// journalRows is all that happened as a file's rows.
func journalRows(t *talk.Turn) [][]string {
	var rows [][]string
	for _, e := range t.Entries(store.EntryQuery{}) {
		recipe := e.Recipe
		if r := t.Recipe(recipe); r != nil {
			recipe = r.Name
		}
		rows = append(rows, []string{e.Date.String(), csvClock(t, e.At), csvText(dogName(t, e.Dog)), string(e.Kind),
			csvNumber(float64(e.Weight), 3), csvNumber(float64(e.Score), 0), csvNumber(float64(e.Kcal), 1), csvText(recipe),
			csvNumber(e.Amount, 3), string(e.Stool), e.Until.String(), csvText(e.Text), csvText(talk.NameOf(t, e.Person)), csvStamp(t, e.Entered), e.ID})
	}
	return rows
}

// dogName is a dog's name, its id where the household has it no more.
func dogName(t *talk.Turn, id string) string {
	if d := t.Dog(id); d != nil {
		return d.Name
	}
	return id
}

// csvClock is what the household's clock shows at an instant.
func csvClock(t *talk.Turn, at time.Time) string {
	return at.In(t.Event.At.Location()).Format("15:04")
}

// csvStamp is an instant in full, to the second.
func csvStamp(t *talk.Turn, at time.Time) string {
	return at.In(t.Event.At.Location()).Format(time.RFC3339)
}
