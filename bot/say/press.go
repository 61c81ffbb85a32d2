package say

import (
	"strconv"
	"strings"
)

// Press is a line that presses a button where there is nothing to tap: by its
// number ("#1") or by its label ("#Fed"), and where several read the same by
// which of these it is ("#Fed/2").
type Press struct {
	Number int    // from 1; 0 where Label says which
	Label  string // as it was typed
}

// ReadPress reads a line that presses a button. Whatever has more than one
// line is a message.
func ReadPress(line string) (p Press, ok bool) {
	said, ok := strings.CutPrefix(strings.TrimSpace(line), "#")
	if !ok || said == "" || strings.Contains(said, "\n") {
		return Press{}, false
	}
	if n, err := strconv.Atoi(said); err == nil {
		return Press{Number: n}, true
	}
	return Press{Label: said}, true
}

// Among finds the button in a message whose buttons have these labels. Where
// there is no such button, or more than one, it says so instead.
func (p Press) Among(labels []string) (index int, problem string) {
	if len(labels) == 0 {
		return 0, Msg("press.none")
	}
	if p.Label == "" {
		if p.Number < 1 || p.Number > len(labels) {
			return 0, Msg("press.no-such", "n", p.Number, "have", len(labels))
		}
		return p.Number - 1, ""
	}
	found := reading(labels, p.Label)
	if at := strings.LastIndex(p.Label, "/"); at >= 0 && len(found) == 0 {
		n, err := strconv.Atoi(p.Label[at+1:])
		if same := reading(labels, p.Label[:at]); err == nil && n >= 1 && n <= len(same) {
			return same[n-1], ""
		}
	}
	switch len(found) {
	case 0:
		return 0, Msg("press.no-label", "label", p.Label, "have", List(labels))
	case 1:
		return found[0], ""
	}
	return 0, Msg("press.same-label", "label", p.Label, "n", len(found))
}

// reading are the places of the buttons that read so, in capitals or not.
func reading(labels []string, label string) (at []int) {
	for i, l := range labels {
		if strings.EqualFold(l, label) {
			at = append(at, i)
		}
	}
	return at
}
