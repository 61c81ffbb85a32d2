package store

import (
	"encoding/binary"
	"encoding/json"
	"errors"
	"math"
	"time"

	"bowlwright/nutrition"
	"bowlwright/planner"
)

var errNoNumber = errors.New("an amount is not a number")

func appendFloat[T ~float64](to []byte, x T) []byte {
	return binary.BigEndian.AppendUint64(to, math.Float64bits(float64(x)))
}

func (f *fields) float() float64 {
	if len(f.rest) < 8 {
		f.rest, f.bad = nil, true
		return 0
	}
	x := math.Float64frombits(binary.BigEndian.Uint64(f.rest))
	f.rest = f.rest[8:]
	return x
}

// appendDate writes a date as three numbers, which may be negative.
func appendDate(to []byte, d planner.Date) []byte {
	to = binary.AppendVarint(binary.AppendVarint(to, int64(d.Year)), int64(d.Month))
	return binary.AppendVarint(to, int64(d.Day))
}

func (f *fields) signed() int {
	v, n := binary.Varint(f.rest)
	if n <= 0 {
		f.rest, f.bad = nil, true
		return 0
	}
	f.rest = f.rest[n:]
	return int(v)
}

func (f *fields) date() planner.Date {
	return planner.Date{Year: f.signed(), Month: time.Month(f.signed()), Day: f.signed()}
}

// encodeEntry leaves the few entries to JSON that say more than a plain record
// holds.
func encodeEntry(e *planner.Entry) ([]byte, error) {
	for _, x := range []float64{float64(e.Weight), float64(e.Kcal), e.Amount} {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			return nil, errNoNumber
		}
	}
	if e.Sure {
		return json.Marshal(e)
	}
	b := make([]byte, 0, 160+len(e.Text))
	b = appendText(appendText(appendText(append(b, plain), e.ID), e.Kind), e.Dog)
	b, err := appendTime(b, e.At)
	if err != nil {
		return nil, err
	}
	b = appendText(appendDate(b, e.Date), e.Person)
	if b, err = appendTime(b, e.Entered); err != nil {
		return nil, err
	}
	b = appendFloat(appendText(b, e.Of), e.Weight)
	b = appendFloat(binary.AppendVarint(b, int64(e.Score)), e.Kcal)
	b = appendFloat(appendText(b, e.Recipe), e.Amount)
	return appendText(appendDate(appendText(b, e.Stool), e.Until), e.Text), nil
}

// decodeEntry reads a record into e. What e held before is of one kind with
// what it will hold where many are read in a row, so texts that are the same
// are kept instead of copied.
func decodeEntry(op string, data []byte, e *planner.Entry) error {
	if !isPlain(data) {
		*e = planner.Entry{}
		return decode(op, data, e)
	}
	f := fields{rest: data[1:]}
	*e = planner.Entry{
		ID: f.text(), Kind: planner.EntryKind(f.textLike(string(e.Kind))), Dog: f.textLike(e.Dog), At: f.time(), Date: f.date(),
		Person: f.textLike(e.Person), Entered: f.time(), Of: f.text(), Weight: nutrition.Kilograms(f.float()), Score: f.signed(),
		Kcal: nutrition.Kcal(f.float()), Recipe: f.textLike(e.Recipe), Amount: f.float(), Stool: planner.Stool(f.text()),
		Until: f.date(), Text: f.text(),
	}
	return f.end(op)
}

// textLike is text, and s itself where that is the same.
func (f *fields) textLike(s string) string {
	if b := f.bytes(); string(b) != s {
		return string(b)
	}
	return s
}
