package store

import (
	"encoding/json"
	"errors"
	"math"
	"math/rand/v2"
	"path/filepath"
	"reflect"
	"testing"
	"time"

	"bowlwright/nutrition"
	"bowlwright/planner"
)

// scatter sets about so many in ten of the fields that v holds to something,
// and leaves the others at zero, or empty.
func scatter(r *rand.Rand, v reflect.Value, inTen int) {
	if r.IntN(10) >= inTen {
		return
	}
	if v.Type() == reflect.TypeFor[time.Time]() {
		zones := []*time.Location{time.UTC, time.FixedZone("", 0), time.FixedZone("", 19800), time.FixedZone("", -12600)}
		v.Set(reflect.ValueOf(time.Unix(r.Int64N(4e9), r.Int64N(1e9)).In(zones[r.IntN(len(zones))])))
		return
	}
	switch v.Kind() {
	case reflect.Struct:
		for i := range v.NumField() {
			if v.Field(i).CanSet() {
				scatter(r, v.Field(i), inTen)
			}
		}
	case reflect.Array:
		for i := range v.Len() {
			scatter(r, v.Index(i), inTen)
		}
	case reflect.Slice:
		v.Set(reflect.MakeSlice(v.Type(), r.IntN(4), 4))
		for i := range v.Len() {
			scatter(r, v.Index(i), inTen)
		}
	case reflect.Map:
		v.Set(reflect.MakeMap(v.Type()))
		for range r.IntN(4) {
			key, value := reflect.New(v.Type().Key()).Elem(), reflect.New(v.Type().Elem()).Elem()
			scatter(r, key, 10)
			scatter(r, value, inTen)
			v.SetMapIndex(key, value)
		}
	case reflect.Pointer:
		v.Set(reflect.New(v.Type().Elem()))
		scatter(r, v.Elem(), inTen)
	case reflect.String:
		texts := []string{"Juniper", "Lamb and mackerel", "<é&\u2028>", "", string(make([]byte, 200))}
		v.SetString(texts[r.IntN(len(texts))])
	case reflect.Bool:
		v.SetBool(true)
	case reflect.Float64:
		v.SetFloat(r.NormFloat64() * 30)
	case reflect.Uint, reflect.Uint8, reflect.Uint16, reflect.Uint32, reflect.Uint64:
		v.SetUint(r.Uint64N(90))
	default:
		v.SetInt(r.Int64N(90) + 1)
	}
}

// asJSON returns what JSON makes of a value.
func asJSON[T any](t *testing.T, v *T) (*T, bool) {
	t.Helper()
	data, err := json.Marshal(v)
	if err != nil {
		return nil, false
	}
	is := new(T)
	if err := json.Unmarshal(data, is); err != nil {
		t.Fatal(err)
	}
	return is, true
}

// TestHouseholdRecords keeps of any household, and of any change, what JSON
// keeps of it, and takes nothing that is cut short or too long.
func TestHouseholdRecords(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	kept := 0
	for n := range 2000 {
		h := new(planner.Household)
		scatter(r, reflect.ValueOf(h).Elem(), 3+n%8)
		want, ok := asJSON(t, h)
		data, err := encodeHousehold(h)
		if ok != (err == nil) {
			t.Fatalf("JSON takes it: %v, the record: %v", ok, err)
		}
		if !ok {
			continue
		}
		kept++
		got, err := decodeHousehold("test", data)
		if err != nil || !reflect.DeepEqual(got, want) {
			t.Fatalf("%+v\nbecame %+v\nwant %+v (%v)", h, got, want, err)
		}
		if rev, err := revisionOf("test", data); rev != h.Rev || err != nil || !isPlain(data) {
			t.Fatalf("revision %d, %v, want %d; %q", rev, err, h.Rev, data)
		}
		c := Change{ID: "c", At: morningIn(19800), Person: "terminal/Ines", Kind: "did.weighed", About: "Pip", Before: want}
		for range r.IntN(3) {
			c.Added = append(c.Added, filled[planner.Entry](t))
			c.Removed = append(c.Removed, planner.Entry{ID: "w1"})
		}
		record, err := c.encode()
		var back Change
		if err == nil {
			err = back.decode("test", record)
		}
		if err != nil || !isPlain(record) || !reflect.DeepEqual(back, c) {
			t.Fatalf("%+v\nbecame %+v (%v)", c, back, err)
		}
		if n%100 == 7 {
			for at := range record {
				cut(t, data[:min(at, len(data)-1)], record[:at])
			}
			cut(t, append(data, 0), append(record, 0))
		}
	}
	if kept < 500 {
		t.Errorf("only %d households were kept: the test sees little", kept)
	}
}

func morningIn(offset int) time.Time {
	return time.Date(2026, 3, 2, 7, 30, 0, 0, time.FixedZone("", offset))
}

