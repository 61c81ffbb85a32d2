package bot

import (
	"archive/zip"
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"
	"testing"
	"time"

	"bowlwright/bot/say"
	"bowlwright/planner"
	"bowlwright/store"
	"bowlwright/store/storetest"
)

// kept is a household with something of everything, in Berlin, nine days
// before the clocks go forward.
func kept(t testing.TB) *world {
	w := newWorld(t)
	w.at = time.Date(2026, 3, 20, 7, 30, 0, 0, time.UTC)
	w.says("Ines", "dog Juniper 19.6 kg 4 years spayed moderate 5/9 healthy")
	w.says("Ines", "recipe Turkey and heart\n500 g turkey thigh, no skin\n150.37 g beef heart\n0.14 g kelp meal\nvitamin E 200 IU every 3 days")
	w.says("Tomas", "dog Bracken 34.8 kg") // another household
	w.change(func(h *planner.Household, tx store.Snapshot, put storetest.Put) error {
		h.Zone = "Europe/Berlin"
		juniper, turkey := h.Dogs[0].ID, h.Recipes[0].ID
		h.Dogs = append(h.Dogs, planner.Dog{ID: "d80", Name: `=Pip, the "small"`, Weight: 6.4, Recipe: turkey})
		h.Dogs[0].Recipe = turkey
		h.Gone = []planner.Carer{{Person: "x/4711", Name: "@Tomas"}}
		own, err := tx.Entries(h.ID, store.EntryQuery{}) // what came with the dog
		if err != nil {
			return err
		}
		for _, e := range own {
			if err := put(store.DeleteEntry{Household: h.ID, ID: e.ID}); err != nil {
				return err
			}
		}
		for i, e := range []planner.Entry{
			{Kind: planner.Weighed, Dog: juniper, Weight: 19.4, Person: "x/Ines"},
			{Kind: planner.Treat, Dog: "d80", Kcal: 40, Amount: 2, Text: "-2 biscuits,\n\"stale\"", Person: "x/4711"},
			{Kind: planner.Fed, Dog: juniper, Kcal: 466.84, Recipe: turkey, Person: "x/Ines", Of: "x/y/2026-03-02T07:30"},
			{Kind: planner.Weighed, Dog: juniper, Weight: 19.277_674, Person: "x/4711"},
			{Kind: planner.Away, Dog: "d79", Until: planner.Date{Year: 2026, Month: 4, Day: 5}, Person: "x/nobody"},
		} {
			e.ID = fmt.Sprint("n", i)
			e.At = time.Date(2026, 3, 2+13*i, 6, 5, 0, 0, time.UTC)
			e.Date, e.Entered = planner.DateOf(e.At), e.At.Add(90*time.Second)
			if err := put(store.PutEntry{Household: h.ID, Entry: e}); err != nil {
				return err
			}
		}
		return nil
	})
	return w
}

// file is the one file of replies.
func file(t testing.TB, replies []say.Reply) say.Document {
	t.Helper()
	if len(replies) != 1 || replies[0].Document == nil {
		t.Fatalf("no file: %+v", replies)
	}
	return *replies[0].Document
}

const journeyCSV = "date,time,dog,kind,kg,condition,kcal,recipe,amount,stool,until,text,entered_by,entered,id\r\n" +
	"2026-03-02,07:05,Juniper,weighed,19.4,,,,,,,,Ines,2026-03-02T07:06:30+01:00,n0\r\n" +
	"2026-03-15,07:05,\"'=Pip, the \"\"small\"\"\",treat,,,40,,2,,,\"'-2 biscuits,\r\n\"\"stale\"\"\",'@Tomas,2026-03-15T07:06:30+01:00,n1\r\n" +
	"2026-03-28,07:05,Juniper,fed,,,466.8,Turkey and heart,,,,,Ines,2026-03-28T07:06:30+01:00,n2\r\n" +
	"2026-04-10,08:05,Juniper,weighed,19.278,,,,,,,,'@Tomas,2026-04-10T08:06:30+02:00,n3\r\n" +
	"2026-04-23,08:05,d79,away,,,,,,,2026-04-05,,somebody,2026-04-23T08:06:30+02:00,n4\r\n"

