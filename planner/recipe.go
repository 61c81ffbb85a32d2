package planner

import (
	"reflect"
	"slices"
	"time"

	"bowlwright/nutrition"
)

// Uses reports that a recipe has a food, as a line or as a supplement.
func (r *Recipe) Uses(food string) bool {
	return slices.ContainsFunc(r.Ingredients, func(in Ingredient) bool { return in.Food == food }) ||
		slices.ContainsFunc(r.Doses, func(d Dose) bool { return d.Food == food })
}

// Foods are the keys of what a recipe is made of, each once: ingredients, then
// supplements that are none.
func (r *Recipe) Foods() (keys []string) {
	for _, c := range Changes(*r, *r, true) {
		keys = append(keys, c.Food)
	}
	return keys
}

// Drop takes a food out of a recipe.
func (r *Recipe) Drop(food string) {
	r.Ingredients = slices.DeleteFunc(r.Ingredients, func(in Ingredient) bool { return in.Food == food })
	r.Doses = slices.DeleteFunc(r.Doses, func(d Dose) bool { return d.Food == food })
}

// Note is what a recipe's author says of a food in it, or of the whole where no
// food is named.
type Note struct {
	Food string `json:"food,omitempty"` // key
	Text string `json:"text"`
}

// SetNote replaces the note on a food; an empty text takes it out.
func (r *Recipe) SetNote(food, text string) {
	notes := slices.DeleteFunc(slices.Clone(r.Notes), func(n Note) bool { return n.Food == food })
	if text != "" {
		notes = append(notes, Note{food, text})
	}
	r.Notes = notes
}

// MostVersions is how many earlier versions of a recipe are kept (our own choice).
const MostVersions = 20

// settled is after how long the lines of a recipe count as a version of their
// own, though no bowl of it was shown (our own choice).
const settled = 24 * time.Hour

// Version is what the lines of a recipe were.
type Version struct {
	Number      int          `json:"number"`         // from 1
	Since       time.Time    `json:"since,omitzero"` // zero: not known
	Ingredients []Ingredient `json:"ingredients"`
	Doses       []Dose       `json:"doses,omitempty"`
	Days        float64      `json:"days,omitempty"`
	Standing    Standing     `json:"standing,omitzero"`
}

// Present is the version that a recipe is now.
func (r *Recipe) Present() Version {
	return Version{max(r.Number, 1), r.Since, r.Ingredients, r.Doses, r.Days, r.Standing}
}

// Version returns a version of a recipe by its number.
func (r *Recipe) Version(number int) (Version, bool) {
	all := append(slices.Clone(r.Versions), r.Present())
	if i := slices.IndexFunc(all, func(v Version) bool { return v.Number == number }); i >= 0 {
		return all[i], true
	}
	return Version{}, false
}

// As is a recipe with the lines of a version.
func (r *Recipe) As(v Version) Recipe {
	return Recipe{ID: r.ID, Name: r.Name, Ingredients: v.Ingredients, Doses: v.Doses, Days: v.Days, Standing: v.Standing, Lab: r.Lab}
}

// GoBack gives a recipe the lines of an earlier version, as a new one. What it
// was is kept.
func (r *Recipe) GoBack(v Version, at time.Time) {
	was := *r
	r.Ingredients, r.Doses, r.Days = slices.Clone(v.Ingredients), slices.Clone(v.Doses), v.Days
	r.Standing = v.Standing.back(r.Standing)
	r.follow(was, at)
}

// follow makes a recipe the next version of what it was.
func (r *Recipe) follow(was Recipe, at time.Time) {
	v := was.Present()
	r.Versions = append(slices.Clone(was.Versions), v)
	r.Versions = r.Versions[max(len(r.Versions)-MostVersions, 0):]
	r.Number, r.Since, r.Shown = v.Number+1, at, false
}

// KeepVersions keeps what the recipes of a household were before a change, where
// a bowl was shown of them or they had stood for a day; until then a recipe is
// still being written.
func (h *Household) KeepVersions(before *Household, at time.Time) {
	for i := range h.Recipes {
		r := &h.Recipes[i]
		b := before.Recipe(r.ID)
		if b == nil {
			if r.Since.IsZero() { // else it was taken in from elsewhere
				r.Since = at
			}
			continue
		}
		was := *b
		if r.Number != was.Number || SameLines(r, &was) || len(was.Ingredients)+len(was.Doses) == 0 {
			continue
		}
		if was.Shown || at.Sub(was.Since) >= settled {
			r.follow(was, at)
		}
	}
}

// SameLines reports that two recipes have the same foods, amounts and
// supplements, however they were typed.
func SameLines(a, b *Recipe) bool {
	return a.Days == b.Days &&
		slices.EqualFunc(a.Ingredients, b.Ingredients, func(x, y Ingredient) bool {
			return x.Food == y.Food && x.Grams == y.Grams && slices.Equal(x.Label, y.Label)
		}) &&
		slices.EqualFunc(a.Doses, b.Doses, sameDose)
}

