package read

import (
	"math"
	"strconv"
	"strings"

	"bowlwright/nutrition"
	"bowlwright/planner"
)

// FormatMass prints a mass so that Mass reads the same number of grams again:
// as the shortest figure in ounces or grams that does, grams where no figure
// in ounces does.
func FormatMass(g nutrition.Grams, u planner.Units) string {
	if u.Ounces {
		for digits := 1; digits <= 17; digits++ {
			s := strconv.FormatFloat(g.Ounces(), 'g', digits, 64)
			x, err := strconv.ParseFloat(s, 64)
			if err == nil && nutrition.Grams(x)*nutrition.GramsPerOunce == g {
				return plain(x) + " oz"
			}
		}
	}
	return plain(float64(g)) + " g"
}

// plain prints a number in full, without an exponent.
func plain(x float64) string {
	if x == math.Trunc(x) && math.Abs(x) < 1e15 {
		return strconv.FormatFloat(x, 'f', 0, 64)
	}
	return strconv.FormatFloat(x, 'f', -1, 64)
}

// FormatLines prints a recipe as lines that RecipeText reads back to the same
// recipe: its name, then a line for each ingredient and each dose. Foods that
// the pantry lacks stand under their key.
func FormatLines(r planner.Recipe, p nutrition.Pantry, u planner.Units) string {
	var b strings.Builder
	if r.Name != "" {
		b.WriteString(r.Name + ":\n")
	}
	for _, in := range r.Ingredients {
		b.WriteString(FormatMass(in.Grams, u) + " " + nameOf(in.Food, p) + factsText(in.Label) + "\n")
	}
	for _, d := range r.Doses {
		b.WriteString(formatDose(d, p) + "\n")
	}
	return b.String()
}

func nameOf(key string, p nutrition.Pantry) string {
	if f := p.Food(key); f != nil {
		return f.Name
	}
	return key
}

// factsText prints label facts: " (600 ug iodine per g, 3 kcal per g)".
func factsText(facts []planner.Fact) string {
	var parts []string
	for _, f := range facts {
		parts = append(parts, plain(f.PerGram)+" "+f.Nutrient.Unit()+" "+f.Nutrient.Name()+" per g")
	}
	if len(parts) == 0 {
		return ""
	}
	return " (" + strings.Join(parts, "; ") + ")"
}

// formatDose prints a dose: "vitamin E 200 IU every 3 days". The amounts of a
// counted dose are printed for one piece of it.
func formatDose(d planner.Dose, p nutrition.Pantry) string {
	var parts []string
	each := 1.0
	if d.Count > 0 {
		parts = append(parts, plain(d.Count), d.Form)
		each = d.Count
	}
	parts = append(parts, nameOf(d.Food, p))
	f := p.Food(d.Food)
	active, pure := nutrition.Nutrient(0), false
	if f != nil {
		active, pure = activeOf(f)
	}
	if d.Grams > 0 {
		parts = append(parts, plain(float64(d.Grams)/each)+" g")
	}
	for _, a := range d.Amounts {
		if pure && a.Nutrient == active {
			parts = append(parts, plain(a.Amount/each)+" "+a.Nutrient.Unit())
			continue
		}
		if d.Count > 0 && d.Grams == 0 || d.Form != "" {
			parts = append(parts, "("+plain(a.Amount/each)+" "+a.Nutrient.Unit()+" "+a.Nutrient.Name()+" per "+d.Form+")")
		} else if d.Grams > 0 {
			parts = append(parts, "("+plain(a.Amount/float64(d.Grams))+" "+a.Nutrient.Unit()+" "+a.Nutrient.Name()+" per g)")
		}
	}
	if d.Per1000 {
		parts = append(parts, "per 1000 kcal")
	}
	return strings.Join(append(parts, FormatCadence(d.Cadence)), " ")
}

// FormatCadence prints a cadence so that CadenceText reads it back.
func FormatCadence(c planner.Cadence) string {
	switch {
	case c.EveryDays > 0:
		return "every " + strconv.Itoa(c.EveryDays) + " days"
	case len(c.Weekdays) > 0:
		var days []string
		for _, d := range c.Weekdays {
			days = append(days, d.String())
		}
		return "on " + strings.Join(days, " and ")
	case c.PerWeek > 0:
		return strconv.Itoa(c.PerWeek) + " times a week"
	}
	return "daily"
}
