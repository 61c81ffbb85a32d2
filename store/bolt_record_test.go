package store

import (
	"bytes"
	"encoding/hex"
	"math"
	"reflect"
	"testing"
	"time"

	"bowlwright/nutrition"
	"bowlwright/planner"
)

// filled returns a T with something in each field, so that a field which is
// new and not kept is seen.
func filled[T any](t *testing.T) (v T) {
	t.Helper()
	all := reflect.ValueOf(&v).Elem()
	for i := range all.NumField() {
		switch f := all.Field(i); f.Interface().(type) {
		case string:
			f.SetString("field " + string(rune('a'+i)))
		case []byte:
			f.SetBytes([]byte{byte(i), 0, 255})
		case time.Time:
			zone := time.FixedZone("", 19800)
			f.Set(reflect.ValueOf(time.Date(2026, 3, 2, 7, 30, i, 17, zone)))
		case uint64:
			f.SetUint(300 + uint64(i))
		case int:
			f.SetInt(-300 - int64(i))
		case planner.Date:
			f.Set(reflect.ValueOf(planner.Date{Year: -2026, Month: 3, Day: i}))
		default:
			switch f.Kind() {
			case reflect.String:
				f.SetString("field " + string(rune('a'+i)))
				continue
			case reflect.Float64:
				f.SetFloat(-19.6 - float64(i))
				continue
			case reflect.Bool: // what a plain record does not hold
				continue
			}
			t.Fatalf("no value for the field %s", all.Type().Field(i).Name)
		}
	}
	return v
}

// TestPlainRecords keeps every field, and takes nothing that is cut short or
// longer than it should be.
func TestPlainRecords(t *testing.T) {
	m, d := filled[Outgoing](t), filled[Dialogue](t)
	general := m
	general.Topic = ""
	for _, m := range []Outgoing{m, general, {}} {
		data, err := m.encode()
		var got Outgoing
		if err == nil {
			err = got.decode("test", data)
		}
		if err != nil || !reflect.DeepEqual(got, m) {
			t.Errorf("%+v became %+v, %v", m, got, err)
		}
	}
	for _, d := range []Dialogue{d, {}} {
		data, err := d.encode()
		var got Dialogue
		if err == nil {
			err = got.decode("test", data)
		}
		if err != nil || !reflect.DeepEqual(got, d) {
			t.Errorf("%+v became %+v, %v", d, got, err)
		}
	}
	unsure := filled[planner.Entry](t)
	whole := unsure
	whole.Sure = true
	day := planner.Date{Year: 2026, Month: 3, Day: 2} // as JSON, which such an entry is left to, can say it
	whole.At, whole.Entered, whole.Date, whole.Until = whole.At.UTC(), whole.Entered.UTC(), day, day
	for _, e := range []planner.Entry{whole, unsure, {}} {
		data, err := encodeEntry(&e)
		var got planner.Entry
		if err == nil {
			err = decodeEntry("test", data, &got)
		}
		if err != nil || !reflect.DeepEqual(got, e) {
			t.Errorf("%+v became %+v, %v", e, got, err)
		}
		for n := range len(data) + 1 {
			cut := data[:n]
			if n == len(data) {
				cut = append(cut[:n:n], 0)
			}
			if !isDamaged(decodeEntry("test", cut, new(planner.Entry))) {
				t.Errorf("%x was taken for an entry", cut)
			}
		}
	}
	if _, err := encodeEntry(&planner.Entry{Weight: nutrition.Kilograms(math.NaN())}); err == nil {
		t.Error("a weight that is no number was kept")
	}
	message, _ := m.encode()
	untold, _ := general.encode()
	dialogue, _ := d.encode()
	for _, data := range [][]byte{message, untold, dialogue} {
		for n := range len(data) + 1 {
			cut := data[:n]
			if n == len(data) {
				cut = append(cut[:n:n], 0)
			}
			if isDamaged(new(Outgoing).decode("test", cut)) && isDamaged(new(Dialogue).decode("test", cut)) {
				continue
			}
			t.Errorf("%x was taken for a record", cut)
		}
	}
}

const messageBeforeTopics = "01ac021174656c656772616d2f2d313030343731310d74656c656772616d2f31303030" +
	"0f010000000ee137337800000011ffff0f010000000ee1374f9800000000ffff0d7b22626f6479223a6e756c6c7d"

// TestMessageBeforeTopics reads a message as it was written before a chat had
// topics, and writes one without a topic as it was written then.
func TestMessageBeforeTopics(t *testing.T) {
	before, err := hex.DecodeString(messageBeforeTopics)
	if err != nil {
		t.Fatal(err)
	}
	want := Outgoing{Number: 300, Chat: "telegram/-1004711", Event: "telegram/1000",
		At:      time.Date(2026, 3, 2, 7, 30, 0, 17, time.UTC),
		Expires: time.Date(2026, 3, 2, 9, 30, 0, 0, time.UTC), Body: []byte(`{"body":null}`)}
	var got Outgoing
	if err := got.decode("test", before); err != nil || !reflect.DeepEqual(got, want) {
		t.Errorf("it became %+v, %v", got, err)
	}
	if now, err := want.encode(); err != nil || !bytes.Equal(now, before) {
		t.Errorf("it is written as %x, %v", now, err)
	}
}

func isDamaged(err error) bool {
	e, ok := err.(*Error)
	return ok && e.Code == Damaged
}

// FuzzPlainRecords reads anything without a panic.
func FuzzPlainRecords(f *testing.F) {
	data, err := (&Outgoing{Number: 7, Chat: "a", At: time.Unix(1, 2), Body: []byte("{}")}).encode()
	if err != nil {
		f.Fatal(err)
	}
	f.Add(data)
	if data, err = (&Outgoing{Number: 7, Chat: "a", Topic: "7", Body: []byte("{}")}).encode(); err != nil {
		f.Fatal(err)
	}
	f.Add(data)
	pip := &planner.Household{ID: "quayside", Dogs: []planner.Dog{{ID: "1", Name: "Pip"}}, Gone: []planner.Carer{{Name: "Ines"}}}
	if data, err = encodeHousehold(pip); err != nil {
		f.Fatal(err)
	}
	f.Add(data)
	if data, err = (&Change{ID: "c1", Before: pip, Added: []planner.Entry{{ID: "w1"}}}).encode(); err != nil {
		f.Fatal(err)
	}
	f.Add(data)
	f.Fuzz(func(t *testing.T, data []byte) {
		new(Outgoing).decode("fuzz", data) // an error is as good
		new(Dialogue).decode("fuzz", data)
		decodeEntry("fuzz", data, new(planner.Entry))
		decodeHousehold("fuzz", data)
		revisionOf("fuzz", data)
		holdsJSON(data)
		new(Change).decode("fuzz", data)
	})
}
