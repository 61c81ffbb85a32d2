package store

import (
	"bytes"
	"encoding/binary"
	"encoding/json"
	"math"
	"reflect"
	"slices"
	"sync"
	"time"
	"unicode/utf8"

	"bowlwright/nutrition"
	"bowlwright/planner"
)

// Households and changes are written and read with every weigh-in, so since
// schema 8 their records are no JSON either: what nearly every household has is
// written field by field, and whatever else there is follows as JSON. A plain
// record says what JSON would have said of the same value; one that it cannot
// say so, such as a name that is no text, is left to JSON, which refuses it or
// keeps it in its own way.

// plainly writes the fields of such a record.
type plainly struct {
	b   []byte
	bad bool // something in it has to be left to JSON

	home planner.Household // what of one is left to JSON, while it is written
	one  planner.Dog
}

// plainlies are those that are not in use, since each is large.
var plainlies = sync.Pool{New: func() any { return &plainly{b: make([]byte, 0, 1<<10)} }}

// plainRecord returns the record that f writes, or v as JSON where it cannot.
func plainRecord(v any, f func(*plainly)) ([]byte, error) {
	p := plainlies.Get().(*plainly)
	p.b, p.bad = append(p.b[:0], plain), false
	f(p)
	p.home, p.one = planner.Household{}, planner.Dog{}
	bad, record := p.bad, bytes.Clone(p.b)
	if cap(p.b) <= longestHome {
		plainlies.Put(p)
	}
	if bad {
		return json.Marshal(v)
	}
	return record, nil
}

func (p *plainly) text(s string) {
	p.bad = p.bad || !utf8.ValidString(s)
	p.b = appendText(p.b, s)
}

func (p *plainly) count(n int) { p.b = binary.AppendUvarint(p.b, uint64(n)) }

func (p *plainly) signed(n int) { p.b = binary.AppendVarint(p.b, int64(n)) }

func (p *plainly) float(x float64) {
	p.bad = p.bad || math.IsNaN(x) || math.IsInf(x, 0)
	p.b = appendFloat(p.b, x)
}

// time writes a time without an offset as one in UTC, as JSON does.
func (p *plainly) time(t time.Time) {
	if _, offset := t.Zone(); offset == 0 {
		t = t.UTC()
	}
	var err error
	p.b, err = appendTime(p.b, t)
	p.bad = p.bad || err != nil || t.Year() < 0 || t.Year() > 9999
}

// flags writes up to eight of them.
func (p *plainly) flags(is ...bool) {
	all := byte(0)
	for i, set := range is {
		if set {
			all |= 1 << i
		}
	}
	p.b = append(p.b, all)
}

// rest writes as JSON what v points to, nothing where that is a zero value.
func (p *plainly) rest(v any) {
	if reflect.ValueOf(v).Elem().IsZero() {
		p.count(0)
		return
	}
	data, err := json.Marshal(v)
	p.bad = p.bad || err != nil
	p.b = appendText(p.b, data)
}

// count reads how many there are of what takes at least a byte each.
func (f *fields) count() int {
	n := f.number()
	if n > uint64(len(f.rest)) {
		f.rest, f.bad = nil, true
		return 0
	}
	return int(n)
}

func (f *fields) flags(to ...*bool) {
	if len(f.rest) == 0 || f.rest[0]>>len(to) != 0 {
		f.rest, f.bad = nil, true
		return
	}
	for i, set := range to {
		*set = f.rest[0]>>i&1 != 0
	}
	f.rest = f.rest[1:]
}

// json reads what rest wrote.
func (f *fields) json(v any) {
	if data := f.bytes(); data != nil && !f.bad {
		f.bad = json.Unmarshal(data, v) != nil
	}
}

func encodeHousehold(h *planner.Household) ([]byte, error) {
	return plainRecord(h, func(p *plainly) { p.household(h) })
}

