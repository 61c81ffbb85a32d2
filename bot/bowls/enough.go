package bowls

import (
	"cmp"
	"math"
	"strings"

	"bowlwright/bot/dogs"
	"bowlwright/bot/read"
	"bowlwright/bot/recipes"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/planner/portions"
)

// enoughDraft is the question what a cup of a recipe weighs, or what was named.
type enoughDraft struct {
	Dog    string `json:"dog,omitempty"`
	Recipe string `json:"recipe,omitempty"`
	Of     string `json:"of,omitempty"` // "2 scoops", where it is no cup
	Text   string `json:"text"`         // the amounts that were asked about
}

// answerEnough says in a line what some food brings, against what the dog is to get
// a day: "400 g of turkey mix and a cup of rice".
func answerEnough(t *talk.Turn, s read.Sentence) {
	if _, _, named := talk.DogsIn(t, t.AsTyped()); len(named) == 1 {
		s.Dog = named[0].ID // "... enough for Pip"
	}
	talk.OnDog(func(t *talk.Turn, d *planner.Dog, _ read.Sentence) { sayEnough(t, d, talk.WithoutDogs(t, t.AsTyped())) })(t, s)
}

// aboutRight is by how much of a day's kcal an amount may differ and be called right
// (our own choice: kcal of foods and needs of dogs are not known better).
const aboutRight = 0.1

func sayEnough(t *talk.Turn, d *planner.Dog, text string) {
	if dogs.Held(t, d) {
		return
	}
	parts := read.Servings(text)
	if len(parts) == 0 {
		t.SayMsg("enough.how", talk.Examples(t)...)
		return
	}
	var names []string
	sum := nutrition.Exactly(0)
	for _, p := range parts {
		s, refused, ok := serving(t, d, p, text)
		switch {
		case refused != nil:
			recipes.SayRefused(t, refused)
			return
		case !ok:
			return
		}
		names = append(names, say.Mass(s.Grams, t.Home.Units)+" "+s.Name)
		sum = sum.Plus(s.Energy)
	}
	n, part := planner.AmountOf(*d, t.Event.At), ""
	for _, f := range planner.FareOn(t.Home, d.ID, t.Date()) { // beside which it eats something else
		if len(names) == 1 && strings.HasSuffix(names[0], " "+f.Recipe.Name) && f.Share() < 1 {
			n.Kcal *= nutrition.Kcal(f.Share())
			part = msg("enough.part", "recipe", f.Recipe.Name, "share", say.Percent(f.Share()), "dog", d.Name)
		}
	}
	share := sum.Mid / float64(n.Kcal)
	off := nutrition.Kcal(math.Abs(sum.Mid - float64(n.Kcal)))
	args := []any{"what", say.List(names), "kcal", say.KcalRange(sum), "share", say.Percent(share), "dog", d.Name, "day", say.Kcal(n.Kcal), "off", say.Kcal(off)}
	first := say.Choose(share > 1+aboutRight, msg("enough.much", args...), msg("enough.right", args...))
	if share < 1-aboutRight {
		first = msg("enough.little", args...)
	}
	out := t.Say(say.Para(say.JoinParas(first, part)), say.Whole(dogs.GateText(*d, n))).Offer(t.Button(msg("button.bowl"), "bowl", "dog", d.ID))
	if all := nutrition.Kcal(math.Round(sum.Mid)); part == "" && !read.IsQuestion(t.AsTyped()) && math.Abs(share-1) > aboutRight {
		out.Offer(t.Button(msg("button.enough-set", "dog", d.Name, "kcal", say.Kcal(all)), "kcal", "set", d.ID, say.Trim(float64(all), 0)))
	}
}

// serving is one amount of food: of a recipe, or of a food of the table. It asks or
// says what is wrong where it cannot be told.
func serving(t *talk.Turn, d *planner.Dog, part, text string) (s recipes.Serving, refused *nutrition.Refusal, ok bool) {
	name, grams := read.AmountOff(part)
	count, measure, food := 0.0, "", name
	if of, ladled := read.LadleOff(part); ladled {
		askWeighs(t, enoughDraft{Dog: d.ID, Of: of, Text: text})
		return s, nil, false
	}
	if grams == 0 {
		food, count, measure, _ = read.MeasureOff(part)
	}
	r := cmp.Or(t.RecipeNamed(food), t.RecipeSaid(strings.TrimPrefix(strings.ToLower(food), "the ")))
	if r == nil && (food == "" || read.Says("home-food", food)) {
		id, _ := planner.RecipeOn(t.Home, d.ID, t.Date())
		r = cmp.Or(t.Recipe(id), talk.TheRecipe(t, d))
	}
	if r == nil {
		if s, ok = cookedServing(t, part); !ok {
			s, refused, ok = recipes.ServingOf(t, part)
		}
		if !ok && refused == nil {
			t.SayMsg("enough.unknown", "what", say.Short(part))
		}
		return s, refused, ok
	}
	if grams == 0 {
		cups := count * cupsIn[measure]
		switch {
		case cups == 0:
			t.SayMsg("enough.unit", "what", say.Short(part), "recipe", r.Name)
			return s, nil, false
		case r.Cup <= 0:
			askWeighs(t, enoughDraft{Dog: d.ID, Recipe: r.ID, Text: text})
			return s, nil, false
		}
		grams = r.Cup * nutrition.Grams(cups)
	}
	sum, err := planner.TotalsOf(*r, t.Foods)
	if err != nil || sum.Grams <= 0 || !(sum.Energy.Mid > 0) {
		t.Say(say.Para(recipes.RecipeEnergy(t, r, sum)))
		return s, nil, false
	}
	raw, cooked := recipes.Raw(t, r, grams)
	return recipes.Serving{Name: r.Name + say.Where(cooked, msg("enough.cooked")), Grams: grams, Energy: sum.Energy.Times(float64(raw / sum.Grams))}, nil, true
}

