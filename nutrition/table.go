package nutrition

import (
	"embed"
	"encoding/csv"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"sync"
)

// Table is a food table: the foods compiled in, and a household's own foods
// where With added some. It is safe for use by several goroutines; nobody may
// change the foods it hands out.
type Table struct {
	foods []*Food
	byKey map[string]*Food
	base  *Table        // what a household's own foods are laid over; nil for the table itself
	index func() *index // made at the first search
}

// Default returns the table compiled in: foods of USDA SR26 (public domain)
// and the supplements, each with its source. It panics with the row's number
// where an embedded file is bad, which a test rules out.
var Default = sync.OnceValue(loadTable)

// Food returns the food with a key, nil if there is none. A food that was weighed
// cooked, without a row of its own, is worked out each time: see WeighedCooked.
func (t *Table) Food(key string) *Food {
	if raw, ok := strings.CutSuffix(key, weighedCooked); ok {
		if f := t.Food(raw); f != nil && f.Bone.Kind == NoBone && !f.asItIs() {
			return f.weighedCooked()
		}
		return nil
	}
	if f := t.byKey[key]; f != nil || t.base == nil {
		return f
	}
	return t.base.Food(key)
}

// Foods returns all foods in the order of the table: foods, then
// supplements, then a household's own. The slice is the caller's own.
func (t *Table) Foods() []*Food {
	if t.base == nil {
		return append([]*Food(nil), t.foods...)
	}
	var all []*Food
	for _, f := range t.base.Foods() {
		if t.byKey[f.Key] == nil {
			all = append(all, f)
		}
	}
	return append(all, t.foods...)
}

// With returns the table with a household's own foods laid over it. A food of
// theirs whose key the table has takes that one's place. It copies nothing of
// the table, and keeps pointers into own.
func (t *Table) With(own []Food) *Table {
	if len(own) == 0 {
		return t
	}
	over := &Table{base: t, byKey: make(map[string]*Food, len(own))}
	for i := range own {
		over.foods = append(over.foods, &own[i])
		over.byKey[own[i].Key] = &own[i]
	}
	over.index = sync.OnceValue(func() *index { return t.index().with(over.foods) })
	return over
}

var _ Pantry = (*Table)(nil)

//go:embed data/foods.csv data/supplements.csv data/measures.csv data/words.csv data/names.csv data/refuse.csv data/exclude.csv
var tableFiles embed.FS

func records(file string, each func(cell func(string) string) error) {
	Records(tableFiles, file, each)
}