// household writes what is left to JSON first: reading sets the fields behind it
// over what JSON says of them.
func (p *plainly) household(h *planner.Household) {
	rest := &p.home
	*rest = *h
	rest.ID, rest.Rev, rest.AtRisk, rest.Units, rest.Zone, rest.Profile = "", 0, false, planner.Units{}, "", ""
	rest.LastID, rest.Created, rest.Carers, rest.Told, rest.Dogs = 0, time.Time{}, nil, nil, nil
	p.text(h.ID)
	p.b = binary.AppendUvarint(p.b, h.Rev)
	p.rest(rest)
	p.flags(h.AtRisk, h.Units.Ounces, h.Units.Pounds)
	p.text(h.Zone)
	p.text(h.Profile)
	p.signed(h.LastID)
	p.time(h.Created)
	p.count(len(h.Carers))
	for _, c := range h.Carers {
		p.text(c.Person)
		p.text(c.Name)
	}
	p.told(h.Told)
	p.count(len(h.Dogs))
	for i := range h.Dogs {
		p.dog(&h.Dogs[i])
	}
}

// told writes the cautions in the order of their names, so that a household is
// always the same record.
func (p *plainly) told(told map[string]bool) {
	var room [16]string
	names := room[:0]
	for name := range told {
		names = append(names, name)
	}
	slices.Sort(names)
	p.count(len(names))
	for _, name := range names {
		p.text(name)
		p.flags(told[name])
	}
}

func (p *plainly) dog(d *planner.Dog) {
	rest := &p.one
	*rest = *d
	rest.ID, rest.Name, rest.BornAbout, rest.ByScale, rest.ByVet, rest.TreatsOff = "", "", false, false, false, false
	rest.Healthy, rest.Puppy, rest.Ill = false, false, false
	rest.Weight, rest.Weighed, rest.Ideal, rest.AdultWeight, rest.Born = 0, time.Time{}, 0, 0, time.Time{}
	rest.Sex, rest.Neutered, rest.Activity, rest.Condition, rest.Stage, rest.Goal = "", "", "", 0, "", ""
	rest.Health, rest.Meals, rest.Kcal, rest.Recipe, rest.Excludes, rest.FeedAt = "", 0, 0, "", nil, nil
	p.rest(rest)
	p.text(d.ID)
	p.text(d.Name)
	p.flags(d.BornAbout, d.ByScale, d.ByVet, d.TreatsOff, d.Healthy, d.Puppy, d.Ill)
	p.float(float64(d.Weight))
	p.time(d.Weighed)
	p.float(float64(d.Ideal))
	p.float(float64(d.AdultWeight))
	p.time(d.Born)
	p.text(string(d.Sex))
	p.text(string(d.Neutered))
	p.text(string(d.Activity))
	p.signed(d.Condition)
	p.text(string(d.Stage))
	p.text(string(d.Goal))
	p.text(d.Health)
	p.signed(d.Meals)
	p.float(float64(d.Kcal))
	p.text(d.Recipe)
	p.count(len(d.Excludes))
	for _, food := range d.Excludes {
		p.text(food)
	}
	p.count(len(d.FeedAt))
	for _, at := range d.FeedAt {
		p.signed(int(at))
	}
}

// decodeHousehold returns a household that shares nothing with its record.
func decodeHousehold(op string, data []byte) (*planner.Household, error) {
	h := new(planner.Household)
	if !isPlain(data) {
		if err := decode(op, data, h); err != nil {
			return nil, err
		}
		return h, nil
	}
	f := fields{rest: data[1:]}
	f.household(h)
	if err := f.end(op); err != nil {
		return nil, err
	}
	return h, nil
}

// holdsJSON tells the records of which a part was left to JSON.
func holdsJSON(data []byte) bool {
	if !isPlain(data) {
		return true
	}
	f := fields{rest: data[1:]}
	f.bytes() // its id
	f.number()
	return len(f.bytes()) > 0
}

