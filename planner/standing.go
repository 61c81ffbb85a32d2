package planner

// StandingKind says what a recipe is meant to be; the zero value is not said.
type StandingKind string

// The kinds of standing as stored.
const (
	IsComplete  StandingKind = "complete"  // it meets a table on what is known
	IsTopper    StandingKind = "topper"    // goes on top of other food: see TopperShare
	ForSomeDays StandingKind = "some-days" // not to be fed every day
)

// TopperShare is the most of a day's kcal that a topper brings, so that what the
// rest is complete in stays so: the tenth that treats are held to as well (common
// practice, no source).
const TopperShare = 0.1

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
