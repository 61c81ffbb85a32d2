package edition

import (
	"reflect"
	"slices"
	"strconv"
	"strings"

	"bowlwright/nutrition"
	"bowlwright/planner"
)

// Freeze makes a version to publish of some recipes of the household, eaten in
// turns where these are given. Ids are its own; what a carer typed line by line,
// earlier versions and where a recipe came from are left out. Foods of the
// household's own that the recipes use go along.
func Freeze(h *planner.Household, recipes []planner.Recipe, turns []planner.Turn, doses []planner.Dose) planner.PublishedVersion {
	h = (&planner.Household{Recipes: recipes, Foods: h.Foods}).Clone()
	var v planner.PublishedVersion
	keys := map[string]string{} // own foods' keys here -> there
	food := func(key string) string {
		i := slices.IndexFunc(h.Foods, func(f nutrition.Food) bool { return f.Key == key })
		if i < 0 {
			return key // of the table
		}
		if keys[key] == "" {
			keys[key] = "p" + strconv.Itoa(len(keys)+1)
			f := h.Foods[i]
			f.Key = keys[key]
			v.Foods = append(v.Foods, f)
		}
		return keys[key]
	}
	ids := map[string]string{}
	for n, r := range h.Recipes {
		ids[r.ID] = strconv.Itoa(n + 1)
		r = planner.Recipe{ID: ids[r.ID], Name: r.Name, Ingredients: r.Ingredients, Doses: r.Doses, Days: r.Days, Method: r.Method, Notes: r.Notes, Standing: r.Standing, Cooking: r.Cooking}
		r.Cooking.Day = planner.Date{}
		eachFood(&r, food)
		dropTyped(&r)
		v.Recipes = append(v.Recipes, r)
	}
	for _, w := range turns {
		v.Turns = append(v.Turns, planner.Turn{Recipe: ids[w.Recipe], Days: w.Days})
	}
	extra := planner.Recipe{Doses: slices.Clone(doses)}
	eachFood(&extra, food)
	dropTyped(&extra)
	v.Doses = extra.Doses
	return v
}

// eachFood gives the foods of a recipe other keys.
func eachFood(r *planner.Recipe, key func(string) string) {
	for i := range r.Ingredients {
		r.Ingredients[i].Food = key(r.Ingredients[i].Food)
	}
	for i := range r.Doses {
		r.Doses[i].Food = key(r.Doses[i].Food)
	}
	for i := range r.Cooking.Of {
		r.Cooking.Of[i].Food = key(r.Cooking.Of[i].Food)
	}
	for i := range r.Notes {
		if r.Notes[i].Food != "" {
			r.Notes[i].Food = key(r.Notes[i].Food)
		}
	}
}

// dropTyped leaves out the lines as they were typed.
func dropTyped(r *planner.Recipe) {
	for i := range r.Ingredients {
		r.Ingredients[i].Typed = ""
	}
	for i := range r.Doses {
		r.Doses[i].Typed = ""
	}
	for i := range r.Cooking.Of {
		r.Cooking.Of[i].Typed = ""
	}
}

// Thaw puts what was published at a version into the household: its recipes,
// which are returned with their new ids, and the foods that these need, unless
// it has the same already. id makes an id of a kind: "r", "own".
func Thaw(h *planner.Household, token string, version int, v planner.PublishedVersion, id func(kind string) string) (recipes []planner.Recipe) {
	source := (&planner.Household{Recipes: v.Recipes, Foods: v.Foods}).Clone()
	for _, f := range source.Foods {
		if sameFood(h, f) != "" {
			continue
		}
		f.Key = id("own")
		h.Foods = append(h.Foods, f)
	}
	for _, r := range source.Recipes {
		r.From = planner.Origin{Token: token, Version: version, Recipe: r.ID}
		r.ID = id("r")
		r.Name = freeName(r.Name, func(name string) bool {
			return slices.ContainsFunc(h.Recipes, func(o planner.Recipe) bool { return strings.EqualFold(o.Name, name) })
		})
		eachFood(&r, keysOf(h, v))
		h.Recipes = append(h.Recipes, r)
		recipes = append(recipes, r)
	}
	return recipes
}

// DosesHere are the supplements of a version beside its recipes, as far as the
// household has their foods.
func DosesHere(h *planner.Household, v planner.PublishedVersion) []planner.Dose {
	extra := planner.Recipe{Doses: slices.Clone(v.Doses)}
	eachFood(&extra, keysOf(h, v))
	return slices.DeleteFunc(extra.Doses, func(d planner.Dose) bool { return d.Food == "" })
}

// RecipeHere is a recipe of a version with the household's keys of its foods, nil
// where the version has none of that id.
func RecipeHere(h *planner.Household, v planner.PublishedVersion, id string) *planner.Recipe {
	r := v.Recipe(id)
	if r == nil {
		return nil
	}
	own := (&planner.Household{Recipes: []planner.Recipe{*r}}).Clone().Recipes[0] // what was published stays as it is
	eachFood(&own, keysOf(h, v))
	return &own
}

// keysOf gives the foods of a version the household's keys; an empty one where it
// has no such food of its own any more.
func keysOf(h *planner.Household, v planner.PublishedVersion) func(string) string {
	return func(key string) string {
		i := slices.IndexFunc(v.Foods, func(f nutrition.Food) bool { return f.Key == key })
		if i < 0 {
			return key // of the table
		}
		return sameFood(h, v.Foods[i])
	}
}

// sameFood is the key of the household's own food that is the same, whatever it is
// called here; empty where it has none.
func sameFood(h *planner.Household, f nutrition.Food) string {
	for _, own := range h.Foods {
		key := own.Key
		if own.Key, own.Name = f.Key, f.Name; reflect.DeepEqual(own, f) {
			return key
		}
	}
	return ""
}

// freeName is a name, with a number where it is taken.
func freeName(name string, taken func(string) bool) string {
	free := name
	for n := 2; taken(free); n++ {
		free = name + " " + strconv.Itoa(n)
	}
	return free
}
