package bot

import (
	"archive/zip"
	"bytes"
	"fmt"
	"strings"
	"unicode"

	"bowlwright/bot/read"
	"bowlwright/planner"
)

// packed is a file of a zip.
type packed struct {
	name string
	data []byte
}

// everything are all files of a household.
func (t *turn) everything() ([]packed, error) {
	home, err := t.homeFile()
	if err != nil {
		return nil, err
	}
	all := []packed{{"read-me.txt", readMe}, {"household.json", home}, {"journal.csv", csvFile(journalColumns, t.journalRows())}}
	used := map[string]bool{}
	for i := range t.home.Dogs {
		d := &t.home.Dogs[i]
		if rows := t.weighInRows(d.ID); len(rows) > 0 {
			all = append(all, packed{fileName(used, "weigh-ins", d.Name, d.ID, ".csv"), csvFile(weightColumns, cellsOf(rows))})
		}
	}
	for i := range t.home.Recipes {
		r := &t.home.Recipes[i]
		all = append(all, packed{fileName(used, "recipe", r.Name, r.ID, ".txt"), t.recipeFile(r)})
	}
	if events := t.calendarEvents(); len(events) > 0 {
		data, err := t.calendarFile(events)
		if err != nil {
			return nil, err
		}
		all = append(all, packed{calendarName, data})
	}
	return all, t.err
}

// zipped packs files, all of the time of the event.
func (t *turn) zipped(all []packed) ([]byte, error) {
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for _, f := range all {
		w, err := z.CreateHeader(&zip.FileHeader{Name: f.name, Method: zip.Deflate, Modified: t.event.At.UTC()})
		if err == nil {
			_, err = w.Write(f.data)
		}
		if err != nil {
			return nil, fmt.Errorf("bot: pack %s: %w", f.name, err)
		}
	}
	if err := z.Close(); err != nil {
		return nil, fmt.Errorf("bot: pack: %w", err)
	}
	return b.Bytes(), nil
}

// recipeFile is a recipe as lines that give the same recipe when they are
// pasted.
func (t *turn) recipeFile(r *planner.Recipe) []byte {
	return []byte(read.FormatLines(*r, t.foods, t.home.Units))
}

// longestFileName is how many characters of a name go into a file's name.
const longestFileName = 40

// fileName makes a file's name of what a carer called something: letters and
// figures, and "-" for all else, so that no name leads elsewhere or is one
// that some system keeps for itself. used are the names given already; the id
// tells those apart that would be the same, be it but for case.
func fileName(used map[string]bool, kind, name, id, ending string) string {
	words := strings.FieldsFunc(strings.ToLower(name), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) && !unicode.IsMark(r) })
	base := []rune(strings.Join(words, "-"))
	if len(base) > longestFileName {
		base = base[:longestFileName]
	}
	out := kind + "-" + strings.TrimRight(string(base), "-")
	if len(base) == 0 || used[out] {
		out = kind + "-" + strings.TrimLeft(strings.TrimRight(string(base), "-")+"-"+id, "-")
	}
	used[out] = true
	return out + ending
}
