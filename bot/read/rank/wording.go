package rank

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io/fs"
	"slices"

	"bowlwright/bot/read/span"
)

// Input is a text and what is known of the moment in which it was typed.
type Input struct {
	Text    string   `json:"text"`
	Dogs    []string `json:"dogs"` // the names of the household's dogs
	Recipes []string `json:"recipes,omitempty"`
	Carers  []string `json:"carers,omitempty"`
	Open    string   `json:"open,omitempty"` // the question that is open, empty where none is
}

// Wording is a message as a carer types it, with what is meant by it.
type Wording struct {
	ID string `json:"id"`
	Input
	Says []Said   `json:"says"`
	Ask  bool     `json:"ask,omitempty"` // a careful reader would ask back
	Or   []Said   `json:"or,omitempty"`  // then also likely
	Also []string `json:"also,omitempty"`
}

// Said is one statement of a message.
type Said struct {
	Intent string         `json:"intent"`
	Slots  map[string]any `json:"slots,omitempty"`
}

// UnmarshalJSON takes an intent alone too.
func (s *Said) UnmarshalJSON(data []byte) error {
	if len(data) > 0 && data[0] == '"' {
		return json.Unmarshal(data, &s.Intent)
	}
	type plain Said
	return json.Unmarshal(data, (*plain)(s))
}

// SameAsAnswer reports that two intents say the same where a question is open:
// the answer, and what the answer says.
func SameAsAnswer(open, a, b string) bool {
	if a == b {
		return true
	}
	if a != "answer" {
		a, b = b, a
	}
	return a == "answer" && slices.Contains(answers[open], b)
}

// Means is what a statement of the message is to be read as: where a question
// is open, its answer, though another intent says the same.
func (w *Wording) Means(intent string) string {
	return span.Choose(slices.Contains(answers[w.Open], intent), "answer", intent)
}

// answers are the intents that say the same as the answer to a question.
var answers = map[string][]string{
	"fed.done":    {"fed.log", "yes", "no"},
	"supp.given":  {"supp.log", "yes", "no"},
	"weight.due":  {"weight.log"},
	"dog.weight":  {"weight.log"},
	"suggestion":  {"apply", "keep", "yes", "no"},
	"undo.sure":   {"yes", "no"},
	"remove.sure": {"yes", "no"},
}

// WordingsIn reads the files of a folder, a wording a line, in the order of their names.
func WordingsIn(files fs.FS) (all []Wording, err error) {
	names, err := fs.Glob(files, "*.jsonl")
	if err != nil {
		return nil, err
	}
	for _, name := range names {
		text, err := fs.ReadFile(files, name)
		if err != nil {
			return nil, err
		}
		for in := json.NewDecoder(bytes.NewReader(text)); in.More(); {
			var w Wording
			if err := in.Decode(&w); err != nil {
				return nil, fmt.Errorf("%s, wording %d of all: %w", name, len(all)+1, err)
			}
			all = append(all, w)
		}
	}
	return all, nil
}
