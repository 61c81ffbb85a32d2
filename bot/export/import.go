package export

import (
	"archive/zip"
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"reflect"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"bowlwright/bot/recipes"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
)

// What of a file is taken in; our own choices. A file that goes beyond is
// refused whole.
const (
	mostZip     = 2 << 20  // bytes of the file
	mostJSON    = 16 << 20 // bytes of household.json in it
	deepest     = 12       // levels of it
	longestText = 4000     // characters of one text
	mostEach    = 300      // dogs, recipes, foods, reminders and so on, of each
	mostEntries = 20_000
	heaviest    = 1_000_000 // grams of one line of a recipe
)

// errForeign says that a file is none that this program wrote, or was changed.
var errForeign = errors.New("not an export")

// importedHome is what is taken from household.json. People, what was said to
// them and links to anywhere are left out.
type importedHome struct {
	Home    planner.Household `json:"household"`
	Journal []planner.Entry   `json:"journal"`
}

// TakeFile takes in a file that was sent: a recipe as text, or everything. A
// household that has something already is asked first.
func TakeFile(t *talk.Turn, data []byte) {
	if text := string(data); utf8.Valid(data) && len(t.RecipeText(text).Lines) > 0 && recipes.PastedRecipe(t, text) {
		return
	}
	if isEmpty(t.Home) {
		takeIn(t, data)
		return
	}
	last := t.Home.LastID
	_, err := opened(t, data)
	t.Home.LastID = last
	if err != nil {
		t.SayMsg("import.foreign")
		return
	}
	t.Ask("import", "sure", data)
	t.SayMsg("import.sure").Offer(t.Answer(msg("button.import-add"), "sure", "add"), t.Answer(msg("button.import-stop"), "sure", "stop"))
}

// importDialogue takes the answer to whether a file is to be added.
func importDialogue(t *talk.Turn, in talk.Answer) {
	var data []byte
	t.Draft(&data)
	t.EndDialogue()
	said := strings.ToLower(in.Value())
	switch {
	case said == "add" || talk.IsYes(said):
		takeIn(t, data)
	case said == "stop" || talk.IsNo(said):
		t.SayMsg("import.stopped")
	default:
		t.RouteWords(in.Text)
	}
}

func isEmpty(h *planner.Household) bool {
	return len(h.Dogs)+len(h.Recipes)+len(h.Foods)+len(h.Reminders) == 0
}

// takeIn adds what a file holds. A household that had nothing takes its
// settings too.
func takeIn(t *talk.Turn, data []byte) {
	is, err := opened(t, data)
	if err != nil {
		t.SayMsg("import.foreign")
		return
	}
	fresh := isEmpty(t.Home)
	t.Mutate("did.imported", "")
	from := reflect.ValueOf(&is.Home).Elem()
	to := reflect.ValueOf(t.Home).Elem()
	for i := range from.NumField() {
		name := from.Type().Field(i).Name
		switch f := to.Field(i); {
		case notImported[name]:
		case f.Kind() == reflect.Slice:
			f.Set(reflect.AppendSlice(f, from.Field(i)))
		case fresh:
			f.Set(from.Field(i))
		}
	}
	ownNames(t.Home)
	for _, e := range is.Journal {
		t.Note(e)
	}
	t.Say(say.Para(msg("import.done", "dogs", len(is.Home.Dogs), "recipes", len(is.Home.Recipes), "entries", len(is.Journal)))).Offer(t.UndoButton())
}

// notImported are the fields of a household that belong to where it was.
var notImported = map[string]bool{"ID": true, "Rev": true, "Carers": true, "Gone": true, "Came": true, "LastID": true,
	"Told": true, "Created": true, "Snoozes": true}

// ownNames tells dogs and recipes of one name apart by a number.
func ownNames(h *planner.Household) {
	used := map[string]bool{}
	tell := func(name *string) {
		is := *name
		for n := 2; used[strings.ToLower(is)]; n++ {
			is = *name + " " + strconv.Itoa(n)
		}
		*name, used[strings.ToLower(is)] = is, true
	}
	for i := range h.Dogs {
		tell(&h.Dogs[i].Name)
	}
	clear(used)
	for i := range h.Recipes {
		tell(&h.Recipes[i].Name)
	}
}

// opened reads a file, gives what is in it ids of this household, and checks it.
func opened(t *talk.Turn, data []byte) (*importedHome, error) {
	raw, err := unpacked(data)
	if err != nil {
		return nil, err
	}
	d := json.NewDecoder(bytes.NewReader(raw))
	d.UseNumber()
	var all map[string]any
	if err := d.Decode(&all); err != nil || all["format"] != homeKind || fmt.Sprint(all["version"]) != strconv.Itoa(homeFormat) || !small(all) {
		return nil, errForeign
	}
	home, _ := all["household"].(map[string]any)
	for _, key := range append([]string{"carers", "gone"}, notExported...) {
		delete(home, key)
	}
	ids, err := newIDs(t, home)
	if err != nil {
		return nil, err
	}
	renewed, err := json.Marshal(renamed(all, ids))
	if err != nil {
		return nil, err
	}
	is := new(importedHome)
	if err := json.Unmarshal(renewed, is); err != nil {
		return nil, errForeign
	}
	for i := range is.Home.Recipes {
		is.Home.Recipes[i].From = planner.Origin{}
	}
	for i := range is.Journal {
		e := &is.Journal[i]
		e.ID, e.Person = "", ""
		if e.Of != "" {
			e.Of = t.Home.ID + "/" + e.Of
		}
	}
	return is, sound(t, is)
}

