package slots

import (
	"cmp"
	"slices"
	"strings"

	"bowlwright/bot/read/foodline"
	"bowlwright/bot/read/language"
	"bowlwright/bot/read/span"
)

// named is the phrase of some kinds that a text has, or those in a row where
// several may be meant.
func (s *Found) named(kinds string, several bool) string {
	var all []string
	for _, p := range s.phrases(kinds) {
		if v := strings.TrimPrefix(p.value, "the "); !language.In("vague-words", v) && !strings.HasSuffix(v, " of") && !slices.Contains(all, v) && !s.Any(p.to, "recipe", "mix", "one") {
			all = append(all, v)
		}
	}
	if len(all) > 1 && !several || len(all) > 3 {
		return ""
	}
	return strings.Join(all, ", ")
}

func (s *Found) food(string) string  { return s.named("food-kinds", true) }
func (s *Found) breed(string) string { return s.named("breed-kinds", false) }

func (s *Found) supp(string) string {
	if v := s.named("supp-kinds", false); v != "" {
		if rest, ok := strings.CutPrefix(v, "vit "); ok {
			return "vitamin " + rest
		}
		return v
	}
	if v := s.named("food-kinds", false); v != "" {
		return v
	}
	if i := s.saysAny("tablet", "tablets", "tab", "tabs", "pill", "pills", "powder", "drops", "syrup", "capsules", "caps", "sachet"); i >= 0 {
		return cmp.Or(map[string]string{"tabs": "tablets", "caps": "capsules"}[s.Word(i)], s.Word(i))
	}
	return ""
}

// nutrient is the nutrient that is named, alone.
func (s *Found) nutrient(string) (value string) {
	l := span.WordsOf(s.Text)
	for at := 0; at < len(l.Tokens); at++ {
		if _, end := foodline.SubjectAt(l, at); end > 0 {
			v := strings.ToLower(l.Span(at, end))
			if value != "" && value != v {
				return ""
			}
			value, at = v, end-1
		}
	}
	return value
}

