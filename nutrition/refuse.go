package nutrition

import (
	"slices"
	"strings"
)

// Refusal is a food that dogs must not eat. Key selects the reason: "grape",
// "allium", "chocolate", "caffeine", "xylitol", "macadamia", "alcohol",
// "dough", "hops", "cooked-bone", "mould", "avocado", "nutmeg",
// "salt-excess", "fruit-stone", "green-potato", "rhubarb-leaf", "tartar",
// "star-fruit" or "sulphite".
type Refusal struct{ Key, Name string }

// RefusalKeys are the reasons for a refusal.
var RefusalKeys = []string{"grape", "allium", "chocolate", "caffeine", "xylitol", "macadamia", "alcohol", "dough",
	"hops", "cooked-bone", "mould", "avocado", "nutmeg", "salt-excess", "fruit-stone", "green-potato", "rhubarb-leaf",
	"tartar", "star-fruit", "sulphite"}

// cookedBone is what a cooked bone-in cut is refused as.
var cookedBone = &Refusal{"cooked-bone", "cooked bone"}

// FindRefusal returns the food that dogs must not eat in what a carer wrote,
// nil if none is recognised; nil does not say that it is safe.
func FindRefusal(query string) *Refusal { return Default().Find(query).Refused }

// FindRefusalAsTyped is FindRefusal for words that may be no food at all, such
// as names: it mends no typing errors.
func FindRefusalAsTyped(text string) *Refusal {
	var q query
	return Default().index().refusal(split(q.words[:0], text))
}

// RefusedIn returns the foods that dogs must not eat among the words of a text
// that is more than the name of a food, and the place of the first word of
// each. It mends no typing errors. The words of one name stand near each other.
func RefusedIn(text []string) (found []Refusal, at []int) {
	x := Default().index()
	words := make([]word, len(text))
	for i, w := range text {
		words[i] = word{text: cutPlural(w)}
	}
	for i := range words {
		if len(x.rules[words[i].text]) == 0 {
			continue
		}
		around := words[max(0, i-nearRefused):min(len(words), i+nearRefused+1)]
		longest, best := 0, Refusal{}
		for _, r := range x.rules[words[i].text] {
			if len(r.words) > longest && !negated(words, i) && x.applies(r, around) {
				longest, best = len(r.words), r.Refusal
			}
		}
		if longest > 0 {
			found, at = append(found, best), append(at, i)
		}
	}
	return found, at
}

// nearRefused is how many words may stand between those of one refused food.
const nearRefused = 5

// RefusedWords are the words by which foods are refused.
func RefusedWords() (words []string) {
	for _, rules := range Default().index().rules {
		for _, r := range rules {
			words = append(words, r.words...)
		}
	}
	slices.Sort(words)
	return slices.Compact(words)
}

// KnownWord reports that a word stands in the name of some food.
func KnownWord(w string) bool {
	x := Default().index()
	return x.known[w] || x.known[cutPlural(w)]
}

// rule refuses a food where all its words are in a query and none of unless.
type rule struct {
	Refusal
	words, unless []string
	cooked        bool // only where a word for cooked is there too
}

// oneWord reports that the rule is of a single word.
func (r *rule) oneWord() bool { return len(r.words) == 1 && !r.cooked }

// readRules reads the refused foods, by the first word of each.
func readRules() map[string][]*rule {
	rules := make(map[string][]*rule, 128)
	records("refuse.csv", func(cell func(string) string) error {
		r := &rule{Refusal: Refusal{cell("key"), cell("name")}, unless: singularWords(cell("unless"))}
		words, cooked := strings.CutPrefix(cell("words"), "@cooked ")
		r.words, r.cooked = singularWords(words), cooked
		if !slices.Contains(RefusalKeys, r.Key) || len(r.words) == 0 {
			return errBadRow
		}
		rules[r.words[0]] = append(rules[r.words[0]], r)
		return nil
	})
	return rules
}

// refusal returns the first refused food among a query's words. Where one
// rule's words are a part of another's that fits too, the longer is meant.
func (x *index) refusal(words []word) (found *Refusal) {
	longest := 0
	for i, w := range words {
		for _, r := range x.rules[w.text] {
			if len(r.words) > longest && !negated(words, i) && x.applies(r, words) {
				found, longest = &r.Refusal, len(r.words)
			}
		}
	}
	return found
}

func (x *index) applies(r *rule, words []word) bool {
	cooked, boneless := !r.cooked, false
	for _, w := range words {
		if slices.Contains(r.unless, w.text) && w.text != "" {
			return false
		}
		if p := x.alone(w.text); p != nil && p.facet.state == stateCooked {
			cooked = true
		}
		boneless = boneless || w.text == "boneless" || w.text == "deboned"
	}
	for _, need := range r.words[1:] {
		if !slices.ContainsFunc(words, func(w word) bool { return w.text == need }) {
			return false
		}
	}
	return cooked && !(r.Key == "cooked-bone" && boneless)
}

// negated reports that a word is named as absent: "no onion", "without any
// onion", "onion free", "off the bone".
func negated(words []word, i int) bool {
	for back := i - 1; back >= 0 && back >= i-2; back-- {
		switch words[back].text {
		case "no", "without", "minus", "not", "off":
			return true
		case "any", "added", "or", "the":
		default:
			back = -1
		}
	}
	return i+1 < len(words) && words[i+1].text == "free"
}
