package bot

import (
	"archive/zip"
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"reflect"
	"strings"
	"testing"
	"time"

	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/store"
	"bowlwright/store/storetest"
)

// filled sets every field of a value that is zero, so that one which comes later
// is not forgotten.
func filled(v reflect.Value) {
	switch {
	case v.Type() == reflect.TypeFor[time.Time]():
		v.Set(reflect.ValueOf(time.Date(2026, 2, 1, 8, 0, 0, 0, time.UTC)))
		return
	case v.Type() == reflect.TypeFor[planner.Date]():
		v.Set(reflect.ValueOf(planner.Date{Year: 2026, Month: 2, Day: 1}))
		return
	}
	switch v.Kind() {
	case reflect.Struct:
		for i := range v.NumField() {
			filled(v.Field(i))
		}
	case reflect.Slice:
		v.Set(reflect.MakeSlice(v.Type(), 1, 1))
		filled(v.Index(0))
	case reflect.Array:
		filled(v.Index(0))
	case reflect.Pointer:
		v.Set(reflect.New(v.Type().Elem()))
		filled(v.Elem())
	case reflect.Map:
		k, e := reflect.New(v.Type().Key()).Elem(), reflect.New(v.Type().Elem()).Elem()
		filled(k)
		filled(e)
		v.Set(reflect.MakeMap(v.Type()))
		v.SetMapIndex(k, e)
	case reflect.String:
		v.SetString("x")
	case reflect.Bool:
		v.SetBool(true)
	case reflect.Float64, reflect.Float32:
		v.SetFloat(1)
	case reflect.Uint8, reflect.Uint16, reflect.Uint32, reflect.Uint64, reflect.Uint:
		v.SetUint(1)
	default:
		v.SetInt(1)
	}
}

// whole is a household in which every field says something.
func whole(h *planner.Household) {
	var full planner.Household
	filled(reflect.ValueOf(&full).Elem())
	full.ID, full.Rev, full.LastID, full.Carers, full.Gone, full.Came = h.ID, h.Rev, 20, h.Carers, h.Gone, h.Came
	full.Zone, full.Created, full.Profile, full.Snoozes = "Europe/Oslo", h.Created, "nrc-adult", nil
	d := &full.Dogs[0]
	d.ID, d.Name, d.Recipe, d.Without, d.Excludes = "d11", "Juniper", "r12", []string{"r12"}, []string{"own13"}
	d.Weight, d.Ideal, d.AdultWeight, d.Kcal = 20, 19, 21, 900
	d.Sex, d.Neutered, d.Activity, d.Stage, d.Goal, d.Condition = planner.Female, planner.Yes, planner.ModerateCalm, "", "", 5
	d.Born, d.Fasting, d.Died = time.Date(2021, 3, 1, 0, 0, 0, 0, time.UTC), time.Time{}, time.Time{}
	d.Ill, d.Puppy, d.Health, d.Litter = false, false, "", planner.Litter{} // else no amount is in the file: its vet sets it
	d.InForce.Ground = planner.OnCarer
	d.ByScale, d.ByVet = false, false
	r := &full.Recipes[0]
	r.ID, r.Name, r.From = "r12", "Turkey and heart", planner.Origin{} // links stay behind; see TestImportLeavesLinks
	f := &full.Foods[0]
	f.Key, f.Name, f.Kind = "own13", "Quay biscuit", nutrition.OwnKind
	o := &full.Rotations[0]
	o.ID, o.Dogs, o.Turns = "o14", []string{"d11"}, []planner.Turn{{Recipe: "r12", Days: 2}, {Recipe: "r12", Days: 1}}
	o.Instead, o.Moves = map[planner.Date]string{{Year: 2026, Month: 3, Day: 1}: "r12"}, nil
	n := &full.Reminders[0]
	n.ID, n.Kind, n.Dog = "n15", planner.NoteReminder, "d11"
	n.Schedule = planner.Schedule{EveryDays: 3, Anchor: planner.Date{Year: 2026, Month: 2, Day: 1}, Times: []planner.Clock{480}}
	tr := &full.Transitions[0]
	tr.Dog, tr.Recipe, tr.Rotation, tr.Days = "d11", "r12", "", 10
	p := &full.Pauses[0]
	p.Dog, p.Reminder = "d11", "n15"
	full.Quiet = planner.Quiet{From: 1320, To: 360}
	*h = full
}

// wholeWorld is such a household of Ines, with an entry of every field.
func wholeWorld(t *testing.T) (w *world, e planner.Entry) {
	w = newWorld(t)
	w.says("Ines", "hello")
	w.change(func(h *planner.Household, _ store.Snapshot, put storetest.Put) error {
		whole(h)
		filled(reflect.ValueOf(&e).Elem())
		e.ID, e.Kind, e.Dog, e.Recipe, e.Person, e.Of = "a", planner.Fed, "d11", "r12", "x/Ines", h.ID+"/n15/2026-02-01T08:00"
		return put(store.PutEntry{Household: h.ID, Entry: e})
	})
	return w, e
}