// cookedServing takes a food that may be raw or cooked as cooked: it is in a bowl.
func cookedServing(t *talk.Turn, part string) (recipes.Serving, bool) {
	got := t.RecipeText(part)
	if len(got.Problems) != 1 {
		return recipes.Serving{}, false
	}
	for _, f := range t.Foods.Find(got.Problems[0].Part).Choices {
		if f.Has(nutrition.Cooked) {
			s, _, ok := recipes.ServingOf(t, strings.Replace(part, got.Problems[0].Part, f.Name, 1))
			return s, ok
		}
	}
	return recipes.Serving{}, false
}

// cupsIn is how many cups a measure is: 16 tablespoons, 48 teaspoons (US customary
// measures, by definition).
var cupsIn = map[string]float64{"cup": 1, "tbsp": 1.0 / 16, "tsp": 1.0 / 48}

// askWeighs asks what a cup weighs, or so many scoops.
func askWeighs(t *talk.Turn, d enoughDraft) {
	t.Ask("enough", "cup", d)
	t.SayMsg(say.Choose(d.Of != "", "enough.ask-weight", "enough.ask-cup"), "what", d.Of, "recipe", talk.RecipeName(t, d.Recipe)).Offer(t.StopButton())
}

// enoughDialogue takes what that weighs, and answers what was asked.
func enoughDialogue(t *talk.Turn, d enoughDraft, in talk.Answer) {
	r, dog := t.Recipe(d.Recipe), t.Dog(d.Dog)
	if r == nil && d.Of == "" || dog == nil {
		t.Gone()
		return
	}
	if is, ok := t.Understand(in.Text); ok && in.Press == "" && (is.Intent == read.EnoughAsked || is.Intent == read.CupWeighs && d.Of != "") && t.Aside(in.Text) {
		return // another question
	}
	grams := read.WeighsTogether(in.Text, d.Of)
	if d.Of != "" && grams <= 0 || d.Of == "" && !likelyCup(grams) {
		if !t.Aside(in.Text) {
			talk.Wrong(t, say.Choose(d.Of != "", "", msg("cup.odd", "text", say.Short(in.Value()))), func() { askWeighs(t, d) })
		}
		return
	}
	t.EndDialogue()
	if d.Of != "" {
		sayEnough(t, dog, strings.Replace(d.Text, d.Of, say.Mass(grams, planner.Units{}), 1))
		return
	}
	t.Mutate("did.cup", r.Name)
	r.Cup = grams
	sayEnough(t, dog, d.Text)
	t.LastReply().Offer(t.UndoButton())
}

// likelyCup reports that a cup, some 240 ml, can weigh so much: from puffed grain to
// something denser than water (our own choice).
func likelyCup(g nutrition.Grams) bool { return g >= 30 && g <= 400 }

// cupsText says how many cups a bowl is, where it is asked in cups.
func cupsText(t *talk.Turn, r *planner.Recipe, b portions.Bowl, meals int) string {
	cups := func(g nutrition.Grams) string { return say.Trim(float64(g/r.Cup), 1) }
	switch {
	case !read.Says("in-cups", t.AsTyped()):
		return ""
	case r.Cup <= 0:
		return msg("bowl.no-cups", "recipe", r.Name)
	}
	return msg("bowl.cups", "day", cups(b.Day), "meal", say.Where(meals > 1, msg("bowl.cups-meal", "meal", cups(b.Day/nutrition.Grams(meals)))))
}

// answerCup keeps what a cup of a recipe weighs.
func answerCup(t *talk.Turn, r *planner.Recipe, s read.Sentence) {
	cups := s.Count * cupsIn[s.Measure]
	if cups == 0 {
		t.SayMsg("cup.how", "recipe", r.Name)
		return
	}
	cup := s.Grams / nutrition.Grams(cups)
	if !likelyCup(cup) {
		t.SayMsg("cup.odd", "text", say.Mass(s.Grams, t.Home.Units))
		return
	}
	t.Mutate("did.cup", r.Name)
	t.Talk.Recipe, r.Cup = r.ID, cup
	t.SayMsg("cup.kept", "recipe", r.Name, "grams", say.Mass(cup, t.Home.Units)).Offer(t.UndoButton())
}
