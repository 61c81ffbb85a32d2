package read

import (
	"slices"
	"strings"
)

var (
	foodKinds   = setOf("foods-everyday", "shop-foods", "dangers-food", "dangers-thing", "medicines-human", "medicines-dog", "supplements", "treat-words")
	suppKinds   = setOf("supplements", "medicines-dog", "medicines-human")
	breedKinds  = setOf("breeds")
	familyKinds = setOf("family-people")
	sharedKinds = setOf("share-words", "invite-words")
)

// named is the phrase of some kinds that a text has, or those in a row where
// several may be meant.
func (s *slots) named(kinds map[string]bool, several bool) string {
	var all []string
	for _, p := range s.phrases(kinds) {
		if v := strings.TrimPrefix(p.value, "the "); !vagueWords[v] && !strings.HasSuffix(v, " of") && !slices.Contains(all, v) && !s.any(p.to, "recipe", "mix", "one") {
			all = append(all, v)
		}
	}
	if len(all) > 1 && !several || len(all) > 3 {
		return ""
	}
	return strings.Join(all, ", ")
}

// vagueWords stand for any food or supplement.
var vagueWords = setOf("a treat", "goodies", "a quarter", "food", "foods", "meal", "meals", "bowl", "supplement", "supplements", "supp", "supps", "treat", "treats", "vitamins", "vit", "something", "meat", "packet", "bag", "piece", "tub", "dinner", "lunch",
	"breakfast", "stuff", "bits", "raw", "dose", "bottle", "box", "bit", "medicine", "meds", "tin", "wrapper", "pack", "scraps", "recipe")

func (s *slots) food(string) string  { return s.named(foodKinds, true) }
func (s *slots) breed(string) string { return s.named(breedKinds, false) }

func (s *slots) supp(string) string {
	if v := s.named(suppKinds, false); v != "" {
		if rest, ok := strings.CutPrefix(v, "vit "); ok {
			return "vitamin " + rest
		}
		return v
	}
	if v := s.named(foodKinds, false); v != "" {
		return v
	}
	if i := s.saysAny("tablet", "tablets", "tab", "tabs", "pill", "pills", "powder", "drops", "syrup", "capsules", "caps", "sachet"); i >= 0 {
		return strings.NewReplacer("tabs", "tablets", "caps", "capsules").Replace(s.folded[i])
	}
	return ""
}

// nutrient is the nutrient that is named, alone.
func (s *slots) nutrient(string) (value string) {
	m := matcher{text: s.text, words: splitWords(s.text)}
	for at := 0; at < len(m.words); at++ {
		if _, end := m.nutrientAt(at); end > 0 {
			v := strings.ToLower(s.text[m.words[at].start:m.words[end-1].end])
			if value != "" && value != v {
				return ""
			}
			value, at = v, end-1
		}
	}
	return value
}

// part is how much of a meal was eaten.
func (s *slots) part(string) string {
	left := ""
	if s.saysAny("left", "leaves", "leaving", "remaining", "remains", "leave") >= 0 {
		left = " left"
	}
	if q := s.one(byShare); q != nil {
		return q.text() + left
	}
	low := strings.ToLower(s.text)
	for _, p := range partWords {
		if strings.Contains(low, p.words) {
			return p.words + left
		}
	}
	switch {
	case s.saysAny("refused", "refuses", "refusing", "refuse") >= 0, strings.Contains(low, "touch"), strings.Contains(low, "turned"):
		return "refused"
	case s.saysAny("nothing", "none") >= 0:
		return "nothing"
	case s.saysAny("most", "mostly") >= 0:
		return "most"
	}
	return ""
}

// who is a person: a carer, or what one is to the household.
func (s *slots) who(string) string {
	if len(s.carers) > 0 {
		if slices.ContainsFunc(s.carers, func(m mention) bool { return m.value != s.carers[0].value }) {
			return ""
		}
		return s.carers[0].value
	}
	v := s.named(familyKinds, false)
	for _, p := range s.phrases(sharedKinds) {
		if _, who, ok := strings.Cut(p.value, "my "); ok && v == "" {
			v = who
		}
	}
	for _, of := range []string{"my ", "our ", "the "} {
		v = strings.TrimPrefix(v, of)
	}
	return v
}

// by is whose word or deed it is.
func (s *slots) by(intent string) string {
	switch intent {
	case "fed.log", "fed.other", "treat.log":
		if len(s.carers) == 1 && (s.carers[0].from == 0 || s.at(s.carers[0].from-1) == "by") || len(s.carers) == 0 {
			return s.who(intent)
		}
		return ""
	}
	if s.saysAny("vet", "vets", "doctor", "doc", "dr", "nutritionist") >= 0 {
		return "vet"
	}
	return ""
}

// age is a span of years, months or weeks that a dog has lived.
func (s *slots) age(intent string) string {
	for i := range s.quantities {
		q := &s.quantities[i]
		if q.kind != bySpan || q.unit == "day" || q.unit == "fortnight" || q.unit == "hour" || q.unit == "minute" || s.any(q.from-1, "in", "for", "every", "over", "last") || s.at(q.to) == "ago" {
			continue
		}
		if intent != "dog.set" || q.unit == "year" || s.at(q.to) == "old" || s.saysAny("old", "age", "aged", "turned", "turns") >= 0 {
			return q.text()
		}
	}
	if q := s.one(byCount); intent == "dog.add" && q != nil && s.has(byMass) && q.n < 17 && q.n >= 1 && q.n == float64(int(q.n)) {
		return (&quantity{n: q.n, unit: "year", kind: bySpan}).text()
	}
	return ""
}

