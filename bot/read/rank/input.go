package rank

// Input is a text and what is known of the moment in which it was typed.
type Input struct {
	Text    string
	Dogs    []string // the names of the household's dogs
	Recipes []string
	Carers  []string
	Open    string // the question that is open, empty where none is
}
