package bot

import (
	"cmp"
	"strings"
	"unicode"

	"bowlwright/bot/read"
)

// hello greets at the first use and says what the program is not.
func (t *turn) hello() {
	t.say(para(msg("hello.what")), para(msg("caution.first-use")), para(msg("hello.next"))).
		offer(t.button(msg("button.add-dog"), "dog", "add"), t.button(msg("button.add-recipe"), "recipe", "add")).
		offer(t.button(msg("button.help"), "help"))
}

// help lists what can be typed.
func (t *turn) help() {
	t.say(para(msg("help.text")), para(msg("caution.first-use")))
}

// sayLost says that a text was not understood, with the two nearest things that are understood.
func (t *turn) sayLost(s string) {
	if t.newcomer {
		t.hello()
		return
	}
	if name := t.unknownDog(s); name != "" {
		r := t.sayMsg("dog.unknown", "name", name)
		for i := range t.home.Dogs {
			r.offer(t.button(t.home.Dogs[i].Name, "dog", "show", t.home.Dogs[i].ID))
		}
		r.offer(t.button(msg("button.add-dog"), "dog", "add"))
		return
	}
	if len(t.home.Dogs) == 0 && len(t.home.Recipes) == 0 {
		t.sayMsg("trouble.no-dog", "text", short(s)).
			offer(t.button(msg("button.add-dog"), "dog", "add"), t.button(msg("button.add-recipe"), "recipe", "add")).
			offer(t.button(msg("button.help"), "help"))
		return
	}
	var lines []string
	for _, e := range read.Nearest(s, 3) {
		if e.Intent == read.DogDied || len(lines) == 2 { // that is guessed at nobody
			continue
		}
		lines = append(lines, "- "+t.ownNames(e.Text))
	}
	t.sayMsg("trouble.not-understood", "text", short(s), "nearest", strings.Join(lines, "\n")).
		offer(t.button(msg("button.help"), "help"))
}

// TerminalHint is the first line of a chat in a terminal.
func TerminalHint() string { return msg("hello.terminal") }

// unknownDog returns a word of a sentence that would be understood if it were
// the name of a dog, empty where there is none.
func (t *turn) unknownDog(s string) string {
	words := strings.FieldsFunc(s, func(r rune) bool { return !unicode.IsLetter(r) && r != '-' })
	if len(words) < 2 {
		return ""
	}
	for _, w := range words[:min(len(words), 12)] {
		if len(w) < 2 || !unicode.IsUpper([]rune(w)[0]) {
			continue
		}
		names := t.names()
		names.Dogs = append(names.Dogs, read.Named{ID: "?", Name: w})
		if got, ok := read.Understand(s, names, t.home.Units); ok && got.Dog == "?" {
			return w
		}
	}
	return ""
}

// ownNames puts the household's own dog and recipe into an example, which
// speaks of those of the demo world.
func (t *turn) ownNames(example string) string {
	var pairs []string
	if n := len(t.home.Dogs); n > 0 {
		other := t.home.Dogs[min(1, n-1)].Name
		d := &t.home.Dogs[0]
		goal := cmp.Or(d.Ideal, t.goalByScore(d), d.Weight)
		pairs = append(pairs, "weight is 19 kg", "weight is "+aboutWeight(goal, t.home.Units), "Juniper 19.4 on", d.Name+" "+trim(float64(d.Weight), 1)+" on",
			"Juniper", d.Name, "Pip", other, "Bracken", other)
	}
	if len(t.home.Recipes) > 0 {
		pairs = append(pairs, "Turkey and heart", t.home.Recipes[0].Name, "Rabbit and kale", t.home.Recipes[0].Name)
	}
	return strings.NewReplacer(pairs...).Replace(example)
}
