// Package language is the word lists of the language that people type, as they
// stand in the files beside it.
package language

import (
	"embed"
	"io"
	"io/fs"
	"iter"
	"regexp"
	"regexp/syntax"
	"slices"
	"strings"
	"sync"
)

//go:embed *.txt lexicon weights.gob.zst
var files embed.FS

// Text is a file of the language.
func Text(file string) string { return string(Must(files.ReadFile(file))) }

// Open is the same, for one that is read once.
func Open(file string) io.Reader { return Must(files.Open(file)) }

// LexiconFiles are the files of the lexicon.
func LexiconFiles() fs.FS { return Must(fs.Sub(files, "lexicon")) }

// Must stops the program where what is compiled in has a fault.
func Must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
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

// The lists of lists.txt by their names: as they stand, as sets, and as phrases of
// several words each. Of those called "name:KIND" kinds are the words with the kind of
// each, by the name.
var lists, sets, phrases, kinds = readLists()

func readLists() (lists map[string][]string, sets map[string]map[string]bool, phrases map[string][][]string, kinds map[string]map[string]string) {
	lists, sets, phrases, kinds = map[string][]string{}, map[string]map[string]bool{}, map[string][][]string{}, map[string]map[string]string{}
	for _, line := range Lines("lists.txt") {
		name, list, _ := strings.Cut(line, " = ")
		words := strings.Split(list, ", ")
		lists[name] = append(lists[name], words...)
		sets[name] = SetOf(lists[name]...)
		for _, phrase := range words {
			phrases[name] = append(phrases[name], strings.Fields(phrase))
		}
		if name, kind, ok := strings.Cut(name, ":"); ok {
			if kinds[name] == nil {
				kinds[name] = map[string]string{}
			}
			for _, w := range words {
				kinds[name][w] = kind
			}
		}
	}
	return lists, sets, phrases, kinds
}

// of is what a file has under a name. One that it has not stops the program at once.
func of[V any](file string, all map[string]V, name string) V {
	v, ok := all[name]
	if !ok {
		panic("bot/read: " + file + " has no " + name)
	}
	return v
}

// List is a list of lists.txt.
func List(name string) []string { return of("lists.txt", lists, name) }

// Set is a list as a set.
func Set(name string) map[string]bool { return of("lists.txt", sets, name) }

// In reports that a word is one of a list.
func In(name, word string) bool { return Set(name)[word] }

// Phrases is a list of several words each.
func Phrases(name string) [][]string { return of("lists.txt", phrases, name) }

// Kinds are the words of the lists called "name:KIND", each by its kind.
func Kinds[K ~string](name string) map[string]K {
	all := map[string]K{}
	for w, kind := range of("lists.txt", kinds, name) {
		all[w] = K(kind)
	}
	return all
}

// Said reports that a text is one of the phrases of a list, whatever marks stand at its
// ends.
func Said(name, text string) bool { return In(name, typedPhrase(text)) }

// SaidKind is the kind of the lists of a name that a text is a phrase of; empty where it
// is of none.
func SaidKind(name, text string) string { return of("lists.txt", kinds, name)[typedPhrase(text)] }

func typedPhrase(s string) string { return strings.ToLower(strings.Trim(s, " .!")) }

// saying is a pattern of said.txt, and what is put for it. It is made ready when a
// text first has a word that it needs: a start of the program needs few of them.
type saying struct {
	Is    func() *regexp.Regexp
	As    string
	needs func() []string
}

// Sayings are the patterns of said.txt by their names.
var Sayings = func() map[string][]saying {
	all := map[string][]saying{}
	for _, line := range Lines("said.txt") {
		name, pattern, _ := strings.Cut(line, " ")
		pattern, as, _ := strings.Cut(pattern, " =>")
		pattern = "(?i)" + pattern
		is := sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(pattern) })
		needs := sync.OnceValue(func() []string { return needed(Must(syntax.Parse(pattern, syntax.Perl))) })
		all[name] = append(all[name], saying{is, strings.TrimSpace(as), needs})
	}
	return all
}()

// needed are words in small letters of which a text that has a pattern has one, the
// longest that are certain; none where no word is.
func needed(p *syntax.Regexp) (words []string) {
	switch {
	case p.Op == syntax.OpLiteral:
		words = []string{strings.ToLower(string(p.Rune))}
	case p.Op == syntax.OpCapture, p.Op == syntax.OpPlus, p.Op == syntax.OpRepeat && p.Min > 0:
		words = needed(p.Sub[0])
	case p.Op == syntax.OpConcat:
		for _, part := range p.Sub {
			if of := needed(part); shortest(of) > shortest(words) {
				words = of
			}
		}
	case p.Op == syntax.OpAlternate:
		for _, part := range p.Sub {
			of := needed(part)
			if of == nil {
				return nil
			}
			words = append(words, of...)
		}
	}
	return words
}

func shortest(words []string) int {
	if len(words) == 0 {
		return 0
	}
	return len(slices.MinFunc(words, func(a, b string) int { return len(a) - len(b) }))
}

// may reports that a text, in small letters, may have a pattern: to look for a few words
// is sooner done.
func (s *saying) may(small string) bool {
	needs := s.needs()
	return needs == nil || slices.ContainsFunc(needs, func(w string) bool { return strings.Contains(small, w) })
}

// Likely are the patterns of a name that a text may have.
func Likely(name, text string) iter.Seq[saying] {
	small := strings.ToLower(text)
	return func(yield func(saying) bool) {
		for _, s := range of("said.txt", Sayings, name) {
			if s.may(small) && !yield(s) {
				return
			}
		}
	}
}

// Says reports that a text has one of the patterns of a name.
func Says(name, text string) bool {
	for s := range Likely(name, text) {
		if s.Is().MatchString(text) {
			return true
		}
	}
	return false
}

// Find is what the first group of a pattern holds that a text has, of the patterns of a
// name; empty where it has none.
func Find(name, text string) string {
	for s := range Likely(name, text) {
		if m := s.Is().FindStringSubmatch(text); m != nil {
			return m[1]
		}
	}
	return ""
}

// Match is what stands behind the first pattern of a name that a text has, and what the
// named groups of it hold; empty where the text has none.
func Match(name, text string) (as string, groups map[string]string) {
	for s := range Likely(name, text) {
		m := s.Is().FindStringSubmatch(text)
		if m == nil {
			continue
		}
		groups = map[string]string{}
		for i, group := range s.Is().SubexpNames() {
			groups[group] = m[i]
		}
		return s.As, groups
	}
	return "", nil
}

// Pattern is the only pattern of a name.
func Pattern(name string) *regexp.Regexp { return of("said.txt", Sayings, name)[0].Is() }

// Without leaves out of a text what patterns of said.txt name.
func Without(name, s string) string {
	for _, lead := range of("said.txt", Sayings, name) {
		if lead.may(strings.ToLower(s)) {
			s = lead.Is().ReplaceAllString(s, lead.As)
		}
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
