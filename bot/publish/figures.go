package publish

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner/edition"
	"bowlwright/store"
)

// mostFigures is how many changes an author is told (our own choice).
const mostFigures = 5

// sayFigures tells an author how many keep something, and what they change most
// in it: counts alone, and only of five households or more.
func sayFigures(t *talk.Turn, p store.Published) {
	v, _ := p.Latest()
	stockUp(t, v)
	readers, swaps := 0, map[store.Swapped]int{}
	eachReader(t, p.Token, func(r store.Reader) {
		readers++
		for _, s := range r.Own {
			swaps[s]++
		}
	})
	if readers < fewest {
		t.SayMsg("figures.few", "what", p.Title, "n", fewest)
		return
	}
	lines := []string{msg("figures.readers", "what", p.Title, "n", thousands(readers))}
	var all []store.Swapped
	for s, n := range swaps {
		if n >= fewest {
			all = append(all, s)
		}
	}
	slices.SortFunc(all, func(a, b store.Swapped) int {
		return cmp.Or(swaps[b]-swaps[a], cmp.Compare(a.Out, b.Out), cmp.Compare(a.In, b.In))
	})
	for _, s := range all[:min(len(all), mostFigures)] {
		lines = append(lines, msg("figures.line", "change", swappedText(t, s), "n", thousands(swaps[s])))
	}
	if len(all) == 0 {
		lines = append(lines, msg("figures.no-swaps", "n", fewest))
	}
	t.Say(say.Whole(strings.Join(lines, "\n")))
}

// swappedText is a change that readers made, in a few words. Their own foods are
// theirs alone.
func swappedText(t *talk.Turn, s store.Swapped) string {
	if s.In == store.OwnFood {
		if s.Out == "" {
			return msg("own.in", "food", msg("figures.own"))
		}
		return msg("own.swap", "out", t.FoodName(s.Out), "in", msg("figures.own"))
	}
	return ownChange(t, edition.Own{Out: s.Out, In: s.In})
}

// swapped is what the household has changed of what a token opens, as its
// author's figures count it.
func swapped(t *talk.Turn, token string) (all []store.Swapped) {
	p, err := t.Snap.Published(token)
	if err != nil {
		return nil // it is gone, or the turn fails by it elsewhere
	}
	for i := range t.Home.Recipes {
		own := &t.Home.Recipes[i]
		v, n := p.Numbered(own.From.Version)
		if own.From.Token != token || v == nil {
			continue
		}
		kitchen := edition.NewKitchen(t.Home, token, nil)
		was := kitchen.Recipes(v, n)[own.From.Recipe]
		there := v.Recipe(own.From.Recipe)
		if there == nil {
			continue
		}
		names := map[string]string{} // of the author's own foods: here -> there
		for k := range min(len(was.Ingredients), len(there.Ingredients)) {
			names[was.Ingredients[k].Food] = there.Ingredients[k].Food
		}
		for k := range min(len(was.Doses), len(there.Doses)) {
			names[was.Doses[k].Food] = there.Doses[k].Food
		}
		named := func(food string) string {
			switch {
			case food == "" || names[food] != "":
				return names[food]
			case t.Base.Food(food) == nil:
				return store.OwnFood
			}
			return food
		}
		for _, c := range edition.OwnChanges(was, *own) {
			all = append(all, store.Swapped{Recipe: own.From.Recipe, Out: named(c.Out), In: named(c.In)})
		}
	}
	return all
}

// thousands prints a count: "1,000".
func thousands(n int) string {
	s := strconv.Itoa(n)
	for i := len(s) - 3; i > 0; i -= 3 {
		s = s[:i] + "," + s[i:]
	}
	return s
}