const juniperCSV = "date,time,dog,kg,entered_by,entered\r\n" +
	"2026-03-02,07:05,Juniper,19.4,Ines,2026-03-02T07:06:30+01:00\r\n" +
	"2026-04-10,08:05,Juniper,19.278,'@Tomas,2026-04-10T08:06:30+02:00\r\n"

func TestExportWeights(t *testing.T) {
	w := kept(t)
	got := file(t, w.says("Ines", "send me Juniper's weigh-ins"))
	if string(got.Data) != juniperCSV || got.Name != "weigh-ins-juniper.csv" {
		t.Errorf("%s\n%s", got.Name, got.Data)
	}
	if got := w.says("Ines", `/export =Pip, the "small"'s weigh-ins`); got[0].Document != nil {
		t.Errorf("%+v", got)
	}
}

// TestExportAll opens the file of everything and reads each file in it.
func TestExportAll(t *testing.T) {
	w := kept(t)
	w.change(func(h *planner.Household, _ store.Snapshot, _ storetest.Put) error {
		h.Reminders = []planner.Reminder{dailyNote("r1", planner.At(7, 30))}
		h.Recipes = append(h.Recipes, planner.Recipe{ID: "c9", Name: "turkey & heart", Ingredients: h.Recipes[0].Ingredients[:1]},
			planner.Recipe{ID: "c10", Name: "Turkey, and heart", Ingredients: h.Recipes[0].Ingredients[:1]})
		return nil
	})
	got := file(t, w.says("Ines", "export my data"))
	files := unzip(t, got.Data)
	names := slices.Sorted(maps.Keys(files))
	want := []string{"bowlwright.ics", "household.json", "journal.csv", "read-me.txt", "recipe-turkey-and-heart-c10.txt",
		"recipe-turkey-and-heart.txt", "recipe-turkey-heart.txt", "weigh-ins-juniper.csv"}
	if got.Name != "bowlwright-2026-03-20.zip" || !slices.Equal(names, want) {
		t.Errorf("%s has %q", got.Name, names)
	}
	if files["journal.csv"] != journeyCSV {
		t.Errorf("the journal is\n%s\nwant\n%s", files["journal.csv"], journeyCSV)
	}
	if files["weigh-ins-juniper.csv"] != juniperCSV {
		t.Error(files["weigh-ins-juniper.csv"])
	}
	for name, data := range files {
		for _, private := range []string{"x/Ines", "x/4711", "Bracken"} {
			if strings.Contains(data, private) {
				t.Errorf("%s has %q", name, private)
			}
		}
	}
	if !strings.Contains(files["read-me.txt"], "journal.csv") {
		t.Error(files["read-me.txt"])
	}
}

// TestExportedRecipe pastes a recipe's file: it is the same again, to the
// last hundredth of a gram.
func TestExportedRecipe(t *testing.T) {
	w, other := kept(t), newWorld(t)
	got := file(t, w.says("Ines", "export Turkey and heart"))
	other.says("Ines", "hello")
	other.says("Ines", string(got.Data))
	was, is := w.recipes(), other.recipes()
	if got.Name != "recipe-turkey-and-heart.txt" || was != is || !strings.Contains(was, "150.37") {
		t.Errorf("%s\n%s\nwas %s\n is %s", got.Name, got.Data, was, is)
	}
}

// recipes are those of Ines but for what was typed.
func (w *world) recipes() (out string) {
	w.change(func(h *planner.Household, _ store.Snapshot, _ storetest.Put) error {
		for _, r := range h.Recipes {
			out += r.Name
			for _, i := range r.Ingredients {
				out += fmt.Sprint("; ", i.Food, " ", i.Grams)
			}
			for _, d := range r.Doses {
				d.Typed = ""
				out += fmt.Sprintf("; %+v", d)
			}
		}
		return nil
	})
	return out
}