// sexWordsSaid are words for the sex of a dog and for what was done to it.
var sexSaid = map[string]string{"male": "male", "boy": "male", "lad": "male", "female": "female", "girl": "female", "bitch": "female", "lass": "female"}

var doneSaid = map[string]string{"neutered": "neutered", "castrated": "neutered", "spayed": "spayed", "speyed": "spayed", "entire": "entire", "intact": "intact", "desexed": "neutered"}

func (s *slots) sex(string) string {
	var all []string
	for _, said := range []map[string]string{sexSaid, doneSaid} {
		for i, w := range s.folded {
			if v := said[w]; v != "" && !s.taken[i] && !slices.Contains(all, v) {
				if s.any(i-1, "not", "isnt", "un", "never") {
					v = "not " + v
				}
				all = append(all, v)
			}
		}
	}
	if len(all) > 2 || len(all) == 2 && sexSaid[all[1]] != "" {
		return ""
	}
	return strings.Join(all, ", ")
}

// meals is how many meals a day.
func (s *slots) meals(string) string {
	for i := range s.quantities {
		q := &s.quantities[i]
		for k := q.to; k <= q.to+1; k++ {
			if s.any(k, "meal", "meals", "feeds", "bowls") && q.kind == byCount && q.n >= 1 && q.n <= 6 || q.kind == byTimes && q.n <= 6 && s.any(k, "day", "daily") {
				return plain(q.n)
			}
		}
	}
	if i := s.saysAny("twice"); i >= 0 && s.any(i+2, "day") {
		return "2"
	}
	return ""
}

// called is the name that follows a word that announces one.
func (s *slots) called(leads map[string]bool, words int) string {
	for i := range s.folded {
		at := i + 1
		if !leads[s.folded[i]] || s.folded[i] == "name" && !s.any(at, "is", ":") || s.folded[i] == "to" && s.saysAny("rename", "call", "change", "name") < 0 {
			continue
		}
		for s.any(at, "is", ":", "it", "as", "him", "her", "a", "the", "to", "now", "this", "that", "not") {
			at++
		}
		end := at
		for end < len(s.tokens) && end < at+words && s.tokens[end].kind != signToken && (end == at || !s.is(end, nameStops)) {
			end++
		}
		if end > at && s.tokens[at].kind == wordToken {
			return s.span(at, end)
		}
	}
	return ""
}

var nameStops = setOf("she", "shes", "he", "hes", "a", "is", "and", "who", "from", "please", "pls", "with", "in", "for", "not", "now", "recipe", "instead", "aged", "new", "one", "before")

// dogName is the name of a new dog: one that is announced, or the only word
// with a capital that is no other thing.
func (s *slots) dogName(string) string {
	if name := s.called(setOf("called", "named", "name", "call", "calling"), 1); name != "" {
		return title(name)
	}
	name := ""
	for i, t := range s.tokens {
		c := s.text[t.start]
		if t.kind != wordToken || c < 'A' || c > 'Z' || i == 0 || s.known(i) || s.taken[i] || s.any(i-1, ".", "!", "?", "my", "in", "from", "of", "at") || t.end-t.start < 3 || strings.HasSuffix(t.text, "'s") {
			continue
		}
		if name != "" {
			return ""
		}
		name = s.span(i, i+1)
	}
	return name
}

func (s *slots) rename(intent string) string {
	if s.saysAny("rename", "name", "called", "spelled", "spelt", "call") < 0 {
		return ""
	}
	if intent == "recipe.set" {
		return s.called(setOf("called", "named", "to", "call"), 4)
	}
	return title(s.called(setOf("called", "named", "to", "name"), 1))
}

func (s *slots) recipeName(string) string {
	if name := s.called(setOf("called", "named", "name", "as"), 3); name != "" {
		return name
	}
	head := s.text[:max(0, strings.IndexAny(s.text, ":\n"))]
	for _, w := range strings.Fields(fold(head)) {
		if notTitle[w] {
			return ""
		}
	}
	if len(head) < 30 && !strings.ContainsAny(head, "0123456789") {
		return joinFields(head)
	}
	return ""
}

// notTitle are words that no title of a recipe has, but what goes before one.
var notTitle = setOf("new", "recipe", "i", "my", "save", "this", "version", "write", "lets", "here", "heres", "paste", "please", "rec", "send", "add", "want", "make", "for")

// title is a name with its first letter large.
func title(name string) string {
	if name == "" || name[0] < 'a' || name[0] > 'z' {
		return name
	}
	return strings.ToUpper(name[:1]) + name[1:]
}

// place is where somebody lives or is, as typed.
func (s *slots) place(intent string) string {
	for i := range s.folded {
		if !s.any(i, "in", "to", "at", "from") && i > 0 || s.saysAny("in", "to", "at") >= 0 && i == 0 && !s.any(i, "in", "to", "at") {
			continue
		}
		at := i
		if s.any(i, "in", "to", "at", "from") {
			at++
		}
		for end := min(at+3, len(s.tokens)); end > at; end-- {
			if _, err := Zone(s.span(at, end)); err == nil {
				return s.span(at, end)
			}
		}
	}
	return ""
}
