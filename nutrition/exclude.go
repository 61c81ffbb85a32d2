package nutrition

import (
	"slices"
	"strings"
	"unicode"
)

// Excluded reports that one of a carer's words excludes the food: a group
// ("poultry", "fish", "dairy", "grain", "red meat", "raw"), a species
// ("beef", which takes veal with it), or words of its name ("beef heart",
// "potato"). Case, plurals and word order make no difference.
func Excluded(f *Food, words []string) bool {
	return slices.ContainsFunc(words, func(w string) bool { return excludes(f, tokens(w)) })
}

// excludes reports that the words, each in the singular, exclude the food.
func excludes(f *Food, words []string) bool {
	if len(words) == 0 {
		return false
	}
	if in, ok := groups[strings.Join(words, " ")]; ok {
		return in(f)
	}
	own := nameWords(f)
	if slices.ContainsFunc(words, denies) { // "duck, no skin" means just that one
		own = tokens(f.Name + " " + f.Key)
	}
	return !slices.ContainsFunc(words, func(w string) bool { return !sameSpecies(f, w) && !slices.Contains(own, w) })
}

// groups are the words that stand for more than a name or a species, and kin
// the species words that an animal's name excludes together: data/exclude.csv.
var groups, kin = readExclusions()

func readExclusions() (groups map[string]func(*Food) bool, kin map[string][]string) {
	groups, kin = map[string]func(*Food) bool{}, map[string][]string{}
	records("exclude.csv", func(cell func(string) string) error {
		var any [][]func(*Food) bool
		for _, alternative := range strings.Fields(cell("is")) {
			var all []func(*Food) bool
			for text := range strings.SplitSeq(alternative, "+") {
				is := condition(text, groups)
				if is == nil {
					return errBadRow
				}
				all = append(all, is)
			}
			any = append(any, all)
		}
		for word := range strings.SplitSeq(cell("words"), "|") {
			if species := strings.Fields(cell("species")); len(species) > 0 {
				kin[word] = species
				continue
			}
			groups[word] = func(f *Food) bool {
				return slices.ContainsFunc(any, func(all []func(*Food) bool) bool {
					return !slices.ContainsFunc(all, func(is func(*Food) bool) bool { return !is(f) })
				})
			}
		}
		return nil
	})
	return groups, kin
}

// NamesKind reports that a word stands for a kind or a species of food.
func NamesKind(word string) bool {
	word = cutPlural(word)
	return groups[word] != nil || kin[word] != nil || slices.ContainsFunc(Default().Foods(), func(f *Food) bool { return f.Species == word })
}

// condition reads a condition of exclude.csv; nil for one that there is not.
func condition(text string, groups map[string]func(*Food) bool) func(*Food) bool {
	text, denied := strings.CutPrefix(text, "!")
	var is func(*Food) bool
	switch what, of, _ := strings.Cut(text, ":"); what {
	case "tag":
		is = tagged(tagWords[of])
	case "kind":
		is = func(f *Food) bool { return f.Kind == of }
	case "part":
		is = func(f *Food) bool { return f.Part.String() == of }
	case "species":
		is = func(f *Food) bool { return f.Species == of }
	case "bone":
		is = func(f *Food) bool { return f.Bone.Kind != NoBone }
	case "name":
		is = func(f *Food) bool { return named(f, of) }
	case "group":
		is = groups[of]
	}
	if denied {
		return func(f *Food) bool { return !is(f) }
	}
	return is
}

func tagged(t Tag) func(*Food) bool { return func(f *Food) bool { return f.Has(t) } }

// sameSpecies reports that the food is of the species that a word names.
func sameSpecies(f *Food, word string) bool {
	species := tokens(f.Species)
	if len(species) == 0 {
		return false
	}
	words := kin[word]
	if words == nil {
		words = []string{word}
	}
	return slices.ContainsFunc(words, func(w string) bool { return slices.Contains(species, w) })
}

// nameWords returns the words of a food's name and key, without those that the
// name denies: "no skin".
func nameWords(f *Food) []string {
	var own []string
	words := tokens(f.Name + " " + f.Key)
	for i, w := range words {
		if i > 0 && denies(words[i-1]) {
			continue
		}
		own = append(own, w)
	}
	return own
}

// denies reports that a word of a name says that the next one is not there.
func denies(word string) bool { return word == "no" || word == "without" }

// named reports that the food's name has the word, given in the singular.
func named(f *Food, word string) bool { return slices.Contains(nameWords(f), word) }

// tokens splits a text into its words, in lower case and in the singular.
func tokens(s string) []string {
	words := strings.FieldsFunc(strings.ToLower(s), func(r rune) bool {
		return !unicode.IsLetter(r) && !unicode.IsDigit(r)
	})
	for i, w := range words {
		words[i] = cutPlural(w)
	}
	return words
}