// fields is a value as JSON reads it, with the ids that it gets in a new household.
func fields(t *testing.T, v any) map[string]any {
	t.Helper()
	data, err := json.Marshal(v)
	must(t, err)
	data = []byte(strings.NewReplacer(`"d11"`, `"d1"`, `"r12"`, `"r2"`, `"own13"`, `"own3"`, `"o14"`, `"o4"`, `"n15`, `"n5`).Replace(string(data)))
	var out map[string]any
	must(t, json.Unmarshal(data, &out))
	return out
}

// TestImportRoundTrip compares a household and what another makes of its file,
// field by field.
func TestImportRoundTrip(t *testing.T) {
	w, entry := wholeWorld(t)
	was := w.house()
	doc := file(t, w.says("Ines", "export everything"))
	e := w.event("Mara")
	e.File = doc.Data
	wantText(t, w.handle(e), "Taken in: 1 dog, 1 recipe and 1 entry")
	var is *planner.Household
	var entries []planner.Entry
	w.update(func(snap store.Snapshot, _ storetest.Put) (err error) {
		is, err = snap.Household(w.homeIn(snap, "Mara"))
		must(t, err)
		entries, err = snap.Entries(is.ID, store.EntryQuery{})
		return err
	})
	want, got := fields(t, was), fields(t, is)
	for _, key := range []string{"id", "rev", "carers", "gone", "came", "last_id", "told", "created"} {
		delete(want, key)
		delete(got, key)
	}
	for key := range want {
		if !reflect.DeepEqual(want[key], got[key]) {
			t.Errorf("%s:\n%v\n%v", key, want[key], got[key])
		}
	}
	if len(entries) != 1 {
		t.Fatalf("entries %+v", entries)
	}
	entry.ID, entry.Person, entry.Of = entries[0].ID, "x/Mara", is.ID+"/n5/2026-02-01T08:00"
	if want, got := fields(t, entry), fields(t, entries[0]); !reflect.DeepEqual(want, got) {
		t.Errorf("entry:\n%v\n%v", want, got)
	}
	for _, secret := range []string{"Ines", was.ID} {
		if strings.Contains(w.state(is.ID), secret) {
			t.Errorf("%q came along", secret)
		}
	}
}

// TestImportLeavesLinks exports an author's household, which tells what was
// published, and takes it in elsewhere: that publishes nothing and reads nothing.
func TestImportLeavesLinks(t *testing.T) {
	w, _ := wholeWorld(t)
	w.change(func(h *planner.Household, _ store.Snapshot, put storetest.Put) error {
		h.Recipes[0].From = planner.Origin{Token: "r-secret", Version: 1, Recipe: "1"}
		return put(store.PutPublished{Household: h.ID, Person: "x/Ines", Rev: 1, Published: planner.Published{
			Token: "r-mine", Author: "The quay kitchen", Title: "Turkey and heart", About: "Plain.", ForWhom: "healthy adults.",
			Versions: []planner.PublishedVersion{{At: w.at, Why: "First."}}, Withdrawn: planner.Withdrawal{At: w.at, Why: "Too rich."},
		}})
	})
	doc := file(t, w.says("Ines", "export everything"))
	const want = "Turkey and heart, published as The quay kitchen. Plain. For: healthy adults.\nVersion 1, 2026-03-02. First.\nWithdrawn 2026-03-02. Too rich.\n\n"
	if got := unzip(t, doc.Data)["published.txt"]; got != want {
		t.Errorf("published.txt is %q, want %q", got, want)
	}
	e := w.event("Mara")
	e.File = doc.Data
	wantText(t, w.handle(e), "Taken in: 1 dog, 1 recipe and 1 entry")
	w.update(func(snap store.Snapshot, _ storetest.Put) error {
		id := w.homeIn(snap, "Mara")
		is, err1 := snap.Household(id)
		published, err2 := snap.PublishedBy(id)
		kept, err3 := snap.Reading(id)
		if is.Recipes[0].From != (planner.Origin{}) || len(published)+len(kept) != 0 {
			t.Errorf("taken in: %+v, published %v, kept %v", is.Recipes[0].From, published, kept)
		}
		return errors.Join(err1, err2, err3)
	})
}

// TestImportBeside asks where there is something already, and is taken back.
func TestImportBeside(t *testing.T) {
	w, _ := wholeWorld(t)
	doc := file(t, w.says("Ines", "export everything"))
	e := w.event("Ines")
	e.File = doc.Data
	w.presses("Ines", button(t, w.handle(e), "Stop"))
	if n := len(w.house().Dogs); n != 1 {
		t.Fatalf("%d dogs after Stop", n)
	}
	e = w.event("Ines")
	e.File = doc.Data
	added := w.presses("Ines", button(t, w.handle(e), "Add beside"))
	if h := w.house(); len(h.Dogs) != 2 || h.Dogs[1].Name != "Juniper 2" || h.Dogs[1].ID == "d11" || h.Dogs[1].Recipe != h.Recipes[1].ID {
		t.Errorf("%+v", h.Dogs)
	}
	w.presses("Ines", button(t, added, "Undo"))
	if n, journal := len(w.house().Dogs), len(w.entries()); n != 1 || journal != 1 {
		t.Errorf("%d dogs and %d entries after Undo", n, journal)
	}
}

