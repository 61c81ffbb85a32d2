package read

import (
	"embed"
	"regexp"
	"strings"
)

//go:embed language/*.txt
var languageFiles embed.FS

// linesOf are the lines of a file of the language, without comments.
func linesOf(file string) (all []string) {
	text, err := languageFiles.ReadFile("language/" + file)
	if err != nil {
		panic(err)
	}
	for line := range strings.Lines(string(text)) {
		if line = strings.TrimSpace(line); line != "" && line[0] != '#' {
			all = append(all, line)
		}
	}
	return all
}

// lists are the lists of lists.txt by their names.
var lists = func() map[string][]string {
	all := map[string][]string{}
	for _, line := range linesOf("lists.txt") {
		name, list, _ := strings.Cut(line, " = ")
		all[name] = append(all[name], strings.Split(list, ", ")...)
	}
	return all
}()

// list is a list of lists.txt. One that is missing stops the program at once.
func list(name string) []string {
	if lists[name] == nil {
		panic("bot/read: lists.txt has no " + name)
	}
	return lists[name]
}

// listed is a list as a set.
func listed(name string) map[string]bool { return setOf(list(name)...) }

// phrasesOf is a list of several words each.
func phrasesOf(name string) (all [][]string) {
	for _, phrase := range list(name) {
		all = append(all, strings.Fields(phrase))
	}
	return all
}

// kinds are the words of the lists called "name:KIND", each by its kind.
func kinds[K ~string](name string) map[string]K {
	all := map[string]K{}
	for full, words := range lists {
		if kind, ok := strings.CutPrefix(full, name+":"); ok {
			for _, w := range words {
				all[w] = K(kind)
			}
		}
	}
	return all
}

// saying is a pattern of said.txt, and what is put for it.
type saying struct {
	is *regexp.Regexp
	as string
}

// sayings are the patterns of said.txt by their names.
var sayings = func() map[string][]saying {
	all := map[string][]saying{}
	for _, line := range linesOf("said.txt") {
		name, pattern, _ := strings.Cut(line, " ")
		pattern, as, _ := strings.Cut(pattern, " =>")
		all[name] = append(all[name], saying{regexp.MustCompile("(?i)" + pattern), strings.TrimSpace(as)})
	}
	return all
}()

// says tells whether a text has one of the patterns of a name.
func says(name string) func(text string) bool {
	all := sayings[name]
	if all == nil {
		panic("bot/read: said.txt has no " + name)
	}
	return func(text string) bool {
		for _, s := range all {
			if s.is.MatchString(text) {
				return true
			}
		}
		return false
	}
}

// patternOf is the only pattern of a name.
func patternOf(name string) *regexp.Regexp { return sayings[name][0].is }
