package span

import (
	"cmp"
	"slices"
	"strings"
	"sync"
	_ "time/tzdata" // every zone that Zone returns can be loaded anywhere

	"bowlwright/bot/read/language"
)

// zones finds a zone by its folded name, by the city in it, or by a place.
// A city that several zones have in their names ("Louisville") is the one
// that stands first; links of the same clock do not matter.
var zones = sync.OnceValue(func() map[string]string {
	all := map[string]string{}
	put := func(place, zone string) {
		if key := placeKey(place); all[key] == "" {
			all[key] = zone
		}
	}
	var named []string
	for _, line := range language.Lines("zones.txt") {
		if place, zone, ok := strings.Cut(line, " = "); ok {
			put(place, zone)
			continue
		}
		all[placeKey(line)] = line
		named = append(named, line)
	}
	// What a place is called goes before the last part of a zone's name, which
	// may be no city ("Australia/West").
	for _, zone := range named {
		if area, rest, ok := strings.Cut(zone, "/"); ok && cityAreas[area] {
			put(zone[strings.LastIndexByte(zone, '/')+1:], zone)
			put(rest, zone)
		}
	}
	return all
})

// cityAreas are the areas whose zones are named for cities and islands.
var cityAreas = language.SetOf("Africa", "America", "Antarctica", "Arctic", "Asia", "Atlantic", "Australia", "Europe", "Indian", "Pacific")

// placeKey is the form in which places are compared: folded, with single
// spaces, and spaces for "_", "-" and marks.
func placeKey(s string) string { return JoinFields(placeMarks.Replace(Fold(s))) }

var placeMarks = strings.NewReplacer("_", " ", "-", " ", ".", " ", ",", " ")

// Zone returns the name in the IANA time zone database of a zone, of a large
// city, or of a country that has one zone. Its errors are Problems with the
// code "unknown-place".
func Zone(s string) (string, error) {
	text, cut := FirstRunes(s, 80)
	if zone := zones()[placeKey(text)]; zone != "" && !cut {
		return zone, nil
	}
	return "", Problem{Text: text, Code: UnknownPlace}
}

// PlaceIn is the zone of a text that is a place, or names where one is: "a
// small village near Cork", "the next city is Munich", "Edinburgh then".
func PlaceIn(s string) (string, error) {
	s, _, _ = strings.Cut(language.Without("place-tail", s), ". ")
	zone, err := Zone(s)
	if found := cmp.Or(zone, placeAfter("place-lead", s), placeAtEnds(s)); found != "" {
		return found, nil
	}
	return "", err
}

// placeAtEnds is the zone of the places that a few words begin or end with:
// "Lisbon Portugal", "same as London". None where these differ ("Paris, Georgia").
func placeAtEnds(s string) string {
	words := strings.Fields(s)
	var all []string
	for n := 1; n < len(words) && len(words) <= 4; n++ {
		for _, part := range [][]string{words[:n], words[n:]} {
			if zone, err := Zone(strings.Join(part, " ")); err == nil {
				all = append(all, zone)
			}
		}
	}
	if len(all) == 0 || slices.ContainsFunc(all, func(zone string) bool { return zone != all[0] }) {
		return ""
	}
	return all[0]
}

// PlaceTold is the zone of the place where somebody says to live; empty where nobody does.
func PlaceTold(s string) string { return placeAfter("lives-lead", s) }

// PlaceSaid is what the place is called where somebody says to live, the whole text where
// it says no such thing; and whether it does.
func PlaceSaid(s string) (name string, said bool) {
	s = strings.Trim(language.Without("place-tail", s), " .,!")
	if at := language.Pattern("lives-lead").FindStringIndex(s); at != nil && at[1] < len(s) {
		return s[at[1]:], true
	}
	return s, false
}

// placeAfter finds a place of up to three words after a lead, a pattern of said.txt.
func placeAfter(lead, s string) string {
	for _, m := range language.Pattern(lead).FindAllStringIndex(s, -1) {
		words := strings.Fields(s[m[1]:])
		for n := min(3, len(words)); n > 0; n-- {
			if zone, err := Zone(strings.Trim(strings.Join(words[:n], " "), " .,!?")); err == nil {
				return zone
			}
		}
	}
	return ""
}

// NearPlaces returns up to k places that Zone knows and whose names come
// nearest to a text, the nearest first; none where nothing comes near.
func NearPlaces(s string, k int) []string {
	text, cut := FirstRunes(s, 80)
	key := placeKey(text)
	if cut || len(key) < 3 {
		return nil
	}
	if at := strings.LastIndexByte(text, '/'); at >= 0 { // "Europe/Olso"
		if city := placeKey(text[at+1:]); len(city) >= 3 {
			key = city
		}
	}
	most := 1 + len(key)/4
	type near struct {
		place string
		far   int
	}
	var all []near
	for place := range zones() {
		if far := editDistance(key, place, most); far <= most && !strings.Contains(place, "/") {
			all = append(all, near{place, far})
		}
	}
	slices.SortFunc(all, func(a, b near) int { return cmp.Or(cmp.Compare(a.far, b.far), cmp.Compare(a.place, b.place)) })
	var out []string
	for _, n := range all[:min(len(all), k)] {
		words := strings.Fields(n.place)
		for i, w := range words {
			words[i] = Capital(w)
		}
		out = append(out, strings.Join(words, " "))
	}
	return out
}

// editDistance counts the letters that are wrong, missing, added or swapped
// with their neighbour between two words; more than most is most+1.
func editDistance(a, b string, most int) int {
	if len(a)-len(b) > most || len(b)-len(a) > most {
		return most + 1
	}
	before, last := []int(nil), make([]int, len(b)+1)
	for j := range last {
		last[j] = j
	}
	for i := 1; i <= len(a); i++ {
		row := make([]int, len(b)+1)
		row[0] = i
		for j := 1; j <= len(b); j++ {
			wrong := Choose(a[i-1] == b[j-1], 0, 1)
			row[j] = min(last[j]+1, row[j-1]+1, last[j-1]+wrong)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				row[j] = min(row[j], before[j-2]+1)
			}
		}
		before, last = last, row
	}
	return last[len(b)]
}
