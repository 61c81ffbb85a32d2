package export

import (
	"archive/zip"
	"bytes"
	"fmt"
	"strings"

	"bowlwright/bot/read/foodline"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
	"bowlwright/store"
)

// packed is a file of a zip.
type packed struct {
	name string
	data []byte
}

// everything are all files of a household.
func everything(t *talk.Turn) ([]packed, error) {
	home, err := homeFile(t)
	if err != nil {
		return nil, err
	}
	all := []packed{{"read-me.txt", readMe}, {homeName, home}, {"journal.csv", csvFile(journalColumns, journalRows(t))}}
	used := map[string]bool{}
	for _, d := range t.Dogs() {
		if rows, _ := weighInRows(t, d.ID); len(rows) > 0 {
			all = append(all, packed{fileName(used, "weigh-ins", d.Name, d.ID, ".csv"), csvFile(weightColumns, rows)})
		}
	}
	for i := range t.Home.Recipes {
		r := &t.Home.Recipes[i]
		all = append(all, packed{fileName(used, "recipe", r.Name, r.ID, ".txt"), recipeFile(t, r)})
	}
	published, err := t.Snap.PublishedBy(t.Home.ID)
	if err != nil {
		return nil, err
	}
	if len(published) > 0 {
		all = append(all, packed{publishedName, publishedFile(t, published)})
	}
	if events := calendarEvents(t); len(events) > 0 {
		data, err := calendarFile(t, events)
		if err != nil {
			return nil, err
		}
		all = append(all, packed{calendarName, data})
	}
	return all, t.Err
}

const publishedName = "published.txt"

// publishedFile tells what was published, without the links.
func publishedFile(t *talk.Turn, all []store.Published) []byte {
	var b strings.Builder
	for _, p := range all {
		b.WriteString(msg("export.published", "title", p.Title, "author", p.Author, "about", p.About, "for", p.ForWhom) + "\n")
		for i, v := range p.Versions {
			b.WriteString(msg("export.published-version", "n", i+1, "day", t.DateAt(v.At).String(), "why", v.Why) + "\n")
		}
		if !p.Withdrawn.At.IsZero() {
			b.WriteString(msg("export.published-withdrawn", "day", t.DateAt(p.Withdrawn.At).String(), "why", p.Withdrawn.Why) + "\n")
		}
		b.WriteString("\n")
	}
	return []byte(b.String())
}

// zipped packs files, all of the time of the event.
func zipped(t *talk.Turn, all []packed) ([]byte, error) {
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for _, f := range all {
		w, err := z.CreateHeader(&zip.FileHeader{Name: f.name, Method: zip.Deflate, Modified: t.Event.At.UTC()})
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
func recipeFile(t *talk.Turn, r *planner.Recipe) []byte {
	return []byte(foodline.FormatLines(*r, t.Foods, t.Home.Units))
}

// fileName makes a file's name of what a carer called something. used are the
// names given already; the id tells those apart that would be the same, be it but
// for case.
func fileName(used map[string]bool, kind, name, id, ending string) string {
	base := say.FileName(name)
	out := kind + "-" + base
	if base == "" || used[out] {
		out = kind + "-" + strings.TrimLeft(base+"-"+id, "-")
	}
	used[out] = true
	return out + ending
}