func sameDose(x, y Dose) bool {
	x.Typed, y.Typed = "", ""
	return reflect.DeepEqual(x, y)
}

// Change is a food whose amount differs between two recipes. Of grams, 0 is
// none; of doses, nil is.
type Change struct {
	Food            string // key
	Was, Is         nutrition.Grams
	WasDose, IsDose *Dose
}

// Changes are the foods in which two recipes differ, and all others too where
// all is set: those of the first in their order, then those that the second adds.
func Changes(was, is Recipe, all bool) (changes []Change) {
	at := func(food string) *Change {
		return FirstOrAdded(&changes, func(c *Change) bool { return c.Food == food }, Change{Food: food})
	}
	for _, in := range was.Ingredients {
		at(in.Food).Was += in.Grams
	}
	for i := range was.Doses {
		at(was.Doses[i].Food).WasDose = &was.Doses[i]
	}
	for _, in := range is.Ingredients {
		at(in.Food).Is += in.Grams
	}
	for i := range is.Doses {
		at(is.Doses[i].Food).IsDose = &is.Doses[i]
	}
	return slices.DeleteFunc(changes, func(c Change) bool {
		same := c.Was == c.Is && (c.WasDose == nil) == (c.IsDose == nil) && (c.WasDose == nil || sameDose(*c.WasDose, *c.IsDose))
		return same && !all
	})
}

// KeepShown carries over, when a change is taken back, of which recipes a bowl
// was shown meanwhile.
func (h *Household) KeepShown(now *Household) {
	for i := range h.Recipes {
		r := &h.Recipes[i]
		if n := now.Recipe(r.ID); n != nil && SameLines(r, n) {
			r.Shown = r.Shown || n.Shown
		}
	}
}

// StandingKind says what a recipe is meant to be; the zero value is not said.
type StandingKind string

// The kinds of standing as stored.
const (
	IsComplete  StandingKind = "complete"  // it meets a table on what is known
	IsTopper    StandingKind = "topper"    // goes on top of other food: see TreatShare
	ForSomeDays StandingKind = "some-days" // not to be fed every day
)

// TreatShare is the most of a day's kcal that treats should make up (AAHA and
// WSAVA nutrition guidelines, from memory). A topper brings no more, so that what
// the rest is complete in stays so.
const TreatShare = 0.1

// Standing is what a recipe's author says of it. Whether one that is said to be
// complete is so on what is known, the analysis tells whenever it is shown.
type Standing struct {
	Kind      StandingKind `json:"kind,omitempty"`
	Table     string       `json:"table,omitempty"`      // of IsComplete: the id of its profile
	CheckedBy string       `json:"checked_by,omitempty"` // who looked at the lines as they are: the author's words
	CheckedAt string       `json:"checked_at,omitempty"` // and when, as typed
}

// back is the standing of a recipe that goes back to a version: that of then. A
// recipe that is not to be all of a dog's food stays so where nothing was said
// then.
func (s Standing) back(now Standing) Standing {
	if s.Kind == "" && now.Kind != IsComplete {
		s.Kind = now.Kind
	}
	return s
}

// Topper reports that a recipe is one.
func (r *Recipe) Topper() bool { return r.Standing.Kind == IsTopper }

// Share is how much of a dog's kcal a recipe may bring: all, or a topper's tenth.
func (r *Recipe) Share(k nutrition.Kcal) nutrition.Kcal {
	if r.Topper() {
		return k * TreatShare
	}
	return k
}

// isTopper reports that a recipe of the household is a topper.
func (h *Household) isTopper(recipe string) bool {
	return slices.ContainsFunc(h.Recipes, func(r Recipe) bool { return r.ID == recipe && r.Topper() })
}

// OnTop is a topper with the food that it goes on: nine times its energy and
// weight, of which nothing else is known. So what it brings too much of is judged
// by the whole of a day, and nothing is called too little.
func OnTop(m nutrition.Mixture) nutrition.Mixture {
	sum := nutrition.Sum(nutrition.Mixture{Items: m.Items})
	if !(sum.Grams > 0) {
		return m
	}
	const times = (1 - TreatShare) / TreatShare
	rest := &nutrition.Food{Kind: nutrition.OwnKind, Part: nutrition.Muscle} // its liver and bone count as parts of the whole
	rest.Per100[nutrition.Energy] = sum.Values[nutrition.Energy].Times(100 / float64(sum.Grams))
	m.Items = append(slices.Clone(m.Items), nutrition.Item{Food: rest, Grams: times * sum.Grams})
	return m
}

