package bot

import (
	"cmp"
	"strings"
	"unicode"

	"bowlwright/bot/read"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/bot/weighing"
)

// hello greets at the first use and says what the program is not.
func hello(t *talk.Turn) {
	t.Say(say.Para(msg("hello.what")), say.Para(msg("caution.first-use")), say.Para(msg("hello.next"))).
		Offer(t.Button(msg("button.add-dog"), "dog", "add"), t.Button(msg("button.add-recipe"), "recipe", "add")).
		Offer(t.Button(msg("button.help"), "help"))
}

// help lists what can be typed.
func help(t *talk.Turn) {
	t.Say(say.Para(msg("help.text")), say.Para(msg("caution.first-use")))
}

// greeting is the most words of a first message that asks for nothing (our own
// choice).
const greeting = 4

// sayLost says that a text was not understood, with the two nearest things that are understood.
func sayLost(t *talk.Turn, s string) {
	if t.Newcomer {
		hello(t)
		if len(strings.Fields(s)) > greeting {
			first := &t.Replies[len(t.Replies)-1]
			first.Body = append([]say.Block{say.Para(msg("hello.lost", "text", say.Short(s)))}, first.Body...)
		}
		return
	}
	if name := unknownDog(t, s); name != "" {
		r := t.SayMsg("dog.unknown", "name", name)
		for i := range t.Home.Dogs {
			r.Offer(t.Button(t.Home.Dogs[i].Name, "dog", "show", t.Home.Dogs[i].ID))
		}
		r.Offer(t.Button(msg("button.add-dog"), "dog", "add"))
		return
	}
	if len(t.Home.Dogs) == 0 && len(t.Home.Recipes) == 0 {
		t.SayMsg("trouble.no-dog", "text", say.Short(s)).
			Offer(t.Button(msg("button.add-dog"), "dog", "add"), t.Button(msg("button.add-recipe"), "recipe", "add")).
			Offer(t.Button(msg("button.help"), "help"))
		return
	}
	var lines []string
	for _, e := range read.Nearest(s, 3) {
		if e.Intent == read.DogDied || len(lines) == 2 { // that is guessed at nobody
			continue
		}
		lines = append(lines, "- "+ownNames(t, e.Text))
	}
	t.SayMsg("trouble.not-understood", "text", say.Short(s), "nearest", strings.Join(lines, "\n")).
		Offer(t.Button(msg("button.help"), "help"))
}

// TerminalHint is the first line of a chat in a terminal.
func TerminalHint() string { return msg("hello.terminal") }

// unknownDog returns a word of a sentence that would be understood if it were
// the name of a dog, empty where there is none.
func unknownDog(t *talk.Turn, s string) string {
	words := strings.FieldsFunc(s, func(r rune) bool { return !unicode.IsLetter(r) && r != '-' })
	if len(words) < 2 {
		return ""
	}
	for _, w := range words[:min(len(words), 12)] {
		if len(w) < 2 || !unicode.IsUpper([]rune(w)[0]) {
			continue
		}
		names := t.Names()
		names.Dogs = append(names.Dogs, read.Named{ID: "?", Name: w})
		if got, ok := read.Understand(s, names, t.Home.Units); ok && got.Dog == "?" {
			return w
		}
	}
	return ""
}

// ownNames puts the household's own dog and recipe into an example, which
// speaks of those of the demo world.
func ownNames(t *talk.Turn, example string) string {
	var pairs []string
	if n := len(t.Home.Dogs); n > 0 {
		other := t.Home.Dogs[min(1, n-1)].Name
		d := &t.Home.Dogs[0]
		goal := cmp.Or(d.Ideal, weighing.GoalByScore(t, d), d.Weight)
		pairs = append(pairs, "weight is 19 kg", "weight is "+say.AboutWeight(goal, t.Home.Units), "Juniper 19.4 on", d.Name+" "+say.Trim(float64(d.Weight), 1)+" on",
			"Juniper", d.Name, "Pip", other, "Bracken", other)
	}
	if len(t.Home.Recipes) > 0 {
		pairs = append(pairs, "Turkey and heart", t.Home.Recipes[0].Name, "Rabbit and kale", t.Home.Recipes[0].Name)
	}
	return strings.NewReplacer(pairs...).Replace(example)
}
