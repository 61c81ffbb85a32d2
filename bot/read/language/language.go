// Package language is the word lists of the language that people type, as they
// stand in the files beside it.
package language

import (
	"embed"
	"io/fs"
	"regexp"
	"strings"
	"sync"
)

//go:embed *.txt lexicon weights.gob.gz
var files embed.FS

// Text is a file of the language.
func Text(file string) string {
	text, err := files.ReadFile(file)
	if err != nil {
		panic(err)
	}
	return string(text)
}

// LexiconFiles are the files of the lexicon.
func LexiconFiles() fs.FS {
	sub, err := fs.Sub(files, "lexicon")
	if err != nil {
		panic(err)
	}
	return sub
}

// Lines are the lines of a file of the language, without comments.
func Lines(file string) (all []string) {
	for line := range strings.Lines(Text(file)) {
		if line = strings.TrimSpace(line); line != "" && line[0] != '#' {
			all = append(all, line)
		}
	}
	return all
}

// lists are the lists of lists.txt by their names.
var lists = func() map[string][]string {
	all := map[string][]string{}
	for _, line := range Lines("lists.txt") {
		name, list, _ := strings.Cut(line, " = ")
		all[name] = append(all[name], strings.Split(list, ", ")...)
	}
	return all
}()

// List is a list of lists.txt. One that is missing stops the program at once.
func List(name string) []string {
	if lists[name] == nil {
		panic("bot/read: lists.txt has no " + name)
	}
	return lists[name]
}

// Set is a list as a set.
func Set(name string) map[string]bool { return SetOf(List(name)...) }

// Phrases is a list of several words each.
func Phrases(name string) (all [][]string) {
	for _, phrase := range List(name) {
		all = append(all, strings.Fields(phrase))
	}
	return all
}

// Kinds are the words of the lists called "name:KIND", each by its kind.
func Kinds[K ~string](name string) map[string]K {
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

// saying is a pattern of said.txt, and what is put for it. It is made ready when it
// is first asked for: a start of the program needs few of them.
type saying struct {
	Is func() *regexp.Regexp
	As string
}

// Sayings are the patterns of said.txt by their names.
var Sayings = func() map[string][]saying {
	all := map[string][]saying{}
	for _, line := range Lines("said.txt") {
		name, pattern, _ := strings.Cut(line, " ")
		pattern, as, _ := strings.Cut(pattern, " =>")
		is := sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile("(?i)" + pattern) })
		all[name] = append(all[name], saying{is, strings.TrimSpace(as)})
	}
	return all
}()

// Says tells whether a text has one of the patterns of a name.
func Says(name string) func(text string) bool {
	all := Sayings[name]
	if all == nil {
		panic("bot/read: said.txt has no " + name)
	}
	return func(text string) bool {
		for _, s := range all {
			if s.Is().MatchString(text) {
				return true
			}
		}
		return false
	}
}

// Pattern is the only pattern of a name.
func Pattern(name string) *regexp.Regexp { return Sayings[name][0].Is() }

// Without leaves out of a text what patterns of said.txt name.
func Without(name, s string) string {
	for _, lead := range Sayings[name] {
		s = lead.Is().ReplaceAllString(s, lead.As)
	}
	return s
}

// SetOf are some words as a set.
func SetOf(words ...string) map[string]bool {
	set := make(map[string]bool, len(words))
	for _, w := range words {
		set[w] = true
	}
	return set
}

// Vocabulary are the words of sentences.txt.
var Vocabulary = sync.OnceValue(func() map[string]bool {
	words := map[string]bool{}
	for line := range strings.Lines(Text("sentences.txt")) {
		line, _, _ = strings.Cut(line, "#")
		if strings.HasPrefix(line, "intent ") {
			continue
		}
		if rest, ok := strings.CutPrefix(line, "define "); ok {
			_, line, _ = strings.Cut(rest, "=")
		}
		for _, lead := range []string{"polite ", "closing ", "drop "} {
			line = strings.TrimPrefix(line, lead)
		}
		for _, w := range strings.FieldsFunc(notWord.ReplaceAllString(line, " "), func(r rune) bool { return strings.ContainsRune(" |()[]\n", r) }) {
			words[w] = true
		}
	}
	return words
})

// notWord are the slots and definitions of a pattern.
var notWord = regexp.MustCompile(`\{[^}]*\}|<[^>]*>`)