// SameParts reports that two recipes have the same foods in the same
// proportions, so that what was found of the one holds for the other, and the
// same supplements.
func SameParts(a, b *Recipe) bool {
	whole, of := a.Grams(""), b.Grams("")
	if len(a.Ingredients) != len(b.Ingredients) || len(a.Doses) != len(b.Doses) || (whole > 0) != (of > 0) {
		return false
	}
	if whole == 0 {
		return SameLines(a, b)
	}
	factor := float64(of / whole)
	scaled := *a
	scaled.Doses = slices.Clone(a.Doses)
	for i := range scaled.Doses {
		if d := &scaled.Doses[i]; d.Batch {
			*d = d.Times(factor)
		}
	}
	return slices.EqualFunc(a.Ingredients, b.Ingredients, func(x, y Ingredient) bool {
		g := float64(x.Grams) * factor
		return x.Food == y.Food && slices.Equal(x.Label, y.Label) && alike(g, float64(y.Grams))
	}) && slices.EqualFunc(scaled.Doses, b.Doses, alikeDose)
}

// alike reports that two amounts differ by no more than rounding.
func alike(x, y float64) bool { return max(x, y)-min(x, y) <= 1e-6*max(x, y) }

// alikeDose is sameDose of doses that were multiplied out.
func alikeDose(x, y Dose) bool {
	same := len(x.Amounts) == len(y.Amounts) && alike(x.Count, y.Count) && alike(float64(x.Grams), float64(y.Grams))
	for i := range x.Amounts {
		same = same && x.Amounts[i].Nutrient == y.Amounts[i].Nutrient && alike(x.Amounts[i].Amount, y.Amounts[i].Amount)
	}
	x.Count, x.Grams, x.Amounts = y.Count, y.Grams, y.Amounts
	return same && sameDose(x, y)
}

// Published is a recipe, or a plan of several, that its author has given a link
// to. It holds nothing of the household that it came from.
type Published struct {
	Token     string             `json:"token"`              // that opens it
	Author    string             `json:"author,omitempty"`   // the name that its author chose; empty once the author is gone
	Title     string             `json:"title,omitempty"`    // what it is called
	About     string             `json:"about,omitempty"`    // what its author says of it; text alone
	ForWhom   string             `json:"for_whom,omitempty"` // and of the dogs that it is for
	Versions  []PublishedVersion `json:"versions,omitempty"` // the oldest first
	Withdrawn Withdrawal         `json:"withdrawn,omitzero"` // since when nobody can open it any more
	Closed    bool               `json:"closed,omitempty"`   // its link opens nothing; who keeps it goes on keeping it
	Asking    bool               `json:"asking,omitempty"`   // its readers may ask the author
}

// Withdrawal is when something was withdrawn, and the reason as typed.
type Withdrawal struct {
	At  time.Time `json:"at"`
	Why string    `json:"why,omitempty"`

	Operator bool `json:"operator,omitempty"` // whoever runs the program did it, not the author
}

// PublishedVersion is what was published at a time; it never changes again.
type PublishedVersion struct {
	At      time.Time        `json:"at"`
	Why     string           `json:"why,omitempty"`     // what changed, as its author says
	Recipes []Recipe         `json:"recipes"`           // with ids of their own
	Foods   []nutrition.Food `json:"foods,omitempty"`   // foods of the author's own that these use
	Turns   []Turn           `json:"turns,omitempty"`   // of a plan: the order in which its recipes are eaten
	Switch  int              `json:"switch,omitempty"`  // over how many days a dog is to be brought to it; 0: as usual
	Profile string           `json:"profile,omitempty"` // key of the table that its author compared it with
	Doses   []Dose           `json:"doses,omitempty"`   // of a plan: supplements that are given beside its recipes
}

// Latest is the newest version and its number, counted from 1; nil and 0 where
// nothing is left of any.
func (p *Published) Latest() (*PublishedVersion, int) { return p.Numbered(len(p.Versions)) }

// Numbered is a version by its number; nil and 0 where there is none.
func (p *Published) Numbered(n int) (*PublishedVersion, int) {
	if n < 1 || n > len(p.Versions) {
		return nil, 0
	}
	return &p.Versions[n-1], n
}

// Recipe is a recipe of a version by its id, nil where it has none.
func (v *PublishedVersion) Recipe(id string) *Recipe {
	return FirstOf(v.Recipes, func(r *Recipe) bool { return r.ID == id })
}

// Forgotten is what is left of something published when its author is gone:
// that it was withdrawn.
func (p *Published) Forgotten(at time.Time) Published {
	left := Published{Token: p.Token, Withdrawn: Withdrawal{At: p.Withdrawn.At}}
	if left.Withdrawn.At.IsZero() {
		left.Withdrawn.At = at
	}
	return left
}

// Origin is what a recipe was adopted from.
type Origin struct {
	Token   string `json:"token"`
	Version int    `json:"version"` // counted from 1
	Recipe  string `json:"recipe"`  // its id there
}
