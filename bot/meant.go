package bot

import (
	"cmp"
	"strings"

	"bowlwright/bot/day"
	"bowlwright/bot/dogs"
	"bowlwright/bot/household"
	"bowlwright/bot/menu"
	"bowlwright/bot/read"
	"bowlwright/bot/recipes"
	"bowlwright/bot/remind"
	"bowlwright/bot/talk"
	"bowlwright/bot/urgent"
	"bowlwright/bot/weighing"
	"bowlwright/nutrition"
)

// meant answers a reading that no sentence says in full: what is urgent, what
// is said out of courtesy, and by a line what is possible where a capability is
// missing.
func meant(t *talk.Turn, r read.Reading, s string) bool {
	if r.Intent == "chat.none" && t.Alarm(s).Denied {
		r.Intent = "health.signs" // "Pip is not vomiting"
	}
	switch r.Intent {
	case "urgent.ate", "urgent.signs":
		return urgent.Tell(t, s)
	case "health.signs":
		if read.SaysWell(s) {
			if !dogs.SayWell(t, t.Alarm(s).Dogs, s) && !weighing.SaidBeside(t, s) {
				t.SayMsg("urgent.calm")
			}
			break
		}
		return urgent.Watch(t, s)
	case "recipe.add":
		_, fed, ok := recipeWithin(t, s)
		return ok && recipes.TakePasted(t, fed)
	case "set.place":
		return household.PlaceMeant(t, s)
	case "dog.set":
		switch {
		case remind.MedicineWords(t, s):
		case dogs.ClassWords(t, s):
		case read.SaysHealthy(s):
			t.SayMsg("urgent.calm")
		case dogs.Told(t, s, r.Slots["dog"]):
		case read.NewsOfDog(s):
			dogs.BeginDog(t, s)
		case read.NamesDog(s, t.Names()) && dogs.Introduced(t, s):
		case r.InFull() != "" || len(t.Home.Dogs) == 0 || read.IsQuestion(s):
			return false
		default:
			t.GoTo(read.Sentence{Intent: read.EditDog})
		}
	case "dog.add":
		switch {
		case t.Talk.Kind == "dog":
			return false // it is being added
		case len(t.Home.Dogs) == 0:
			dogs.BeginDog(t, s)
		default:
			_, _, named := talk.DogsIn(t, s)
			return len(named) == 1 && !read.NamesDog(s, t.Names()) && dogs.Told(t, s, named[0].Name) || dogs.Introduced(t, s)
		}
	case "fed.other":
		if menu.OtherMeant(t, r.Slots, s) {
			break
		}
		t.SayMsg("meant.fed.other", talk.Examples(t)...)
	case "fed.part":
		d, amount := t.DogNamed(r.Slots["dog"]), nutrition.Grams(0)
		if !read.Says("grams-left", s) {
			_, amount = read.AmountOff(read.FromAmount(s))
		}
		_, part := read.PartEaten(s)
		if d == nil && r.Slots["dog"] == "" {
			d = talk.TheDog(t)
		}
		switch {
		case d != nil && (amount > 0 || part):
			t.GoTo(read.Sentence{Intent: read.AtePart, Dog: d.ID, Grams: amount})
		case d != nil && read.Says("refused-meal", talk.WithoutDogs(t, s)) && day.DueWords(t, "skip "+d.Name):
		default:
			t.SayMsg("meant.fed.part", talk.Examples(t)...)
		}
	case "stool.log":
		a := t.Alarm(s)
		well := a.Well || a.NamesPassed() || read.Says("stool-well", s) // "her tummy is fine again, poo is normal"
		if !(well && !read.IsQuestion(s) && dogs.SayWell(t, a.Dogs, s)) && !menu.AskStool(t, s) {
			t.SayMsg("meant.stool.log")
		}
	case "fare.share":
		t.GoTo(read.Sentence{Intent: read.EatsShares})
	case "fare.meal":
		t.GoTo(read.Sentence{Intent: read.MealIs})
	case "fix.dog":
		if day.OtherDog(t, t.AsTyped()) {
			break
		}
		t.SayMsg("meant.fix.dog", talk.Examples(t)...)
	case "chat.hello":
		courteous(t, read.Greeting, s)
	case "chat.thanks":
		courteous(t, read.Thanks, s)
	case "yes", "no", "apply", "keep":
		courteous(t, read.YesOrNo, s)
	default:
		key := "meant." + r.Intent
		if !words.Has(key) || r.Intent == "chat.none" && len(strings.Fields(s)) < 2 || len(t.Home.Dogs)+len(t.Home.Recipes) == 0 {
			return false
		}
		if strings.HasPrefix(r.Intent, "recipe.") && r.Slots["recipe"] == "" && talk.TypesRecipe(t) {
			t.SayMsg("recipe.first-this")
			break
		}
		t.SayMsg(key, talk.Examples(t)...)
		if r.Intent == "treat.log" { // "some of his chicken"
			t.LastReply().Begin(recipes.Against(t, cmp.Or(t.DogNamed(r.Slots["dog"]), talk.TalkedOf(t)), s))
		}
		weighing.SaidBeside(t, s)
	}
	return true
}

// waits is the name of the question that something due asks.
func waits(t *talk.Turn) string {
	if talk.Suggested(t) {
		return "suggestion"
	}
	return day.Waits(t)
}
