package main

import (
	"encoding/json"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"github.com/jedib0t/go-pretty/v6/table"

	"bowlwright/bot/say"
	"bowlwright/nutrition"
)

// foods searches the food table and prints what it finds.
func foods(args []string, stdout io.Writer) error {
	f := newFlags("foods")
	asJSON := f.Bool("json", false, "print JSON")
	words, err := anywhere(f, args)
	if err != nil {
		return err
	}
	name := strings.Join(words, " ")
	found, err := searchFoods(name)
	if err != nil {
		return err
	}
	if *asJSON {
		return foodsJSON(found, stdout)
	}
	return foodsTable(found, stdout)
}

// searchFoods returns the foods that a name can mean, all where it is empty.
func searchFoods(name string) ([]*nutrition.Food, error) {
	t := nutrition.Default()
	if name == "" {
		return t.Foods(), nil
	}
	found := t.Find(name)
	switch {
	case found.Refused != nil:
		return nil, failure{fmt.Sprintf("%s is not for dogs", found.Refused.Name), nil}
	case found.Food != nil:
		return []*nutrition.Food{found.Food}, nil
	case len(found.Choices) > 0:
		return found.Choices, nil
	}
	text := fmt.Sprintf("no food %q in the table", name)
	if near := say.Each(found.Nearest, func(f *nutrition.Food) string { return f.Name }); len(near) > 0 {
		text += "; nearest: " + strings.Join(near, "; ")
	}
	return nil, failure{text, nil}
}

func foodsTable(found []*nutrition.Food, stdout io.Writer) error {
	w := table.NewWriter()
	w.SetStyle(table.StyleLight)
	w.Style().Options = table.OptionsNoBordersAndSeparators
	w.AppendHeader(table.Row{"food", "kcal", "protein", "fat", "part", "source"})
	for _, f := range found {
		w.AppendRow(table.Row{f.Name, ranged(f.Per100[nutrition.Energy]), ranged(f.Per100[nutrition.Protein]),
			ranged(f.Per100[nutrition.Fat]), strings.ReplaceAll(f.Part.String(), "_", " "), f.Source})
	}
	_, err := fmt.Fprintf(stdout, "per 100 g as fed; ranges where a food has bone\n%s\n", w.Render())
	return err
}

// ranged prints a value per 100 g: a figure, a range or a question mark.
func ranged(v nutrition.Value) string {
	one := func(x float64) string { return strconv.FormatFloat(math.Round(x*10)/10, 'f', -1, 64) }
	switch {
	case !v.Complete:
		return "?"
	case one(v.Low) != one(v.High):
		return one(v.Low) + "-" + one(v.High)
	}
	return one(v.Mid)
}

// foodRecord is a food as JSON: values per 100 g as fed, without those that are
// not known.
type foodRecord struct {
	Key    string              `json:"key"`
	Name   string              `json:"name"`
	Part   string              `json:"part"`
	Source string              `json:"source"`
	Note   string              `json:"note,omitempty"`
	Per100 map[string]jsonSpan `json:"per_100g"`
}

// jsonSpan is a value with its range and unit.
type jsonSpan struct {
	Unit string  `json:"unit"`
	Low  float64 `json:"low"`
	Mid  float64 `json:"mid"`
	High float64 `json:"high"`
}

func foodsJSON(found []*nutrition.Food, stdout io.Writer) error {
	records := make([]foodRecord, 0, len(found))
	for _, f := range found {
		r := foodRecord{Key: f.Key, Name: f.Name, Part: f.Part.String(), Source: f.Source, Note: f.Note, Per100: map[string]jsonSpan{}}
		for n := range nutrition.NutrientCount {
			if v := f.Per100[n]; v.Complete {
				r.Per100[n.String()] = jsonSpan{n.Unit(), v.Low, v.Mid, v.High}
			}
		}
		records = append(records, r)
	}
	e := json.NewEncoder(stdout)
	e.SetIndent("", "  ")
	return e.Encode(records)
}
