package planner

import (
	"time"

	"bowlwright/nutrition"
)

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
