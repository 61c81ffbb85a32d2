package say

import (
	"strings"
	"testing"
)

// TestOneVet leaves one piece of advice to see a vet, and no mark of the others.
func TestOneVet(t *testing.T) {
	for _, c := range []struct{ name, body, more, want string }{
		{"alone", "It lost 6 %<vet>: please have a vet look</vet>.", "", "It lost 6 %: please have a vet look.\n"},
		{"two", "It lost 6 %<vet>: please have a vet look</vet>.", "It is 12 % under its goal<vet>: please have a vet look</vet>.",
			"It lost 6 %: please have a vet look.\nIt is 12 % under its goal.\n"},
		{"two checks", "Too much zinc.<check> Check it with your vet.</check>", "Too much iodine.<check> Check it with your vet.</check>",
			"Too much zinc.\nToo much iodine. Check it with your vet.\n"},
		{"a check beside a look", "Too much zinc.<check> Check it with your vet.</check>", "It lost 6 %<vet>: please have a vet look</vet>.",
			"Too much zinc.\nIt lost 6 %: please have a vet look.\n"},
		{"a check beside a gate", "Plan its food with your vet.<gate>", "Too much zinc.<check> Check it with your vet.</check>",
			"Plan its food with your vet.\nToo much zinc.\n"},
		{"a look beside a gate", "Plan its food with your vet.<gate>", "It lost 6 %<vet>: please have a vet look</vet>.",
			"Plan its food with your vet.\nIt lost 6 %: please have a vet look.\n"},
	} {
		r := Reply{Body: []Block{{Text: marks.Replace(c.body)}, {Text: marks.Replace(c.more)}}}
		if c.more == "" {
			r.Body = r.Body[:1]
		}
		OneVet(&r)
		if got := joinBlocks(r.Body); got != c.want {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}

func joinBlocks(all []Block) string {
	var s strings.Builder
	for _, b := range all {
		s.WriteString(b.Text + "\n")
	}
	return s.String()
}
