package export

import (
	"archive/zip"
	"bytes"
	_ "embed"
	"encoding/json"
	"fmt"
	"strings"
	"time"

	"bowlwright/bot/dogs"
	"bowlwright/bot/read/foodline"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
	"bowlwright/store"
)

// readMe says what is in the file of everything, and what its parts mean.
//
//go:embed export_readme.txt
var readMe []byte

// homeFormat is the version of household.json. A field that comes later is
// none that a reader of this version needs; anything else is another version.
const (
	homeFormat = 1
	homeKind   = "bowlwright-household"
	homeName   = "household.json"
)

// exportedHome is the file household.json; export_readme.txt describes it.
type exportedHome struct {
	Format  string          `json:"format"`
	Version int             `json:"version"`
	Written string          `json:"written"` // RFC 3339
	Home    map[string]any  `json:"household"`
	Journal []planner.Entry `json:"journal,omitempty"`
}

// notExported is what of a household says nothing to a person: how it is
// kept, what it was told already, and what was put off for an hour.
var notExported = []string{"id", "rev", "last_id", "told", "snoozes", "came"}

// homeFile is the household as a file. People stand in it by name: what a
// platform calls them is for nobody else.
func homeFile(t *talk.Turn) ([]byte, error) {
	data, err := json.Marshal(t.Home)
	if err != nil {
		return nil, fmt.Errorf("bot: encode household: %w", err)
	}
	var home map[string]any
	d := json.NewDecoder(bytes.NewReader(data))
	d.UseNumber() // every figure as it is kept
	if err := d.Decode(&home); err != nil {
		return nil, fmt.Errorf("bot: encode household: %w", err)
	}
	for _, key := range notExported {
		delete(home, key)
	}
	gateDogs(t, home["dogs"])
	home["carers"], home["gone"] = carerNames(t.Home.Carers), carerNames(t.Home.Gone)
	out, err := json.MarshalIndent(exportedHome{homeKind, homeFormat, t.Event.At.Format(time.RFC3339), home, journalFile(t)}, "", "  ")
	if err != nil {
		return nil, fmt.Errorf("bot: encode household: %w", err)
	}
	return append(out, '\n'), nil
}

// gateDogs leaves the amount out of a dog whose food waits for its vet, and says
// why in its place.
func gateDogs(t *talk.Turn, dogs_ any) {
	all, _ := dogs_.([]any)
	for i := range min(len(all), len(t.Home.Dogs)) {
		d := &t.Home.Dogs[i]
		is, ok := all[i].(map[string]any)
		if n := planner.AmountOf(*d, t.Event.At); ok && n.Waits() {
			delete(is, "kcal")
			delete(is, "in_force")
			is["gate"] = dogs.GateText(*d, n)
		}
	}
}

func carerNames(carers []planner.Carer) []string {
	out := make([]string, len(carers))
	for i := range carers {
		out[i] = carers[i].Name
	}
	return out
}

// journalFile is the journal for household.json: without who entered what, and
// without what the household is called in the store.
func journalFile(t *talk.Turn) []planner.Entry {
	all := t.Entries(store.EntryQuery{})
	for i := range all {
		all[i].ID, all[i].Person = "", ""
		_, all[i].Of, _ = strings.Cut(all[i].Of, "/")
	}
	return all
}

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
