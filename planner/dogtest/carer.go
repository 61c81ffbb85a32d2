package dogtest

import "math/rand/v2"

// Habit is how many suggestions a carer takes.
type Habit string

// The habits.
const (
	TakesAll  Habit = "takes every suggestion"
	TakesNone Habit = "takes none"
	TakesHalf Habit = "takes half"
)

// Carer feeds a dog.
type Carer struct {
	Habit Habit
	r     *rand.Rand
}

// NewCarer is the carer of the dog of a number.
func NewCarer(seed uint64, h Habit) *Carer {
	return &Carer{h, rand.New(rand.NewPCG(seed, 77))}
}

// Takes reports that the carer takes this suggestion.
func (c *Carer) Takes() bool {
	half := c.r.Float64() < 0.5
	return c.Habit == TakesAll || c.Habit == TakesHalf && half
}