// part is how much of a meal was eaten.
func (s *Found) part(string) string {
	left := span.Choose(s.saysAny("left", "leaves", "leaving", "remaining", "remains", "leave") >= 0, " left", "")
	if q := s.one(byShare); q != nil {
		return q.text() + left
	}
	low := strings.ToLower(s.Text)
	if all := span.Shares(low); len(all) > 0 {
		return strings.TrimPrefix(strings.TrimPrefix(low[all[0].From:all[0].To], "a "), "one ") + left
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
func (s *Found) who(string) string {
	if len(s.carers) > 0 {
		if slices.ContainsFunc(s.carers, func(m mention) bool { return m.value != s.carers[0].value }) {
			return ""
		}
		return s.carers[0].value
	}
	v := s.named("family-kinds", false)
	for _, p := range s.phrases("shared-kinds") {
		if _, who, ok := strings.Cut(p.value, "my "); ok && v == "" {
			v = who
		}
	}
	for _, of := range []string{"my ", "our ", "the "} {
		v = strings.TrimPrefix(v, of)
	}
	return v
}

// by is whose word it is.
func (s *Found) by(string) string {
	return span.Choose(s.saysAny("vet", "vets", "doctor", "doc", "dr", "nutritionist") >= 0, "vet", "")
}

// age is a span of years, months or weeks that a dog has lived.
func (s *Found) age(intent string) string {
	for i := range s.quantities {
		q := &s.quantities[i]
		if q.kind != bySpan || q.unit == "day" || q.unit == "fortnight" || q.unit == "hour" || q.unit == "minute" || s.Any(q.from-1, "in", "for", "every", "over", "last") || s.Word(q.to) == "ago" {
			continue
		}
		if intent != "dog.set" || q.unit == "year" || s.Word(q.to) == "old" || s.saysAny("old", "age", "aged", "turned", "turns") >= 0 {
			return q.text()
		}
	}
	if q := s.one(span.ByCount); intent == "dog.add" && q != nil && s.has(span.ByMass) && q.n < 17 && q.n >= 1 && q.n == float64(int(q.n)) {
		return (&quantity{n: q.n, unit: "year", kind: bySpan}).text()
	}
	return ""
}

// sexSaid and doneSaid are words for the sex of a dog and for what was done to it.
var sexSaid, doneSaid = language.Kinds[string]("sex-said"), language.Kinds[string]("done-said")

func (s *Found) sex(string) string {
	var all []string
	for _, said := range []map[string]string{sexSaid, doneSaid} {
		for i := range s.Tokens {
			w := s.Word(i)
			if v := said[w]; v != "" && !s.taken[i] && !slices.Contains(all, v) {
				if s.Any(i-1, "not", "isnt", "un", "never") {
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
func (s *Found) meals(string) string {
	for i := range s.quantities {
		q := &s.quantities[i]
		for k := q.to; k <= q.to+1; k++ {
			if s.Any(k, "meal", "meals", "feeds", "bowls") && q.kind == span.ByCount && q.n >= 1 && q.n <= 6 || q.kind == byTimes && q.n <= 6 && s.Any(k, "day", "daily") {
				return span.Plain(q.n)
			}
		}
	}
	if i := s.saysAny("twice"); i >= 0 && s.Any(i+2, "day") {
		return "2"
	}
	return ""
}

// called is the name that follows a word that announces one.
func (s *Found) called(words int, leads ...string) string {
	for i := range s.Tokens {
		at := i + 1
		if !slices.Contains(leads, s.Word(i)) || s.Word(i) == "name" && !s.Any(at, "is", ":") || s.Word(i) == "to" && s.saysAny("rename", "call", "change", "name") < 0 {
			continue
		}
		at = s.AfterAll(at, "is", ":", "it", "as", "him", "her", "a", "the", "to", "now", "this", "that", "not")
		end := at
		for end < len(s.Tokens) && end < at+words && s.Tokens[end].Kind != span.SignToken && (end == at || !s.is(end, "name-stops")) {
			end++
		}
		if end > at && s.Tokens[at].Kind == span.WordToken {
			return s.Span(at, end)
		}
	}
	return ""
}

// dogName is the name of a new dog: one that is announced, or the only word
// with a capital that is no other thing.
func (s *Found) dogName(string) string {
	if name := s.called(1, "called", "named", "name", "call", "calling"); name != "" {
		return span.Capital(name)
	}
	name := ""
	for i, t := range s.Tokens {
		c := s.Text[t.Start]
		if t.Kind != span.WordToken || c < 'A' || c > 'Z' || i == 0 || s.known(i) || s.taken[i] || s.Any(i-1, ".", "!", "?", "my", "in", "from", "of", "at") || t.End-t.Start < 3 || strings.HasSuffix(s.Span(i, i+1), "'s") {
			continue
		}
		if name != "" {
			return ""
		}
		name = s.Span(i, i+1)
	}
	return name
}

func (s *Found) rename(intent string) string {
	if s.saysAny("rename", "name", "called", "spelled", "spelt", "call") < 0 {
		return ""
	}
	if intent == "recipe.set" {
		return s.called(4, "called", "named", "to", "call")
	}
	return span.Capital(s.called(1, "called", "named", "to", "name"))
}

func (s *Found) recipeName(string) string {
	if name := s.called(3, "called", "named", "name", "as"); name != "" {
		return name
	}
	head := s.Text[:max(0, strings.IndexAny(s.Text, ":\n"))]
	for _, w := range strings.Fields(span.Fold(head)) {
		if language.In("not-title", w) {
			return ""
		}
	}
	if len(head) < 30 && !strings.ContainsAny(head, "0123456789") {
		return span.JoinFields(head)
	}
	return ""
}

// place is where somebody lives or is, as typed.
func (s *Found) place(intent string) string {
	for i := range s.Tokens {
		at := s.After(i, "in", "to", "at", "from")
		if at == i && (i > 0 || s.saysAny("in", "to", "at") >= 0) {
			continue
		}
		for end := min(at+3, len(s.Tokens)); end > at; end-- {
			if _, err := span.Zone(s.Span(at, end)); err == nil {
				return s.Span(at, end)
			}
		}
	}
	return ""
}
