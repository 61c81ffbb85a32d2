package read

import (
	"slices"
	"strings"

	"bowlwright/bot/read/language"
	"bowlwright/bot/read/span"
)

// Spelled names the dogs and the days that are meant where a text says all but some, so
// that no reader takes those that are left out for what is told: "everyone had breakfast
// but not Fern" is "Pip and Nala had breakfast".
func Spelled(s string, n span.Names) string {
	if strings.Contains(s, "\n") || !language.Says("excepts", s) {
		return s
	}
	s = othersNamed(language.Without("contrast", s), "all-dogs-said", n.Dogs)
	if m := language.Pattern("ate-but").FindStringSubmatch(s); m != nil && len(span.Mentions(m[2], n.Dogs)) == 0 {
		s = m[1] + "left " + m[2] // "ate all but the liver" tells of no liver
	}
	return othersNamed(language.Without("weekend-days", s), "every-day", weekdays)
}

// weekdays are the days of the week by their names.
var weekdays = func() (all []span.Named) {
	for _, name := range language.List("weekdays") {
		all = append(all, span.Named{ID: name, Name: name})
	}
	return all
}()

// othersNamed puts for all of some names those that a text does not leave out, and keeps
// what it tells of these: "Pip and Nala ate, Fern left half".
func othersNamed(s, all string, of []span.Named) string {
	for _, m := range span.Mentions(s, of) {
		_, to, out := rowNamed(s[m.From:], span.Names{Dogs: of})
		lead, tail := s[:m.From], s[m.From+to:]
		denied := language.Pattern("denied-tail").FindString(tail)
		cut := language.Pattern("except-lead").FindStringIndex(lead)
		if cut == nil && (denied != "" || language.Says("is-denied", tail)) {
			cut = language.Pattern("clause-lead").FindStringIndex(lead)
		}
		if cut == nil || language.Says("weak-lead", lead) && !language.Says("but-ends", tail) { // "they ate, but Pip was sick"
			continue
		}
		at := slices.DeleteFunc(language.Pattern(all).FindAllStringIndex(lead[:cut[0]], -1), func(m []int) bool {
			return language.Says("not-dogs", lead[m[1]:]) || strings.HasSuffix(strings.ToLower(lead[:m[0]]), "not ")
		})
		rest := namesOf(slices.DeleteFunc(slices.Clone(of), func(x span.Named) bool { return slices.Contains(out, x.ID) }))
		if len(at) == 0 || len(rest) == 0 {
			continue
		}
		if tail = strings.TrimPrefix(tail, denied); denied == "" && at[0][1] < cut[0] && !language.Says("row-ends", tail) {
			tail = ", " + s[m.From:m.From+to] + strings.TrimPrefix(tail, " who")
		}
		last := len(rest) - 1
		names := strings.TrimPrefix(strings.Join(rest[:last], ", ")+" and "+rest[last], " and ")
		return lead[:at[0][0]] + names + lead[at[0][1]:cut[0]] + tail
	}
	return s
}

// AllBut parts from what a text says of all things those that it leaves out: "pause
// everything but the oil until Friday". Of supplements in general it leaves all in.
func AllBut(s string) (rest, but string) {
	m := language.Pattern("all-things-but").FindStringSubmatch(s)
	if m == nil || language.Says("keeps-doses", s) {
		return s, ""
	}
	return m[1] + m[3], m[2]
}
