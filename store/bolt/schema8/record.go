package schema8

import (
	"encoding/binary"
	"encoding/json"
	"math"
	"time"

	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/store"
)

// readers are, by bucket, how a plain record is read.
var readers = map[string]func(f *fields, kind byte) any{
	"outbox":     readMessage,
	"dialogues":  readDialogue,
	"journal":    func(f *fields, _ byte) any { return f.entry() },
	"households": func(f *fields, _ byte) any { return f.household() },
	"changes":    readChange,
}

// translated returns a record of a bucket as it is kept since schema 9.
func translated(bucket string, record []byte) ([]byte, error) {
	read := readers[bucket]
	if read == nil || !isPlain(record) && !(bucket == "outbox" && len(record) > 0 && record[0] == topical) {
		return record, nil
	}
	f := &fields{rest: record[1:]}
	v := read(f, record[0])
	if !f.whole() {
		return nil, damaged("a record of %s cannot be read", bucket)
	}
	data, err := json.Marshal(v)
	if err != nil {
		return nil, damaged("a record of %s holds what cannot be kept", bucket)
	}
	return data, nil
}

func readMessage(f *fields, kind byte) any {
	m := store.Outgoing{Number: f.number(), Chat: f.text(), Event: f.text(), At: f.time(), Expires: f.time(), Body: f.bytes()}
	if kind == topical {
		m.Topic = f.text()
	}
	return m
}

func readDialogue(f *fields, _ byte) any {
	return store.Dialogue{Kind: f.text(), Step: f.text(), Since: f.time(), Data: f.bytes()}
}

func readChange(f *fields, _ byte) any {
	c := store.Change{ID: f.text(), At: f.time(), Person: f.text(), Kind: f.text(), About: f.text()}
	var before bool
	if f.flags(&before); before {
		c.Before = f.household()
	}
	for _, to := range []*[]planner.Entry{&c.Added, &c.Removed} {
		for range f.count() {
			*to = append(*to, f.innerEntry())
		}
	}
	return c
}

// innerEntry reads an entry that stands within a change, plain or as JSON.
func (f *fields) innerEntry() (e planner.Entry) {
	record := f.bytes()
	if !isPlain(record) {
		f.bad = f.bad || json.Unmarshal(record, &e) != nil
		return e
	}
	inner := &fields{rest: record[1:]}
	e = inner.entry()
	f.bad = f.bad || !inner.whole()
	return e
}

func (f *fields) entry() planner.Entry {
	return planner.Entry{
		ID: f.text(), Kind: planner.EntryKind(f.text()), Dog: f.text(), At: f.time(), Date: f.date(),
		Person: f.text(), Entered: f.time(), Of: f.text(), Weight: nutrition.Kilograms(f.float()), Score: f.signed(),
		Kcal: nutrition.Kcal(f.float()), Recipe: f.text(), Amount: f.float(), Stool: planner.Stool(f.text()),
		Until: f.date(), Text: f.text(),
	}
}

// household reads what was written field by field over what JSON says of the
// others.
func (f *fields) household() *planner.Household {
	h := new(planner.Household)
	id, rev := f.text(), f.number()
	f.json(h)
	h.ID, h.Rev = id, rev
	f.flags(&h.AtRisk, &h.Units.Ounces, &h.Units.Pounds)
	h.Zone, h.Profile, h.LastID, h.Created = f.text(), f.text(), f.signed(), f.time()
	for range f.count() {
		h.Carers = append(h.Carers, planner.Carer{Person: f.text(), Name: f.text()})
	}
	if n := f.count(); n > 0 {
		h.Told = make(map[string]bool, n)
		for range n {
			var told bool
			name := f.text()
			f.flags(&told)
			h.Told[name] = told
		}
	}
	for range f.count() {
		h.Dogs = append(h.Dogs, f.dog())
	}
	return h
}

