package export

import (
	"bytes"
	_ "embed"
	"encoding/json"
	"fmt"
	"strings"
	"time"

	"bowlwright/bot/dogs"
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