// TestImportRefuses takes nothing of a file that is not one of ours, or too much.
func TestImportRefuses(t *testing.T) {
	pack := func(name, data string) []byte {
		var b bytes.Buffer
		z := zip.NewWriter(&b)
		f, err := z.Create(name)
		must(t, err)
		f.Write([]byte(data))
		must(t, z.Close())
		return b.Bytes()
	}
	with := func(journal, inside string) []byte {
		return pack("household.json", `{"format":"bowlwright-household","version":1,"household":{`+inside+`},"journal":[`+journal+`]}`)
	}
	house := func(inside string) []byte { return with("", inside) }
	const pip = `"dogs":[{"id":"d1","name":"Pip","weight_kg":6.4}]`
	weighed := func(kind, at, kg string) []byte {
		return with(`{"kind":"`+kind+`","dog":"d1","at":"`+at+`","date":"2026-03-01","kg":`+kg+`}`, pip)
	}
	var many strings.Builder
	for n := range 400 {
		fmt.Fprintf(&many, `{"id":"r%d","name":"Stew %[1]d","ingredients":[]},`, n)
	}
	good := house(pip + `,"recipes":[{"id":"r1","name":"r1","ingredients":[]}]`)
	for name, data := range map[string][]byte{
		"no zip": []byte("hello"), "another name": pack("x.json", "{}"), "no JSON": pack("household.json", "{"),
		"another format": pack("household.json", `{"format":"x","version":1}`),
		"a bomb":         pack("household.json", strings.Repeat(" ", 17<<20)+`{"format":"bowlwright-household","version":1,"household":{`+pip+`}}`),
		"too large":      append(make([]byte, 3<<20), good...),
		"deep":           house(pip + `,"later":` + strings.Repeat("[", 20) + strings.Repeat("]", 20)),
		"a long text":    house(`"dogs":[{"id":"d1","name":"Pip","weight_kg":6.4,"health":"` + strings.Repeat("x", 5000) + `"}]`),
		"many":           house(pip + `,"recipes":[` + strings.TrimSuffix(many.String(), ",") + `]`),
		"a strange id":   house(`"dogs":[{"id":"x/../1","name":"Pip","weight_kg":6.4}]`),
		"one id twice":   house(`"dogs":[{"id":"d1","name":"Pip","weight_kg":6.4},{"id":"d1","name":"Rex","weight_kg":6.4}]`),
		"no weight":      house(`"dogs":[{"id":"d1","name":"Pip","weight_kg":-6.4}]`),
		"no such place":  house(pip + `,"zone":"Mars/Base"`),
		"less than none": house(pip + `,"recipes":[{"id":"r2","name":"Stew","ingredients":[{"food":"turkey","grams":-5}]}]`),
		"a mountain":     house(pip + `,"recipes":[{"id":"r2","name":"Stew","ingredients":[{"food":"turkey","grams":2e6}]}]`),
		"days below 0":   house(pip + `,"recipes":[{"id":"r2","name":"Stew","days":-1}]`),
		"a rotation":     house(pip + `,"rotations":[{"id":"o2","dogs":["d1"],"turns":[{"recipe":"r9","days":2}],"start":"2026-03-01"}]`),
		"a long switch":  house(pip + `,"transitions":[{"dog":"d1","days":15,"start":"2026-03-01"}]`),
		"another's dog":  house(pip + `,"reminders":[{"id":"n1","kind":"note","dog":"d7","schedule":{"every_days":1,"anchor":"2026-03-01","times":["08:00"]},"since":"2026-01-01T00:00:00Z"}]`),
		"weighed ahead":  weighed("weighed", "2031-03-01T08:00:00Z", "6.4"),
		"an unknown act": weighed("flown", "2026-03-01T08:00:00Z", "6.4"),
		"weighs nothing": weighed("weighed", "2026-03-01T08:00:00Z", "-6.4"),
		"a schedule":     house(`"reminders":[{"id":"n1","kind":"note","schedule":{"every_days":-1},"since":"2026-01-01T00:00:00Z"}]`),
	} {
		t.Run(name, func(t *testing.T) {
			w := newWorld(t)
			e := w.event("Mara")
			e.File = data
			wantText(t, w.handle(e), "I can only take in the file that I send")
			if h := fmt.Sprint(w.says("Mara", "/dog")); strings.Contains(h, "Pip") {
				t.Error(h)
			}
		})
	}
	w := newWorld(t)
	for _, data := range [][]byte{good, weighed("weighed", "2026-03-01T08:00:00Z", "6.4")} {
		e := w.event("Ines")
		e.File = data
		r := w.handle(e)
		if len(w.house().Dogs) > 0 && strings.Contains(text(r), "Add beside") {
			r = w.presses("Ines", button(t, r, "Add beside"))
		}
		wantText(t, r, "1 dog")
	}
	if r := w.house().Recipes[0]; r.ID == "r1" || r.Name != "r1" {
		t.Errorf("its name was taken for an id, or its id was kept: %+v", r)
	}
}
