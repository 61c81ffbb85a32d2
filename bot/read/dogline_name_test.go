package read

import (
	"testing"
	"time"

	"bowlwright/planner"
)

// TestNameAsTyped holds that signs in a name stay, and that those which only
// set it off go.
func TestNameAsTyped(t *testing.T) {
	for _, c := range []struct{ line, name string }{
		{`dog <b>Rex</b>&" 12 kg`, `<b>Rex</b>&"`},
		{`<i>Pip</i>, 6.4 kg, 2 years`, `<i>Pip</i>`},
		{`dog "Pip" 6.4 kg`, "Pip"},
		{`dog “Pip” 6.4 kg`, "Pip"},
		{`dog Pip's 6.4 kg`, "Pip"},
		{`dog: Pip. 6.4 kg`, "Pip"},
		{`Pip (6.4 kg)`, "Pip"},
		{`dog Juniper & Co 19.6 kg`, "Juniper & Co"},
		{`dog {Pip} 6.4 kg`, "{Pip}"},
		{`dog Pip/6.4 kg`, "Pip"},
		{`dog Pip`, "Pip"},
	} {
		d, problems := DogLine(c.line, planner.Units{}, time.Date(2026, 3, 2, 7, 30, 0, 0, time.UTC))
		if d.Name != c.name || len(problems) > 0 {
			t.Errorf("%s: name %q, %v; want %q", c.line, d.Name, problems, c.name)
		}
	}
}
