package edition

import (
	"cmp"
	"encoding/json"
	"slices"
	"strconv"
	"strings"
	"time"

	"bowlwright/nutrition"
	"bowlwright/planner"
)

// Follow gives the recipes of a version the ids that those of the same names had
// in the version before, so that readers' copies are known again; a recipe by
// itself is the same whatever it is called.
func Follow(v *planner.PublishedVersion, before *planner.PublishedVersion) {
	taken := map[string]bool{}
	for _, r := range before.Recipes {
		taken[r.ID] = true
	}
	ids := map[string]string{}
	for i := range v.Recipes {
		r := &v.Recipes[i]
		same := func(o planner.Recipe) bool {
			return strings.EqualFold(o.Name, r.Name) || len(v.Recipes) == 1 && len(before.Recipes) == 1
		}
		was := r.ID
		if j := slices.IndexFunc(before.Recipes, same); j >= 0 {
			r.ID = before.Recipes[j].ID
		} else {
			n := len(taken) + 1
			for taken[strconv.Itoa(n)] {
				n++
			}
			r.ID = strconv.Itoa(n)
			taken[r.ID] = true
		}
		ids[was] = r.ID
	}
	for i, w := range v.Turns {
		v.Turns[i].Recipe = ids[w.Recipe]
	}
}

// Same reports that two versions have the same in them.
func Same(v *planner.PublishedVersion, o *planner.PublishedVersion) bool {
	text := func(v planner.PublishedVersion) string {
		v.At, v.Why = time.Time{}, ""
		data, _ := json.Marshal(v) // a version has nothing that JSON has not
		return string(data)
	}
	return text(*v) == text(*o)
}

// TurnsHere is the order of a version by the ids that its recipes have in the
// household which keeps it under a token.
func TurnsHere(h *planner.Household, v *planner.PublishedVersion, token string) (turns []planner.Turn) {
	for _, w := range v.Turns {
		i := slices.IndexFunc(h.Recipes, func(r planner.Recipe) bool { return r.From.Token == token && r.From.Recipe == w.Recipe })
		if i >= 0 {
			turns = append(turns, planner.Turn{Recipe: h.Recipes[i].ID, Days: w.Days})
		}
	}
	return turns
}

// Kitchen is a household's foods, as far as something published needs them: in
// it versions are compared with what the household made of them.
type Kitchen struct {
	home  planner.Household
	token string
	id    func(kind string) string
}

// NewKitchen returns the kitchen of a household. id makes an id of a kind; nil:
// ids that serve to look, not to keep.
func NewKitchen(h *planner.Household, token string, id func(kind string) string) *Kitchen {
	if n := 0; id == nil {
		id = func(kind string) string { n++; return kind + "-new" + strconv.Itoa(n) }
	}
	return &Kitchen{planner.Household{Foods: slices.Clone(h.Foods)}, token, id}
}

// Foods are those of the household, and what the versions need besides.
func (k *Kitchen) Foods() []nutrition.Food { return k.home.Foods }

// Corrected are the keys here of the foods of an author's own whose figures
// differ between two versions: of the former, that of the latter. Both were
// written down here before.
func (k *Kitchen) Corrected(was, is *planner.PublishedVersion) map[string]string {
	keys := map[string]string{}
	for _, f := range is.Foods {
		i := slices.IndexFunc(was.Foods, func(o nutrition.Food) bool { return strings.EqualFold(o.Name, f.Name) })
		if i < 0 {
			continue
		}
		if before, after := sameFood(&k.home, was.Foods[i]), sameFood(&k.home, f); before != "" && before != after {
			keys[before] = after
		}
	}
	return keys
}

// WithFoods is a recipe with other keys of some of its foods.
func WithFoods(r planner.Recipe, keys map[string]string) planner.Recipe {
	out := (&planner.Household{Recipes: []planner.Recipe{r}}).Clone().Recipes[0]
	eachFood(&out, func(key string) string { return cmp.Or(keys[key], key) })
	return out
}

// Recipes are those of a version as the household would write them down, by
// their ids there, with the foods that it has.
func (k *Kitchen) Recipes(v *planner.PublishedVersion, number int) map[string]planner.Recipe {
	k.home.Recipes = nil
	Thaw(&k.home, k.token, number, *v, k.id)
	all := map[string]planner.Recipe{}
	for _, r := range k.home.Recipes {
		all[r.From.Recipe] = r
	}
	return all
}
