package bot

import (
	"encoding/json"
	"errors"
	"strings"
	"testing"

	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/store"
	"bowlwright/store/storetest"
)

// houseTurkey takes the recipe that comes with the program, which is complete.
func houseTurkey(w *world, who string) {
	w.says(who, "recipes that come with it")
	w.says(who, "Turkey and heart")
}

// published makes somebody publish a recipe, and returns what is kept of it.
func published(t *testing.T, w *world, who, recipe string) (p store.Published) {
	t.Helper()
	for _, s := range []string{"publish " + recipe, "Plain and good.", "Healthy adult dogs", "The quay kitchen"} {
		w.says(who, s)
	}
	wantText(t, w.says(who, "yes"), "is published")
	w.update(func(snap store.Snapshot, _ storetest.Put) error {
		all, err := snap.PublishedBy(w.homeIn(snap, who))
		if len(all) != 1 {
			t.Fatalf("%d published", len(all))
		}
		p = all[0]
		return err
	})
	return p
}

// TestPublishedHoldsNothingOfItsHousehold looks for all that a household has in
// what it published, and for the food of its own in what a reader keeps.
func TestPublishedHoldsNothingOfItsHousehold(t *testing.T) {
	w := newWorld(t)
	w.says("Ines", "dog Juniper 19.6 kg 4 years spayed moderate 5/9 healthy")
	houseTurkey(w, "Ines")
	w.change(func(h *planner.Household, snap store.Snapshot, _ storetest.Put) error {
		f := h.Foods
		own := planner.Ingredient{Food: "own77", Grams: 5, Typed: "5 g of Juniper's favourite"}
		r := &h.Recipes[0]
		r.Ingredients = append(r.Ingredients, own)
		r.Ingredients[0].Typed = "600 g from Tomas's butcher"
		r.Versions = []planner.Version{{Number: 1, Ingredients: []planner.Ingredient{{Food: "beef-heart", Grams: 1, Typed: "secret"}}}}
		food := *nutrition.Default().Food("kale-cooked")
		food.Key, food.Name, food.Kind = "own77", "Quay kale", "own"
		h.Foods = append(f, food)
		return nil
	})
	p := published(t, w, "Ines", "Turkey and heart")
	data, err := json.Marshal(p.Published)
	must(t, err)
	for _, secret := range []string{"Ines", "Juniper", "Tomas", "secret", "own77", w.house().ID, "x/"} {
		if strings.Contains(string(data), secret) {
			t.Errorf("%q is in what was published: %s", secret, data)
		}
	}
	w.says("Mara", "/start "+p.Token)
	w.says("Mara", "Bracken 34 kg")
	w.says("Mara", "Healthy adult")
	wantText(t, w.says("Mara", "Keep it"), "Kept: Turkey and heart")
	w.update(func(snap store.Snapshot, _ storetest.Put) error {
		h, err := snap.Household(w.homeIn(snap, "Mara"))
		if err != nil {
			return err
		}
		r := h.Recipes[0]
		last := r.Ingredients[len(r.Ingredients)-1].Food
		if len(h.Foods) != 1 || h.Foods[0].Key != last || h.Foods[0].Name != "Quay kale" || !strings.HasPrefix(last, "own") {
			t.Errorf("the reader's foods: %+v, the line has %q", h.Foods, last)
		}
		if (r.From != planner.Origin{Token: p.Token, Version: 1, Recipe: "1"}) || h.Dogs[0].Recipe != r.ID {
			t.Errorf("kept from %+v; Bracken eats %q, want %q", r.From, h.Dogs[0].Recipe, r.ID)
		}
		return nil
	})
}

// TestReadersAreKept follows who keeps what was published: kept, taken back, kept
// again, removed, put back, and erased.
func TestReadersAreKept(t *testing.T) {
	w := newWorld(t)
	houseTurkey(w, "Ines")
	p := published(t, w, "Ines", "Turkey and heart")
	readers := func(want int, after string) {
		t.Helper()
		w.update(func(snap store.Snapshot, _ storetest.Put) error {
			all, err := snap.Readers(p.Token, "", 9)
			mine, err2 := snap.Reading(w.homeIn(snap, "Mara"))
			if len(all) != want || len(mine) != want {
				t.Errorf("%s: %d readers, %d kept; want %d", after, len(all), len(mine), want)
			}
			return errors.Join(err, err2)
		})
	}
	for _, s := range []string{"/start " + p.Token, "Bracken 34 kg", "Healthy adult"} {
		w.says("Mara", s)
	}
	readers(0, "looked at")
	w.says("Mara", "Keep it")
	readers(1, "kept")
	w.says("Mara", "undo")
	readers(0, "taken back")
	for _, s := range []string{"/start " + p.Token, "Bracken", "Keep it"} {
		w.says("Mara", s)
	}
	readers(1, "kept again")
	w.says("Mara", "remove Turkey and heart")
	w.says("Mara", "yes")
	readers(0, "removed")
	w.says("Mara", "undo")
	readers(1, "put back")
	w.says("Ines", "/erase")
	w.says("Ines", "Delete everything")
	w.update(func(snap store.Snapshot, _ storetest.Put) error {
		is, err := snap.Published(p.Token)
		if is.Author != "" || is.Household != "" || len(is.Versions) != 0 || is.Withdrawn.At.IsZero() {
			t.Errorf("of what an erased author published stays %+v", is)
		}
		return err
	})
	wantText(t, w.says("Nell", "/start "+p.Token), "withdrawn")
}

// TestPublishRefuses tries what must not be published.
func TestPublishRefuses(t *testing.T) {
	for want, change := range map[string]func(*planner.Household){
		"Raisin mix: Grapes": func(h *planner.Household) { // its name alone tells
			h.Foods[0].Name = "Raisin mix"
		},
		"reads as a claim to treat or cure": func(h *planner.Household) { h.Recipes[0].Method = "Mix it. It cures cancer." },
		"leave out":                         func(h *planner.Household) { h.Recipes[0].Name = "See quayside.shop" },
		"no food or amount that I know":     func(h *planner.Household) { h.Foods = nil },
		"High: vitamin D": func(h *planner.Household) {
			h.Recipes[0].Ingredients = append(h.Recipes[0].Ingredients, planner.Ingredient{Food: "cod-liver-oil", Grams: 60})
		},
		"wild boar":             func(h *planner.Household) { h.Recipes[0].Ingredients[0].Food = "wild-boar" },
		"Cooked bone splinters": func(h *planner.Household) { h.Recipes[0].Method = "Bake it for an hour." },
	} {
		w := newWorld(t)
		houseTurkey(w, "Ines")
		w.change(func(h *planner.Household, _ store.Snapshot, _ storetest.Put) error {
			food := *nutrition.Default().Food("kale-cooked")
			food.Key, food.Name, food.Kind = "own77", "Quay kale", "own"
			h.Foods = append(h.Foods, food)
			h.Recipes[0].Ingredients = append(h.Recipes[0].Ingredients, planner.Ingredient{Food: "own77", Grams: 5})
			change(h)
			return nil
		})
		got := w.says("Ines", "/publish "+w.house().Recipes[0].Name)
		wantText(t, got, want)
		wantText(t, got, "can't be published as it is")
	}
}
