package read

import (
	"regexp"
	"strings"
)

// Claim returns the words by which a text claims that food treats or cures;
// empty where it claims nothing.
func Claim(text string) string {
	for _, said := range claimEnds.Split(text, -1) {
		for _, s := range sayings["claim"] {
			at := s.is.FindStringIndex(said)
			if at != nil && !(deniesClaim(said[:at[0]]) && !notOnly.MatchString(said)) {
				return strings.TrimSpace(said[at[0]:at[1]])
			}
		}
	}
	return ""
}

var (
	claimEnds   = regexp.MustCompile(`[.!?;\n]+|,? but `)
	notOnly     = regexp.MustCompile(`(?i)\bnot (only|just|merely)\b`)
	deniesClaim = says("claim-denied")
)