// TestHouseholdFile reads household.json with nothing but its description.
func TestHouseholdFile(t *testing.T) {
	w := kept(t)
	w.says("Ines", "/food add Beef mix: 180 kcal, protein 17 g, fat 12 g")
	w.says("Ines", "muscle")
	data := unzip(t, file(t, w.says("Ines", "/export all")).Data)["household.json"]
	var got struct {
		Format  string
		Version int
		Written time.Time
		Home    struct {
			Carers, Gone []string
			Zone         string
			Dogs         []struct {
				Name   string
				Weight float64 `json:"weight_kg"`
				Recipe string
			}
			Recipes []struct {
				ID, Name    string
				Ingredients []struct {
					Food, Typed string
					Grams       float64
				}
			}
		} `json:"household"`
	}
	if err := json.Unmarshal([]byte(data), &got); err != nil {
		t.Fatal(err)
	}
	h := got.Home
	if got.Format != "bowlwright-household" || got.Version != 1 || !got.Written.Equal(w.at) || h.Zone != "Europe/Berlin" ||
		!slices.Equal(h.Carers, []string{"Ines"}) || !slices.Equal(h.Gone, []string{"@Tomas"}) {
		t.Errorf("%+v", got)
	}
	if len(h.Dogs) != 2 || h.Dogs[0].Weight != 19.6 || h.Dogs[0].Recipe != h.Recipes[0].ID || h.Recipes[0].Ingredients[1].Grams != 150.37 {
		t.Errorf("%+v", h)
	}
	if id := w.home("Ines"); strings.Contains(data, id) || strings.Contains(data, `"rev"`) {
		t.Errorf("it says how it is kept:\n%s", data)
	}
}

func unzip(t *testing.T, data []byte) map[string]string {
	t.Helper()
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		t.Fatal(err)
	}
	files := map[string]string{}
	for _, f := range z.File {
		r, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		data, err := io.ReadAll(r)
		if err != nil {
			t.Fatal(err)
		}
		files[f.Name] = string(data)
	}
	return files
}

// dailyNote is a note that falls due each day.
func dailyNote(id string, at planner.Clock) planner.Reminder {
	return planner.Reminder{ID: id, Kind: planner.NoteReminder, Text: "note " + id,
		Schedule: planner.Schedule{EveryDays: 1, Anchor: planner.Date{Year: 2026, Month: 3, Day: 1}, Times: []planner.Clock{at}}}
}

// TestExportOfNothing asks for files before there is anything.
func TestExportOfNothing(t *testing.T) {
	w := newWorld(t)
	w.says("Ines", "hello")
	for _, text := range []string{"/export weigh-ins", "/export recipe", "/export calendar", "/export wombats", "export"} {
		if got := w.says("Ines", text); len(got) != 1 || got[0].Document != nil || len(got[0].Body) == 0 {
			t.Errorf("%s: %+v", text, got)
		}
	}
	files := unzip(t, file(t, w.says("Ines", "/export everything")).Data)
	if len(files) != 3 || strings.Count(files["journal.csv"], "\n") != 1 {
		t.Errorf("%q", files)
	}
}

// BenchmarkExportAll exports five years of two dogs: 10,000 entries.
func BenchmarkExportAll(b *testing.B) {
	w := kept(b)
	w.change(func(h *planner.Household, tx store.Snapshot, put storetest.Put) error {
		for i := range 10_000 {
			at := w.at.Add(time.Duration(i-10_000) * 4 * time.Hour)
			e := planner.Entry{ID: fmt.Sprint("b", i), Kind: planner.Fed, Dog: h.Dogs[0].ID, At: at, Entered: at, Date: planner.DateOf(at),
				Kcal: 512.5, Recipe: h.Recipes[0].ID, Person: "x/Ines"}
			if err := put(store.PutEntry{Household: h.ID, Entry: e}); err != nil {
				return err
			}
		}
		return nil
	})
	for b.Loop() {
		b.SetBytes(int64(len(file(b, w.says("Ines", "/export all")).Data)))
	}
}
