package store

import (
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
	for _, m := range []Outgoing{m, {}} {
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
	for _, e := range []planner.Entry{filled[planner.Entry](t), {}} {
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
	dialogue, _ := d.encode()
	for _, data := range [][]byte{message, dialogue} {
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
	f.Fuzz(func(t *testing.T, data []byte) {
		new(Outgoing).decode("fuzz", data) // an error is as good
		new(Dialogue).decode("fuzz", data)
		decodeEntry("fuzz", data, new(planner.Entry))
	})
}