// revisionOf reads no more of a household's record than its revision.
func revisionOf(op string, data []byte) (uint64, error) {
	if !isPlain(data) {
		var h struct {
			Rev uint64 `json:"rev"`
		}
		err := decode(op, data, &h)
		return h.Rev, err
	}
	f := fields{rest: data[1:]}
	f.bytes() // its id
	rev := f.number()
	f.rest = nil
	return rev, f.end(op)
}

func (f *fields) household(h *planner.Household) {
	id, rev := f.text(), f.number()
	f.json(h)
	h.ID, h.Rev = id, rev
	f.flags(&h.AtRisk, &h.Units.Ounces, &h.Units.Pounds)
	h.Zone, h.Profile, h.LastID, h.Created = f.text(), f.text(), f.signed(), f.time()
	if n := f.count(); n > 0 {
		h.Carers = make([]planner.Carer, n)
		for i := range h.Carers {
			h.Carers[i] = planner.Carer{Person: f.text(), Name: f.text()}
		}
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
	if n := f.count(); n > 0 {
		h.Dogs = make([]planner.Dog, n)
		for i := range h.Dogs {
			f.dog(&h.Dogs[i])
		}
	}
}

func (f *fields) dog(d *planner.Dog) {
	f.json(d)
	d.ID, d.Name = f.text(), f.text()
	f.flags(&d.BornAbout, &d.ByScale, &d.ByVet, &d.TreatsOff, &d.Healthy, &d.Puppy, &d.Ill)
	d.Weight, d.Weighed = nutrition.Kilograms(f.float()), f.time()
	d.Ideal, d.AdultWeight = nutrition.Kilograms(f.float()), nutrition.Kilograms(f.float())
	d.Born, d.Sex, d.Neutered = f.time(), planner.Sex(f.text()), planner.Answer(f.text())
	d.Activity, d.Condition = planner.Activity(f.text()), f.signed()
	d.Stage, d.Goal, d.Health = planner.Stage(f.text()), planner.Goal(f.text()), f.text()
	d.Meals, d.Kcal, d.Recipe = f.signed(), nutrition.Kcal(f.float()), f.text()
	if n := f.count(); n > 0 {
		d.Excludes = make([]string, n)
		for i := range d.Excludes {
			d.Excludes[i] = f.text()
		}
	}
	if n := f.count(); n > 0 {
		d.FeedAt = make([]planner.Clock, n)
		for i := range d.FeedAt {
			d.FeedAt[i] = planner.Clock(f.signed())
		}
	}
}

// encode leaves a change to JSON as a whole where a part of it has to be.
func (c *Change) encode() ([]byte, error) {
	return plainRecord(c, func(p *plainly) { p.change(c) })
}

func (p *plainly) change(c *Change) {
	p.text(c.ID)
	p.time(c.At)
	p.text(c.Person)
	p.text(c.Kind)
	p.text(c.About)
	p.flags(c.Before != nil)
	if c.Before != nil {
		p.household(c.Before)
	}
	for _, entries := range [][]planner.Entry{c.Added, c.Removed} {
		p.count(len(entries))
		for i := range entries {
			record, err := encodeEntry(&entries[i])
			p.bad = p.bad || err != nil
			p.b = appendText(p.b, record)
		}
	}
}

func (c *Change) decode(op string, data []byte) error {
	if !isPlain(data) {
		return decode(op, data, c)
	}
	f := fields{rest: data[1:]}
	*c = Change{ID: f.text(), At: f.time(), Person: f.text(), Kind: f.text(), About: f.text()}
	var before bool
	if f.flags(&before); before {
		c.Before = new(planner.Household)
		f.household(c.Before)
	}
	for _, to := range []*[]planner.Entry{&c.Added, &c.Removed} {
		n := f.count()
		if n == 0 {
			continue
		}
		*to = make([]planner.Entry, n)
		for i := range *to {
			if decodeEntry(op, f.bytes(), &(*to)[i]) != nil {
				f.bad = true
				break
			}
		}
	}
	return f.end(op)
}