// Records reads a table that is compiled in and calls each with every row below
// the heading, its cells by the heading's names. A row that cannot be read is a
// fault of the program: it panics with the file and the line.
func Records(files embed.FS, file string, each func(cell func(string) string) error) {
	f, err := files.Open("data/" + file)
	if err != nil {
		panic(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	head, err := r.Read()
	if err != nil {
		panic(fmt.Sprintf("nutrition: %s: %v", file, err))
	}
	column := make(map[string]int, len(head))
	for i, name := range head {
		column[name] = i
	}
	rows, err := r.ReadAll()
	if err != nil {
		panic(fmt.Sprintf("nutrition: %s: %v", file, err))
	}
	for i, row := range rows {
		cell := func(name string) string {
			c, ok := column[name]
			if !ok {
				panic(fmt.Sprintf("nutrition: %s has no column %q", file, name))
			}
			return row[c]
		}
		if err := each(cell); err != nil {
			panic(fmt.Sprintf("nutrition: %s: row %d (%s): %v", file, i+1, row[0], err))
		}
	}
}

func loadTable() *Table {
	t := &Table{byKey: make(map[string]*Food, 256)}
	add := func(f *Food, err error) error {
		if err != nil {
			return err
		}
		if f.Key == "" || t.byKey[f.Key] != nil {
			return fmt.Errorf("key %q is empty or there twice", f.Key)
		}
		t.byKey[f.Key] = f
		t.foods = append(t.foods, f)
		return nil
	}
	records("foods.csv", func(cell func(string) string) error { return add(readFood(cell)) })
	records("supplements.csv", func(cell func(string) string) error { return add(readSupplement(cell, t)) })
	records("measures.csv", func(cell func(string) string) error {
		f := t.byKey[cell("food")]
		if f == nil {
			return fmt.Errorf("no such food")
		}
		g, err := strconv.ParseFloat(cell("grams"), 64)
		if err != nil || g <= 0 {
			return fmt.Errorf("grams %q", cell("grams"))
		}
		if !slices.Contains(MeasureUnits, cell("unit")) {
			return fmt.Errorf("unit %q", cell("unit"))
		}
		f.Measure = append(f.Measure, Measure{cell("unit"), cell("note"), Grams(g), cell("source")})
		return nil
	})
	t.index = sync.OnceValue(func() *index { return newIndex(t.foods) })
	return t
}

// tagWords are the tags' names in the tables.
var tagWords = map[string]Tag{
	"raw": Raw, "cooked": Cooked, "canned": Canned, "poultry": Poultry, "red-meat": RedMeat, "pork": Pork,
	"game": Game, "bone-in": BoneIn, "ruminant": Ruminant, "anadromous": Anadromous, "thiaminase": Thiaminase,
	"oxalate": Oxalate, "seaweed": Seaweed, "liver-oil": LiverOil, "shellfish": Shellfish, "egg": Egg,
	"dairy": Dairy, "grain": Grain, "supplement": Supplement,
	"some-oxalate": SomeOxalate, "cook-first": CookFirst, "unoffered": Unoffered,
}

func readTags(s string) (tags Tag, err error) {
	for _, w := range strings.Fields(s) {
		if tagWords[w] == 0 {
			return 0, fmt.Errorf("tag %q", w)
		}
		tags |= tagWords[w]
	}
	return tags, nil
}

func readFood(cell func(string) string) (*Food, error) {
	f := &Food{Key: cell("key"), Name: cell("name"), Kind: cell("kind"), Species: cell("species"),
		Source: cell("source"), Note: cell("note")}
	part := slices.Index(partKeys[:], cell("part"))
	if part < 0 {
		return nil, fmt.Errorf("part %q", cell("part"))
	}
	f.Part = Part(part)
	var err error
	if f.Tags, err = readTags(cell("tags")); err != nil {
		return nil, err
	}
	if f.Bone, err = readBone(cell("bone")); err != nil {
		return nil, err
	}
	for n := range NutrientCount {
		if n == Iodine || n == Chloride {
			continue // in no table; the zero Value is not known
		}
		s := cell(n.String())
		if s == "" {
			continue
		}
		x, err := strconv.ParseFloat(s, 64)
		if err != nil || x < 0 {
			return nil, fmt.Errorf("%s %q", n, s)
		}
		f.Soft[n] = Exactly(x)
	}
	f.Per100 = withBone(&f.Soft, f.Bone)
	return f, nil
}

// readBone reads "poultry 44" or "poultry 38 46 46": percent of the cut.
func readBone(s string) (b Bone, err error) {
	w := strings.Fields(s)
	if len(w) == 0 {
		return b, nil
	}
	switch w[0] {
	case "poultry":
		b.Kind = PoultryBone
	case "mammal":
		b.Kind = MammalBone
	default:
		return b, fmt.Errorf("bone %q", s)
	}
	var x []float64
	for _, v := range w[1:] {
		p, err := strconv.ParseFloat(v, 64)
		if err != nil || p <= 0 || p >= 100 {
			return b, fmt.Errorf("bone %q", s)
		}
		x = append(x, p/100)
	}
	switch len(x) {
	case 1:
		b.Low, b.Mid, b.High = x[0]*(1-oneFigureSpread), x[0], x[0]*(1+oneFigureSpread)
	case 3:
		b.Low, b.Mid, b.High = x[0], x[1], x[2]
	default:
		return b, fmt.Errorf("bone %q", s)
	}
	if b.Low > b.Mid || b.Mid > b.High || b.High >= 1 {
		return b, fmt.Errorf("bone %q is out of order", s)
	}
	return b, nil
}

func readSupplement(cell func(string) string, t *Table) (*Food, error) {
	f := &Food{Key: cell("key"), Name: cell("name"), Kind: "supplement", Part: Other, Tags: Supplement,
		Source: cell("source"), Note: cell("note")}
	tags, err := readTags(cell("tags"))
	if err != nil {
		return nil, err
	}
	f.Tags |= tags
	switch from := cell("from"); {
	case from != "":
		raw := t.byKey[from]
		factor, err := strconv.ParseFloat(cell("factor"), 64)
		if raw == nil || err != nil {
			return nil, fmt.Errorf("from %q, factor %q", from, cell("factor"))
		}
		for n, v := range raw.Soft {
			if v.Complete {
				f.Soft[n] = Between(v.Mid*factor*driedLow, v.Mid*factor, v.Mid*factor*driedHigh)
			}
		}
	case cell("rest") == "zero":
		for n := range f.Soft {
			f.Soft[n] = Exactly(0)
		}
	case cell("rest") != "unknown":
		return nil, fmt.Errorf("rest %q", cell("rest"))
	}
	for _, part := range strings.Split(cell("content"), ";") {
		w := strings.Fields(part)
		var n Nutrient
		if len(w) != 2 || n.UnmarshalText([]byte(w[0])) != nil {
			return nil, fmt.Errorf("content %q", part)
		}
		if f.Soft[n], err = readValue(w[1]); err != nil {
			return nil, err
		}
	}
	f.Per100 = f.Soft
	return f, nil
}

// How far a dried weed may be from a raw one dried by arithmetic: half to one
// and a half times. Seaweeds differ that much between harvests (common
// practice, no source).
const driedLow, driedHigh = 0.5, 1.5

// readValue reads "?", "12", "10..14" (the middle is the mean) or "0..8..16".
func readValue(s string) (Value, error) {
	if s == "?" {
		return Unknown(), nil
	}
	var x []float64
	for _, w := range strings.Split(s, "..") {
		v, err := strconv.ParseFloat(w, 64)
		if err != nil || v < 0 {
			return Value{}, fmt.Errorf("value %q", s)
		}
		x = append(x, v)
	}
	if !slices.IsSorted(x) {
		return Value{}, fmt.Errorf("value %q is out of order", s)
	}
	switch len(x) {
	case 1:
		return Exactly(x[0]), nil
	case 2:
		return Between(x[0], (x[0]+x[1])/2, x[1]), nil
	case 3:
		return Between(x[0], x[1], x[2]), nil
	}
	return Value{}, fmt.Errorf("value %q", s)
}
