package planner

// Rotation is the order of recipes that one dog or several eat, each for so
// many days, over and over.
type Rotation struct {
	ID    string   `json:"id"`
	Name  string   `json:"name,omitempty"`
	Dogs  []string `json:"dogs"` // ids; a dog is in at most one rotation
	Turns []Turn   `json:"turns"`
	Start Date     `json:"start"` // the first day of the first turn
	// Instead has the days on which another recipe is eaten than the order
	// says; the order is not moved by them.
	Instead map[Date]string `json:"instead,omitempty"`
}

// Turn is a recipe and the days that it runs, 1-60.
type Turn struct {
	Recipe string `json:"recipe"` // id
	Days   int    `json:"days"`
}
