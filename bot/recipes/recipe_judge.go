package recipes

import (
	"strings"

	"bowlwright/bot/read"
	"bowlwright/bot/talk"
)

// canName reports that what follows the command on its line is a name: no
// food is in it ("Bowl 1").
func canName(t *talk.Turn, s string) bool {
	got := read.RecipeText(s, t.Foods)
	if len(got.Lines) > 0 || len(got.Problems) != 1 || recipeName(s) == "" {
		return false
	}
	switch got.Problems[0].Code {
	case read.NoAmount, read.NoFood, read.UnknownFood:
		return true
	}
	return CookedBoneLine(got.Problems[0]) // "Baked wings"
}

// CookedBoneLine reports that a line names bone that is cooked.
func CookedBoneLine(p read.Problem) bool {
	return p.Code == read.RefusedFood && p.Finding.Refused != nil && p.Finding.Refused.Key == "cooked-bone"
}

// isTitle reports that the first line of a paste names the recipe: it holds
// no amount.
func isTitle(line string, t *talk.Turn) bool {
	got := read.RecipeText(strings.TrimRight(line, ": "), t.Foods)
	if len(got.Lines) > 0 || len(got.Problems) == 0 {
		return got.Name != ""
	}
	switch got.Problems[0].Code {
	case read.NoAmount, read.NoFood, read.UnknownFood, read.AmbiguousFood, read.RefusedFood:
		return (CookedBoneLine(got.Problems[0]) || got.Problems[0].Code != read.RefusedFood) && !strings.ContainsAny(line, "0123456789½¼¾")
	}
	return false
}

// namesNothing reports that a line stands above a recipe and is no name of it.
func namesNothing(line string) bool {
	switch strings.ToLower(strings.Trim(line, "#:*-. \t")) {
	case "recipe", "my recipe", "our recipe", "the recipe", "here is my recipe", "here's my recipe", "ingredients", "recipe ingredients", "my dog's recipe", "new recipe":
		return true
	}
	return false
}
