package read

import (
	"strings"
	"unicode"

	"bowlwright/bot/read/language"
	"bowlwright/bot/read/span"
	"bowlwright/planner"
)

// Words of lists.txt.
var (
	stoolWords   = language.Kinds[planner.Stool]("stool")
	stoolNouns   = language.Set("stool-nouns")
	stoolFillers = language.Set("stool-fillers")
)

// StoolSaid reads how a stool was: "soft", "her poo is fine today". Words such
// as "fine" count only beside one for the stool; a text that says more is
// none.
func StoolSaid(s string) (planner.Stool, bool) {
	if len(s) > 60 || strings.ContainsAny(s, "?\n") {
		return "", false
	}
	words := strings.FieldsFunc(strings.ToLower(span.Clean(s)), func(r rune) bool { return !unicode.IsLetter(r) })
	var stool planner.Stool
	noun := false
	for _, w := range words {
		is := stoolWords[w]
		switch {
		case is != "" && stool == "":
			stool = is
		case stoolNouns[w]:
			noun = true
		case !stoolFillers[w]:
			return "", false
		}
	}
	bare := len(words) == 1 && words[0] == string(stool) // as the buttons have it
	return stool, stool != "" && (noun || bare)
}
