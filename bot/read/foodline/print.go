package foodline

import (
	"strings"

	"bowlwright/bot/read/span"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// FormatLines prints a recipe as lines that RecipeText reads back to the same
// recipe: its name after "#", how many days' food it is, then a line for each
// ingredient and each dose. A food whose name would be read otherwise stands in
// quotation marks, or under its key in square brackets. What the carer typed
// is not repeated, and every day has one form of cadence.
func FormatLines(r planner.Recipe, p nutrition.Pantry, u planner.Units) string {
	f := formatter{pantry: p}
	if f.table, _ = p.(*nutrition.Table); f.table == nil {
		f.table = nutrition.Default()
	}
	var b strings.Builder
	if r.Name != "" {
		b.WriteString("# " + r.Name + "\n")
	}
	if r.Days > 0 {
		b.WriteString("for " + span.Plain(r.Days) + " days\n")
	}
	for _, in := range r.Ingredients {
		b.WriteString(f.ingredient(in, u) + "\n")
	}
	for _, d := range r.Doses {
		b.WriteString(f.dose(d) + "\n")
	}
	return b.String()
}

type formatter struct {
	pantry nutrition.Pantry
	table  *nutrition.Table
}

// names are the ways to write a food, the plainest first.
func (f formatter) names(key string) []string {
	names := make([]string, 0, 3)
	if food := f.pantry.Food(key); food != nil {
		names = append(names, food.Name)
		if !strings.ContainsRune(food.Name, '"') {
			names = append(names, `"`+food.Name+`"`)
		}
	}
	return append(names, "["+key+"]")
}

// readsBack reports that a printed line is read as what it was printed from.
func (f formatter) readsBack(line string, in *planner.Ingredient, d *planner.Dose) bool {
	if trimBullet(line, false) != line || len(splitLine(line, f.table)) != 1 {
		return false
	}
	got, p := parseLine(line, f.table, nil)
	switch {
	case p != nil:
		return false
	case in != nil && got.Ingredient != nil:
		return got.Ingredient.Food == in.Food && got.Ingredient.Grams == in.Grams && len(got.Ingredient.Label) == len(in.Label)
	case d != nil && got.Dose != nil:
		return got.Dose.Food == d.Food && got.Dose.Grams == d.Grams && got.Dose.Count == d.Count && len(got.Dose.Amounts) == len(d.Amounts)
	}
	return false
}

// ingredient prints an ingredient: "250 g turkey thigh, boneless, no skin".
// Of a pure active, whose mass would be taken for its strength, it says that
// the product is weighed.
func (f formatter) ingredient(in planner.Ingredient, u planner.Units) string {
	return f.plainest(in.Food, &in, nil, func(name, weighed string) string {
		return span.FormatMass(in.Grams, u) + weighed + " " + name + factsText(in.Label)
	})
}

// plainest is the plainest way to write a line that is read as what it was printed from.
func (f formatter) plainest(food string, in *planner.Ingredient, d *planner.Dose, write func(name, weighed string) string) (line string) {
	for _, name := range f.names(food) {
		for _, weighed := range []string{"", " weighed"} {
			if line = write(name, weighed); f.readsBack(line, in, d) {
				return line
			}
		}
	}
	return line
}

// labelName is the name under which a nutrient is printed and read.
func labelName(n nutrition.Nutrient) string {
	name, _, _ := strings.Cut(n.Name(), " (")
	return name
}

// factsText prints label facts: " (600 ug iodine per g, 3 kcal energy per g)".
func factsText(facts []planner.Fact) string {
	if len(facts) == 0 {
		return ""
	}
	parts := make([]string, 0, len(facts))
	for _, f := range facts {
		parts = append(parts, span.Plain(f.PerGram)+" "+f.Nutrient.Unit()+" "+labelName(f.Nutrient)+" per g")
	}
	return " (" + strings.Join(parts, ", ") + ")"
}

// dose prints a dose: "vitamin E 200 IU every 3 days", "2 capsules fish oil, 2
// g in all (0.36 g EPA, 0.24 g DHA), daily".
func (f formatter) dose(d planner.Dose) string {
	return f.plainest(d.Food, nil, &d, func(name, weighed string) string { return f.doseLine(d, name, weighed) })
}

func (f formatter) doseLine(d planner.Dose, name, weighed string) string {
	var b strings.Builder
	switch {
	case d.Count > 0 && d.Form != "":
		form := d.Form
		if u := span.UnitWords[form+"s"]; u.Name == form && d.Count != 1 {
			form += "s"
		}
		b.WriteString(span.Plain(d.Count) + " " + form + " ")
	case d.Count > 0:
		b.WriteString(span.Plain(d.Count) + " x ")
	}
	b.WriteString(name)
	if d.Grams > 0 {
		b.WriteString(", " + span.GramsInFull(d.Grams) + weighed)
	}
	if food := f.pantry.Food(d.Food); food != nil {
		if active, pure := activeOf(food); pure && d.Grams == 0 && len(d.Amounts) == 1 && d.Amounts[0].Nutrient == active {
			b.WriteString(", " + span.Plain(d.Amounts[0].Amount) + " " + active.Unit())
			d.Amounts = nil
		}
	}
	if len(d.Amounts) > 0 {
		parts := make([]string, 0, len(d.Amounts))
		for _, a := range d.Amounts {
			parts = append(parts, span.Plain(a.Amount)+" "+a.Nutrient.Unit()+" "+labelName(a.Nutrient))
		}
		b.WriteString(" (" + strings.Join(parts, ", ") + ")")
	}
	if d.Count > 0 && d.Count != 1 {
		b.WriteString(", in all")
	}
	if d.Per1000 {
		b.WriteString(" per 1000 kcal")
	}
	if d.Batch {
		return b.String() + ", in the whole batch"
	}
	b.WriteString(", " + span.FormatCadence(d.Cadence))
	return b.String()
}
