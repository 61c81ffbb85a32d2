package bot

import (
	"strings"
	"unicode"

	"bowlwright/bot/dogs"
	"bowlwright/bot/read"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
)

// hello greets at the first use and says what the program is not.
func hello(t *talk.Turn) {
	t.Say(say.Para(msg("hello.what")), say.Whole(msg("caution.first-use")), say.Para(msg("hello.next"))).
		Offer(t.Button(msg("button.add-dog"), "dog", "add"), t.Button(msg("button.add-recipe"), "recipe", "add")).
		Offer(t.Button(msg("button.help"), "help"))
}

// help lists what can be typed.
func help(t *talk.Turn) {
	t.Say(say.Para(msg("help.text", t.Examples()...)), say.Waits(msg("help.more", t.Examples()...)), say.Whole(msg("caution.first-use")))
}

// greeting is the most words of a first message that asks for nothing (our own
// choice).
const greeting = 4

// sayLost says that a text was not understood, with what it came nearest to as buttons.
func sayLost(t *talk.Turn, s string) {
	if len(t.Home.Dogs) == 0 && t.Talk.Kind == "" && !strings.HasSuffix(s, "?") && read.SpeaksOfDog(read.ToldOnly(s)) {
		dogs.BeginDog(t, s) // "i want to make food for my dog"
		return
	}
	if t.Newcomer {
		hello(t)
		if len(strings.Fields(s)) > greeting {
			t.LastReply().Begin(msg("hello.lost", "text", say.Short(s)))
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
	t.OfferNearest(t.SayMsg("trouble.not-understood", "text", say.Short(s)), s)
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
	if r := t.Likeliest(s); ofADog[r.Intent] && r.Slots["dog"] == "" {
		return read.StrangeName(s, t.Names())
	}
	return ""
}

// ofADog are intents about one of the household's dogs: a name in them that is
// not known is another dog's.
var ofADog = map[string]bool{"bowl.show": true, "bowl.food": true, "kcal.need": true, "kcal.set": true, "fed.log": true, "fed.ask": true, "fed.part": true, "fed.skip": true,
	"weight.log": true, "weight.show": true, "goal.set": true, "goal.show": true, "growth.show": true, "dog.show": true, "dog.set": true, "treat.log": true, "supp.log": true, "recipe.use": true}
