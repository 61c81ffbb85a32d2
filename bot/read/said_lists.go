package read

import (
	"strings"

	"bowlwright/bot/read/language"
)

// What rooms ask of the lists and patterns of the language, each by its name.
var (
	Words   = language.Set     // a list as a set
	Like    = language.Says    // whether a text has one of the patterns of a name
	Pattern = language.Pattern // the only pattern of a name
	Without = language.Without // a text without what the patterns of a name find
)

// Said is whether a text is one of the phrases of a list, whatever marks stand at its
// ends.
func Said(list string) func(text string) bool {
	set := language.Set(list)
	return func(text string) bool { return set[typedPhrase(text)] }
}

// SaidKind is the kind of the lists of a name that a text is a phrase of; empty where it
// is of none.
func SaidKind(name string) func(text string) string {
	kinds := language.Kinds[string](name)
	return func(text string) string { return kinds[typedPhrase(text)] }
}

func typedPhrase(s string) string { return strings.ToLower(strings.Trim(s, " .!")) }