func cut(t *testing.T, household, change []byte) {
	t.Helper()
	if h, err := decodeHousehold("test", household); !isDamaged(err) || h != nil {
		t.Fatalf("%x was taken for a household", household)
	}
	if !isDamaged(new(Change).decode("test", change)) {
		t.Fatalf("%x was taken for a change", change)
	}
}

// TestHouseholdFields has no field of a household that is kept only by half: one
// with everything in it is a plain record.
func TestHouseholdFields(t *testing.T) {
	h := new(planner.Household)
	for r := rand.New(rand.NewPCG(3, 4)); len(h.Dogs) == 0 || len(h.Carers) == 0 || len(h.Told) == 0; {
		scatter(r, reflect.ValueOf(h).Elem(), 10)
	}
	some := &planner.Household{ID: h.ID, Rev: h.Rev, Carers: h.Carers, Dogs: h.Dogs, Units: h.Units, Zone: h.Zone, Profile: h.Profile,
		AtRisk: h.AtRisk, LastID: h.LastID, Told: h.Told, Created: h.Created}
	data, err := encodeHousehold(some)
	if err != nil || !isPlain(data) || holdsJSON(data) {
		t.Errorf("%q (%v)", data, err)
	}
	some.Gone = h.Carers[:1:1]
	if data, err := encodeHousehold(some); err != nil || !isPlain(data) || !holdsJSON(data) {
		t.Errorf("%q (%v)", data, err)
	}
}

// TestHouseholdLeftToJSON writes as JSON what a plain record would say
// otherwise, and refuses what JSON refuses.
func TestHouseholdLeftToJSON(t *testing.T) {
	odd := map[string]*planner.Household{
		"a name that is no text": {ID: "a", Dogs: []planner.Dog{{Name: "P\xffp"}}},
		"a year of five digits":  {ID: "a", Created: time.Date(12026, 3, 2, 0, 0, 0, 0, time.UTC)},
		"a weight without end":   {ID: "a", Dogs: []planner.Dog{{Weight: nutrition.Kilograms(math.Inf(1))}}},
	}
	for what, h := range odd {
		data, err := encodeHousehold(h)
		want, ok := asJSON(t, h)
		if ok != (err == nil) || isPlain(data) {
			t.Errorf("%s: %q, %v", what, data, err)
		}
		if !ok {
			continue
		}
		if got, err := decodeHousehold("test", data); err != nil || !reflect.DeepEqual(got, want) {
			t.Errorf("%s became %+v, %v", what, got, err)
		}
		c := Change{ID: "c", Before: h}
		record, err := c.encode()
		if err == nil {
			err = c.decode("test", record)
		}
		if err != nil || isPlain(record) || !reflect.DeepEqual(c.Before, want) {
			t.Errorf("%s became %+v, %v in a change", what, c.Before, err)
		}
	}
}

// TestHouseholdBeforePlain reads what was written as JSON until schema 7, and
// writes over it.
func TestHouseholdBeforePlain(t *testing.T) {
	const home = `{"id":"quayside","rev":7,"dogs":[{"id":"1","name":"Pip","weight_kg":9.4}],"units":{"pounds":true},"zone":"UTC","last_id":1,"created":"2026-03-02T07:30:00Z"}`
	const change = `{"id":"c1","at":"2026-03-02T07:30:00Z","person":"terminal/Ines","kind":"did.weighed","before":` + home + `}`
	s, err := Open(filepath.Join(t.TempDir(), "s.db"), Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	err = s.update(t.Context(), func(tx *boltTx) error {
		return errors.Join(tx.put("test", bucketHouseholds, []byte("quayside"), []byte(home)),
			tx.put("test", bucketChanges, numberKey("quayside", 1), []byte(change)))
	})
	for _, name := range []string{"Pip", "Bracken"} {
		err = errors.Join(err, s.Update(t.Context(), func(tx Tx) error {
			h, err := tx.Household("quayside")
			rev, errRev := tx.Revision("quayside")
			c, errChange := tx.LastChange("quayside")
			if err := errors.Join(err, errRev, errChange); err != nil {
				return err
			}
			if rev != 7 || h.Rev != 7 || h.Dogs[0].Name != name || !h.Units.Pounds || !reflect.DeepEqual(c.Before, h) {
				t.Errorf("%d, %+v and %+v", rev, h, c.Before)
			}
			h.Dogs[0].Name = "Bracken"
			c.Before = h
			return errors.Join(tx.PutHousehold(h), tx.PushChange("quayside", c))
		}))
	}
	if err := errors.Join(err, s.View(t.Context(), func(tx Tx) error { _, err := tx.Household("quayside"); return err })); err != nil {
		t.Error(err)
	}
}
