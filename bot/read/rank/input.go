package rank

// Input is a text and what is known of the moment in which it was typed.
type Input struct {
	Text    string   `json:"text"`
	Dogs    []string `json:"dogs"` // the names of the household's dogs
	Recipes []string `json:"recipes,omitempty"`
	Carers  []string `json:"carers,omitempty"`
	Open    string   `json:"open,omitempty"` // the question that is open, empty where none is
}
