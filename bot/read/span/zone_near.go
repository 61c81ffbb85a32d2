package span

import (
	"cmp"
	"slices"
	"strings"
)

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
			wrong := 1
			if a[i-1] == b[j-1] {
				wrong = 0
			}
			row[j] = min(last[j]+1, row[j-1]+1, last[j-1]+wrong)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				row[j] = min(row[j], before[j-2]+1)
			}
		}
		before, last = last, row
	}
	return last[len(b)]
}
