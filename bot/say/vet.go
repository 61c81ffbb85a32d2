package say

import "strings"

// Advice to see a vet is marked in a message, so that of several pieces in one
// reply a single one is left: <vet>please have a vet look</vet>, and what asks for
// less, <check>Check it with your vet.</check>. <gate> stands in a line that sends
// to the vet by itself; beside it, and beside other advice, no check is left. In
// a message that is read the marks are these.
const (
	vetFrom, vetTo     = "\ue000", "\ue001"
	checkFrom, checkTo = "\ue002", "\ue003"
	gateMark           = "\ue004"
)

var marks = strings.NewReplacer("<vet>", vetFrom, "</vet>", vetTo, "<check>", checkFrom, "</check>", checkTo, "<gate>", gateMark)

// Unmarked is a text without the marks of its advice.
func Unmarked(s string) string { return unmark.Replace(s) }

var unmark = strings.NewReplacer(vetFrom, "", vetTo, "", checkFrom, "", checkTo, "", gateMark, "")

// OneVet leaves one piece of advice to see a vet in a reply: the first that asks
// for a look, else the last check where no gate sends to the vet already.
func OneVet(r *Reply) {
	vets, checks := 0, 0
	gate := false
	for _, b := range r.Body {
		vets += strings.Count(b.Text, vetFrom)
		checks += strings.Count(b.Text, checkFrom)
		gate = gate || strings.Contains(b.Text, gateMark)
	}
	keepVet, keepCheck := 0, checks-1
	if vets > 0 || gate {
		keepCheck = -1
	}
	vets, checks = 0, 0
	for i := range r.Body {
		b := &r.Body[i]
		b.Waits = b.Waits && b.Text == Unmarked(b.Text) // advice to see a vet never does
		b.Text, vets = keepOne(b.Text, vetFrom, vetTo, vets, keepVet)
		b.Text, checks = keepOne(b.Text, checkFrom, checkTo, checks, keepCheck)
		b.Text = Unmarked(b.Text)
	}
}

// keepOne takes all marked pieces out of a text but the one with a number; n is
// the number of the first.
func keepOne(s, from, to string, n, keep int) (string, int) {
	var out strings.Builder
	for {
		before, rest, found := strings.Cut(s, from)
		out.WriteString(before)
		if !found {
			return out.String(), n
		}
		piece, after, _ := strings.Cut(rest, to)
		if n == keep {
			out.WriteString(piece)
		}
		n, s = n+1, after
	}
}
