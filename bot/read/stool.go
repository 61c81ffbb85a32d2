package read

import (
	"strings"
	"unicode"

	"bowlwright/planner"
)

// stoolWords are the words for a stool by the three kinds that are kept.
var stoolWords = map[string]planner.Stool{
	"firm": planner.FirmStool, "fine": planner.FirmStool, "good": planner.FirmStool, "normal": planner.FirmStool, "ok": planner.FirmStool,
	"okay": planner.FirmStool, "solid": planner.FirmStool, "hard": planner.FirmStool, "formed": planner.FirmStool,
	"soft": planner.SoftStool, "softer": planner.SoftStool, "mushy": planner.SoftStool,
	"loose": planner.LooseStool, "runny": planner.LooseStool, "watery": planner.LooseStool, "liquid": planner.LooseStool,
}

var (
	stoolNouns   = setOf("stool", "stools", "poo", "poop", "poos", "poops", "faeces", "feces")
	stoolFillers = setOf("the", "her", "his", "its", "a", "an", "is", "was", "are", "were", "s", "looks", "looked", "bit", "little", "very", "quite", "again", "today", "tonight", "now", "this", "morning", "evening", "had", "has", "she", "he", "it")
)

// StoolSaid reads how a stool was: "soft", "her poo is fine today". Words such
// as "fine" count only beside one for the stool; a text that says more is
// none.
func StoolSaid(s string) (planner.Stool, bool) {
	if len(s) > 60 || strings.ContainsAny(s, "?\n") {
		return "", false
	}
	words := strings.FieldsFunc(strings.ToLower(Clean(s)), func(r rune) bool { return !unicode.IsLetter(r) })
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
