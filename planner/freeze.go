package planner

import (
	"reflect"
	"slices"
	"strconv"
	"strings"

	"bowlwright/nutrition"
)

// Freeze makes a version to publish of some recipes of the household, eaten in
// turns where these are given. Ids are its own; what a carer typed line by line,
// earlier versions and where a recipe came from are left out. Foods of the
// household's own that the recipes use go along.
func (h *Household) Freeze(recipes []Recipe, turns []Turn, doses []Dose) PublishedVersion {
	h = (&Household{Recipes: recipes, Foods: h.Foods}).Clone()
	var v PublishedVersion
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
		r = Recipe{ID: ids[r.ID], Name: r.Name, Ingredients: r.Ingredients, Doses: r.Doses, Days: r.Days, Method: r.Method, Notes: r.Notes, Standing: r.Standing}
		r.eachFood(food)
		r.dropTyped()
		v.Recipes = append(v.Recipes, r)
	}
	for _, w := range turns {
		v.Turns = append(v.Turns, Turn{ids[w.Recipe], w.Days})
	}
	extra := Recipe{Doses: slices.Clone(doses)}
	extra.eachFood(food)
	extra.dropTyped()
	v.Doses = extra.Doses
	return v
}

// eachFood gives the foods of a recipe other keys.
func (r *Recipe) eachFood(key func(string) string) {
	for i := range r.Ingredients {
		r.Ingredients[i].Food = key(r.Ingredients[i].Food)
	}
	for i := range r.Doses {
		r.Doses[i].Food = key(r.Doses[i].Food)
	}
	for i := range r.Notes {
		if r.Notes[i].Food != "" {
			r.Notes[i].Food = key(r.Notes[i].Food)
		}
	}
}

// dropTyped leaves out the lines as they were typed.
func (r *Recipe) dropTyped() {
	for i := range r.Ingredients {
		r.Ingredients[i].Typed = ""
	}
	for i := range r.Doses {
		r.Doses[i].Typed = ""
	}
}

// Thaw puts what was published at a version into the household: its recipes,
// which are returned with their new ids, and the foods that these need, unless
// it has the same already. id makes an id of a kind: "r", "own".
func (h *Household) Thaw(token string, version int, v PublishedVersion, id func(kind string) string) (recipes []Recipe, doses []Dose) {
	source := (&Household{Recipes: v.Recipes, Foods: v.Foods}).Clone()
	keys := map[string]string{}
	for _, f := range source.Foods {
		there := f.Key
		same := func(o nutrition.Food) bool { o.Key = f.Key; return reflect.DeepEqual(o, f) }
		if i := slices.IndexFunc(h.Foods, same); i >= 0 {
			keys[there] = h.Foods[i].Key
			continue
		}
		f.Key = id("own")
		keys[there] = f.Key
		f.Name = freeName(f.Name, func(name string) bool {
			return slices.ContainsFunc(h.Foods, func(o nutrition.Food) bool { return strings.EqualFold(o.Name, name) })
		})
		h.Foods = append(h.Foods, f)
	}
	food := func(key string) string {
		if own := keys[key]; own != "" {
			return own
		}
		return key
	}
	for _, r := range source.Recipes {
		r.From = Origin{token, version, r.ID}
		r.ID = id("r")
		r.Name = freeName(r.Name, func(name string) bool {
			return slices.ContainsFunc(h.Recipes, func(o Recipe) bool { return strings.EqualFold(o.Name, name) })
		})
		r.eachFood(food)
		h.Recipes = append(h.Recipes, r)
		recipes = append(recipes, r)
	}
	extra := Recipe{Doses: slices.Clone(v.Doses)}
	extra.eachFood(food)
	return recipes, extra.Doses
}

// freeName is a name, with a number where it is taken.
func freeName(name string, taken func(string) bool) string {
	free := name
	for n := 2; taken(free); n++ {
		free = name + " " + strconv.Itoa(n)
	}
	return free
}
