package foodline

import "testing"

func TestNoteText(t *testing.T) {
	for text, want := range map[string]Note{
		"method: brown the mince, cool it":              {Method: true, Text: "brown the mince, cool it"},
		"Method of Turkey and heart:\n1. Mince\n2. Mix": {Method: true, About: "Turkey and heart", Text: "1. Mince\n2. Mix"},
		"note on the kelp: for iodine: 60 µg":           {About: "kelp", Text: "for iodine: 60 µg"},
		"method Turkey and heart: mix it":               {Method: true, Bare: true, About: "Turkey and heart", Text: "mix it"},
		"Note: keep it cold":                            {Text: "keep it cold"},
		"notes for my beef heart: taurine":              {About: "beef heart", Text: "taurine"},
	} {
		if got, ok := NoteText(text); !ok || got != want {
			t.Errorf("%q: %+v, %v", text, got, ok)
		}
	}
	for _, text := range []string{"method", "note 3: 250 g turkey", "note on: x", "Turkey: 250 g", "recipe Turkey\nmethod: mix", "take note of this: x", ": x", ""} {
		if got, ok := NoteText(text); ok {
			t.Errorf("%q is a note: %+v", text, got)
		}
	}
}
