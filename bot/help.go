package bot

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"bowlwright/bot/dogs"
	"bowlwright/bot/read"
	"bowlwright/bot/read/span"
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
	t.Say(say.Para(msg("help.text", talk.Examples(t)...)), say.Waits(msg("help.more", talk.Examples(t)...)), say.Whole(msg("caution.first-use")))
}

// greeting is the most words of a first message that asks for nothing (our own
// choice).
const greeting = 4

// sayLost says that a text was not understood, with what it came nearest to as buttons.
func sayLost(t *talk.Turn, s string) {
	if len(t.Home.Dogs) == 0 && t.Talk.Kind == "" && !strings.HasSuffix(s, "?") && read.Says("of-dog", read.ToldOnly(s)) {
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
		talk.OfferDogs(t, t.SayMsg("dog.unknown", "name", name), "dog", "show").Offer(t.Button(msg("button.add-dog"), "dog", "add"))
		return
	}
	if name := unknownRecipe(t, s); name != "" {
		r := t.SayMsg("recipe.unknown-name", "name", say.Short(name))
		for i := range t.Home.Recipes[:min(len(t.Home.Recipes), mostOffered)] {
			r.Offer(t.Button(t.Home.Recipes[i].Name, "recipe", "show", t.Home.Recipes[i].ID))
		}
		r.Offer(t.Button(msg("button.add-recipe"), "recipe", "add"))
		return
	}
	if len(t.Home.Dogs) == 0 && len(t.Home.Recipes) == 0 {
		t.SayMsg("trouble.no-dog", "text", say.Short(s)).
			Offer(t.Button(msg("button.add-dog"), "dog", "add"), t.Button(msg("button.add-recipe"), "recipe", "add")).
			Offer(t.Button(msg("button.help"), "help"))
		return
	}
	talk.OfferNearest(t, t.SayMsg("trouble.not-understood", "text", say.Short(s)), s)
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
		if len(w) < 2 || !unicode.IsUpper([]rune(w)[0]) || read.SaysShe(w) {
			continue
		}
		names := t.Names()
		names.Dogs = append(names.Dogs, span.Named{ID: "?", Name: w})
		if got, ok := read.Understand(s, names, t.Home.Units); ok && got.Dog == "?" {
			return w
		}
	}
	if r := talk.Likeliest(t, s); ofADog[r.Intent] && r.Slots["dog"] == "" {
		return read.StrangeName(s, t.Names())
	}
	return ""
}

// ofADog are intents about one of the household's dogs: a name in them that is
// not known is another dog's.
var ofADog = map[string]bool{"bowl.show": true, "bowl.food": true, "kcal.need": true, "kcal.set": true, "fed.log": true, "fed.ask": true, "fed.part": true, "fed.skip": true,
	"weight.log": true, "weight.show": true, "goal.set": true, "goal.show": true, "growth.show": true, "dog.show": true, "dog.set": true, "treat.log": true, "supp.log": true, "recipe.use": true}

// mostOffered is how many recipes are offered for one that is not there (our own
// choice).
const mostOffered = 5

// unknownRecipe returns words of a sentence that would be understood if they were
// the name of a recipe, "card of Pork pot", unless they are the name of a food.
func unknownRecipe(t *talk.Turn, s string) string {
	words := strings.Fields(strings.TrimRight(s, " .!?"))
	for from := 1; from < min(len(words), 12); from++ {
		for to := from + 1; to <= min(len(words), from+5); to++ {
			name := strings.Trim(strings.Join(words[from:to], " "), `",'.`)
			if !unicode.IsUpper(firstRune(name)) || to == from+1 && words[from-1] != "of" {
				continue
			}
			if found := t.Foods.Find(name); found.Refused != nil || (found.Food != nil || len(found.Choices) > 0) && len(found.Ignored) == 0 {
				continue
			}
			names := t.Names()
			within := func(r span.Named) bool { return strings.Contains(strings.ToLower(name), strings.ToLower(r.Name)) }
			if _, _, dogs := read.DogsNamed(name, names); len(dogs) > 0 || slices.ContainsFunc(names.Recipes, within) {
				continue
			}
			names.Recipes = append(names.Recipes, span.Named{ID: "?", Name: name})
			if got, ok := read.Understand(s, names, t.Home.Units); ok && got.Recipe == "?" {
				return name
			}
		}
	}
	return ""
}

func firstRune(s string) rune {
	r, _ := utf8.DecodeRuneInString(s)
	return r
}

// namesStranger reports that a sentence names a dog or a recipe that is not there.
func namesStranger(t *talk.Turn, s string) bool {
	return !t.Newcomer && (unknownDog(t, s) != "" || unknownRecipe(t, s) != "")
}