func (f *fields) dog() (d planner.Dog) {
	f.json(&d)
	d.ID, d.Name = f.text(), f.text()
	f.flags(&d.BornAbout, &d.ByScale, &d.ByVet, &d.TreatsOff, &d.Healthy, &d.Puppy, &d.Ill)
	d.Weight, d.Weighed = nutrition.Kilograms(f.float()), f.time()
	d.Ideal, d.AdultWeight = nutrition.Kilograms(f.float()), nutrition.Kilograms(f.float())
	d.Born, d.Sex, d.Neutered = f.time(), planner.Sex(f.text()), planner.Answer(f.text())
	d.Activity, d.Condition = planner.Activity(f.text()), f.signed()
	d.Stage, d.Goal, d.Health = planner.Stage(f.text()), planner.Goal(f.text()), f.text()
	d.Meals, d.Kcal, d.Recipe = f.signed(), nutrition.Kcal(f.float()), f.text()
	for range f.count() {
		d.Excludes = append(d.Excludes, f.text())
	}
	for range f.count() {
		d.FeedAt = append(d.FeedAt, planner.Clock(f.signed()))
	}
	return d
}

// Records that were written often were no JSON: a byte that says so, which no
// JSON begins with, then the fields in order, texts behind their lengths.
// Messages and dialogues were so since schema 6, households and changes since
// schema 8.
const (
	plain   = 1
	topical = 2 // a message to a topic of its chat, which stands behind all else
)

func isPlain(record []byte) bool { return len(record) > 0 && record[0] == plain }

// fields reads the fields of a record; the first that is not there makes it
// bad, and all behind it empty.
type fields struct {
	rest []byte
	bad  bool
}

func (f *fields) fail() { f.rest, f.bad = nil, true }

func (f *fields) number() uint64 {
	v, n := binary.Uvarint(f.rest)
	if n <= 0 {
		f.fail()
		return 0
	}
	f.rest = f.rest[n:]
	return v
}

func (f *fields) signed() int {
	v, n := binary.Varint(f.rest)
	if n <= 0 {
		f.fail()
		return 0
	}
	f.rest = f.rest[n:]
	return int(v)
}

// bytes returns a part of the record, not a copy; nil where it is empty.
func (f *fields) bytes() []byte {
	n := f.number()
	if n > uint64(len(f.rest)) {
		f.fail()
		return nil
	}
	if n == 0 {
		return nil
	}
	b := f.rest[:n:n]
	f.rest = f.rest[n:]
	return b
}

func (f *fields) text() string { return string(f.bytes()) }

func (f *fields) float() float64 {
	if len(f.rest) < 8 {
		f.fail()
		return 0
	}
	x := math.Float64frombits(binary.BigEndian.Uint64(f.rest))
	f.rest = f.rest[8:]
	return x
}

// time reads a time with its zone's offset; the zero time is nothing.
func (f *fields) time() (t time.Time) {
	if b := f.bytes(); len(b) > 0 && t.UnmarshalBinary(b) != nil {
		f.bad = true
	}
	return t
}

func (f *fields) date() planner.Date {
	return planner.Date{Year: f.signed(), Month: time.Month(f.signed()), Day: f.signed()}
}

// count reads how many there are of what takes at least a byte each.
func (f *fields) count() int {
	n := f.number()
	if n > uint64(len(f.rest)) {
		f.fail()
		return 0
	}
	return int(n)
}

// flags reads up to eight of them.
func (f *fields) flags(to ...*bool) {
	if len(f.rest) == 0 || f.rest[0]>>len(to) != 0 {
		f.fail()
		return
	}
	for i, set := range to {
		*set = f.rest[0]>>i&1 != 0
	}
	f.rest = f.rest[1:]
}

// json reads what stands as JSON within a record.
func (f *fields) json(v any) {
	if data := f.bytes(); data != nil && !f.bad {
		f.bad = json.Unmarshal(data, v) != nil
	}
}

// whole says whether all fields were there and nothing else.
func (f *fields) whole() bool { return !f.bad && len(f.rest) == 0 }