// unpacked is household.json of a zip.
func unpacked(data []byte) ([]byte, error) {
	if len(data) > mostZip {
		return nil, errForeign
	}
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return nil, errForeign
	}
	f, err := z.Open(homeName)
	if err != nil {
		return nil, errForeign
	}
	defer f.Close()
	raw, err := io.ReadAll(io.LimitReader(f, mostJSON+1))
	if err != nil || len(raw) > mostJSON || !utf8.Valid(raw) || !shallow(raw) {
		return nil, errForeign
	}
	return raw, nil
}

// shallow reports that JSON is nowhere deeper than is taken in, before it is
// decoded whole.
func shallow(raw []byte) bool {
	d := json.NewDecoder(bytes.NewReader(raw))
	for deep := 0; ; {
		tok, err := d.Token()
		if err != nil {
			return err == io.EOF
		}
		switch tok {
		case json.Delim('{'), json.Delim('['):
			deep++
		case json.Delim('}'), json.Delim(']'):
			deep--
		}
		if deep > deepest {
			return false
		}
	}
}

// small reports that no list and no text is longer than is taken in.
func small(v any) bool {
	switch v := v.(type) {
	case string:
		return utf8.RuneCountInString(v) <= longestText
	case []any:
		return len(v) <= mostEntries && !slices.ContainsFunc(v, func(e any) bool { return !small(e) })
	case map[string]any:
		for k, e := range v {
			if !small(k) || !small(e) {
				return false
			}
			if list, ok := e.([]any); ok && k != "journal" && len(list) > mostEach {
				return false
			}
		}
	}
	return true
}

// idForm is what the ids of dogs, recipes, own foods, rotations and reminders
// look like.
var idForm = regexp.MustCompile(`^(d|r|own|o|n)[0-9]{1,9}$`)

// newIDs gives each thing of a file an id of this household.
func newIDs(t *talk.Turn, home map[string]any) (map[string]string, error) {
	ids := map[string]string{}
	for _, list := range []string{"dogs", "recipes", "foods", "rotations", "reminders"} {
		things, _ := home[list].([]any)
		for _, thing := range things {
			is, _ := thing.(map[string]any)
			id, _ := is["id"].(string)
			if list == "foods" {
				id, _ = is["Key"].(string)
			}
			form := idForm.FindStringSubmatch(id)
			if form == nil || ids[id] != "" {
				return nil, errForeign
			}
			ids[id] = t.NewID(form[1])
		}
	}
	return ids, nil
}

// asTyped are the fields that hold words of a person, in which no id stands.
var asTyped = map[string]bool{"name": true, "Name": true, "typed": true, "text": true, "health": true, "old": true,
	"vet": true, "clinic": true, "method": true, "checked_by": true, "checked_at": true, "day": true, "poison": true, "Source": true, "Note": true}

// renamed puts new ids in the place of old, wherever one stands alone or before
// a slash.
func renamed(v any, ids map[string]string) any {
	switch v := v.(type) {
	case string:
		first, rest, cut := strings.Cut(v, "/")
		if id := ids[first]; id != "" && cut {
			return id + "/" + rest
		} else if id != "" {
			return id
		}
	case []any:
		for i := range v {
			v[i] = renamed(v[i], ids)
		}
	case map[string]any:
		out := make(map[string]any, len(v))
		for k, e := range v {
			if !asTyped[k] {
				e = renamed(e, ids)
			}
			out[renamed(k, ids).(string)] = e
		}
		return out
	}
	return v
}

// sound reports the first thing that cannot be.
func sound(t *talk.Turn, is *importedHome) error {
	h := &is.Home
	if _, err := time.LoadLocation(h.Zone); err != nil {
		return errForeign
	}
	dogs := map[string]bool{"": true}
	for i := range h.Dogs {
		dogs[h.Dogs[i].ID] = true
		if h.Dogs[i].Name == "" || h.Dogs[i].Validate(t.Event.At) != nil {
			return errForeign
		}
	}
	for i := range h.Recipes {
		odd := func(g planner.Ingredient) bool { return g.Grams < 0 || g.Grams > heaviest }
		if r := &h.Recipes[i]; r.Name == "" || r.Days < 0 || slices.ContainsFunc(r.Ingredients, odd) {
			return errForeign
		}
	}
	for i := range h.Rotations {
		if h.Rotations[i].Validate(h) != nil {
			return errForeign
		}
	}
	for _, tr := range h.Transitions {
		if !dogs[tr.Dog] || tr.Days < planner.LeastSteps || tr.Days > planner.MostSteps || !tr.Start.Valid() {
			return errForeign
		}
	}
	for i := range h.Reminders {
		if r := &h.Reminders[i]; !dogs[r.Dog] || r.Schedule.Validate(planner.DateOf(r.Since)) != nil {
			return errForeign
		}
	}
	for _, e := range is.Journal {
		if e.At.IsZero() || e.At.After(t.Event.At) || !slices.Contains(kinds, e.Kind) || e.Weight < 0 || e.Kcal < 0 {
			return errForeign
		}
	}
	return nil
}

// kinds are those of entries that are taken in.
var kinds = []planner.EntryKind{planner.Weighed, planner.Doubted, planner.Scored, planner.Fed, planner.NotFed, planner.Given,
	planner.NotGiven, planner.Treat, planner.StoolSeen, planner.KcalSet, planner.Away, planner.NoteDone, planner.VetSaw, planner.Answered, planner.SignSeen, planner.WellAgain}
