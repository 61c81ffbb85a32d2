package talk

import (
	"cmp"
	"slices"
	"strings"

	"bowlwright/bot/read"
	"bowlwright/bot/read/alarm"
	"bowlwright/bot/read/foodline"
	"bowlwright/bot/read/span"
	"bowlwright/bot/say"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// readings are the texts that were read in a turn, as the household's names and foods
// stand: a dozen rooms ask what the same text says. What was read is not changed.
type readings struct {
	names     span.Names
	units     planner.Units
	foods     *nutrition.Table
	sentences map[string]understood
	alarms    map[string]alarm.Alarm
	recipes   map[string]foodline.Recipe
}

// understood is what Understand answers.
type understood struct {
	sentence read.Sentence
	ok       bool
}

// once reads a text that is not known yet.
func once[V any](known map[string]V, s string, reads func() V) V {
	got, ok := known[s]
	if !ok {
		got = reads()
		known[s] = got
	}
	return got
}

// Understand reads what was typed as a sentence.
func (t *Turn) Understand(s string) (read.Sentence, bool) {
	r := t.readings()
	got := once(r.sentences, s, func() (u understood) {
		u.sentence, u.ok = read.Understand(s, r.names, r.units)
		return u
	})
	return got.sentence, got.ok
}

// Alarm is what a text tells of signs and dangers.
func (t *Turn) Alarm(s string) alarm.Alarm {
	r := t.readings()
	return once(r.alarms, s, func() alarm.Alarm { return alarm.In(s, r.names) })
}

// RecipeText is what a text says as the lines of a recipe.
func (t *Turn) RecipeText(s string) foodline.Recipe {
	r := t.readings()
	return once(r.recipes, s, func() foodline.Recipe { return foodline.RecipeText(s, r.foods) })
}

// readings are those of the names and foods as they stand; a dog or a recipe that comes,
// goes or is renamed changes what a text says.
func (t *Turn) readings() *readings {
	n, u, was := t.Names(), t.Home.Units, t.read.names
	same := slices.Equal(was.Dogs, n.Dogs) && slices.Equal(was.Recipes, n.Recipes) && slices.Equal(was.Foods, n.Foods) && slices.Equal(was.Given, n.Given)
	if t.read.alarms == nil || !same || u != t.read.units || t.Foods != t.read.foods {
		t.read = readings{n, u, t.Foods, map[string]understood{}, map[string]alarm.Alarm{}, map[string]foodline.Recipe{}}
	}
	return &t.read
}

// Names are the household's dogs and recipes for reading sentences.
func (t *Turn) Names() span.Names {
	return span.Names{
		Dogs:    say.Each(t.Dogs(), t.named),
		Recipes: say.Each(t.Recipes(), func(r *planner.Recipe) span.Named { return span.Named{ID: r.ID, Name: r.Name} }),
		Foods:   say.Each(within(t.Home.Foods), func(f *nutrition.Food) span.Named { return span.Named{ID: f.Key, Name: f.Name} }),
		Given:   t.given(),
	}
}

// given is what dogs are given by their reminders and the notes on their health.
func (t *Turn) given() (all []span.Named) {
	for _, r := range t.Home.Reminders {
		if r.Kind == planner.NoteReminder && !r.Off {
			all = append(all, span.Named{ID: r.Dog, Name: r.Text})
		}
	}
	for _, d := range t.Home.Dogs {
		if d.Health != "" && !read.Says("against-medicine", d.Health) { // "allergic to paracetamol"
			all = append(all, span.Named{ID: d.ID, Name: d.Health})
		}
	}
	return all
}

func (t *Turn) named(d *planner.Dog) span.Named {
	growing := func(d *planner.Dog) bool { return planner.Growing(*d, t.Event.At) }
	other := func(o *planner.Dog) bool { return o.ID != d.ID && growing(o) }
	return span.Named{ID: d.ID, Name: d.Name, Pup: growing(d) && len(t.Home.Dogs) > 1 && !slices.ContainsFunc(t.Dogs(), other)}
}

// Sentence answers a sentence, and reports whether it was one.
func Sentence(t *Turn, s string) bool {
	got, ok := t.Understand(s)
	if (!ok || forMany[got.Intent] || got.Intent == read.AteBeside || t.reg.Together[got.Intent] != nil) && got.Weight == 0 && t.manyDogs(s) {
		return true
	}
	if ok && got.Dog == "" && forMany[got.Intent] && got.Intent != read.FedAsked && len(t.Home.Dogs) > 1 && (read.SaysThem(t.AsTyped()) || got.Intent == read.TreatsLeft && !read.SaysShe(t.AsTyped())) {
		for _, d := range t.Dogs()[:min(len(t.Home.Dogs), mostDogs)] {
			got.Dog = d.ID
			t.GoTo(got)
		}
		return true
	}
	if !ok || got.Intent == read.RenameDog && (len(t.Home.Dogs) == 0 || strings.ContainsAny(got.Words, ",0123456789")) { // "his name is Rex, 20 kg" tells of a new dog
		return false
	}
	if t.doubtful(s) {
		return true
	}
	if got.Weight > 0 && t.reg.hears.Ill(t, got) { // whatever is asked of such a dog
		return true
	}
	do, ok := t.reg.Answers[got.Intent]
	if ok {
		do(t, got)
	}
	return ok
}

// Who returns the dog that a sentence means: named, described in words, or
// the one under discussion. Where it is not clear it asks and reports false.
func (t *Turn) Who(s read.Sentence, verb string) (d *planner.Dog, described bool, ok bool) {
	switch {
	case s.Weight > 0:
		return nil, true, true
	case t.Dog(s.Dog) != nil:
		return t.Dog(s.Dog), false, true
	case TalkedOf(t) != nil:
		return TalkedOf(t), false, true
	case len(t.Home.Dogs) == 0:
		NoDog(t)
		return nil, false, false
	}
	OfferDogs(t, t.SayMsg("who.which"), verb, "dog")
	return nil, false, false
}

// RecipeMeant is the recipe a sentence means; where it is not clear it says
// so and returns nil.
func RecipeMeant(t *Turn, s read.Sentence) *planner.Recipe {
	r := cmp.Or(t.Recipe(s.Recipe), TheRecipe(t, t.Dog(s.Dog)))
	switch {
	case t.Recipe(s.Recipe) == nil && TypesRecipe(t):
		t.SayMsg("recipe.first-this") // "is it complete" of the one that is typed
	case r != nil:
		return r
	case len(t.Home.Recipes) == 0:
		t.SayMsg("scale.no-recipe").Offer(t.Button(msg("button.add-recipe"), "recipe", "add"))
	default:
		t.GoTo(read.Sentence{Intent: read.ListRecipes})
	}
	return nil
}

// TypesRecipe reports that a new recipe is being typed.
func TypesRecipe(t *Turn) bool {
	isNew := t.reg.Forms[t.Talk.Kind].Portable
	return t.Talk.Kind == "recipe" && isNew != nil && isNew(t.Talk.Draft)
}

// OnDog answers a sentence about a dog of the household: the one named, or
// the one under discussion.
func OnDog(do func(*Turn, *planner.Dog, read.Sentence)) func(*Turn, read.Sentence) {
	return func(t *Turn, s read.Sentence) {
		d := DogMeant(t, s)
		if d == nil {
			WhichDog(t)
			return
		}
		t.Talk.Dog = d.ID
		do(t, d, s)
	}
}

// Asked answers a sentence that says nothing more than which dog it is about.
func Asked(do func(*Turn, *planner.Dog)) func(*Turn, read.Sentence) {
	return OnDog(func(t *Turn, d *planner.Dog, _ read.Sentence) { do(t, d) })
}

// OnRecipe answers a sentence about a recipe of the household.
func OnRecipe(do func(*Turn, *planner.Recipe, read.Sentence)) func(*Turn, read.Sentence) {
	return func(t *Turn, s read.Sentence) {
		if r := RecipeMeant(t, s); r != nil {
			do(t, r, s)
		}
	}
}

// forMany are the sentences that may be said of several dogs at once.
var forMany = map[read.Intent]bool{read.BowlAmount: true, read.EnergyNeed: true, read.FoodAmount: true, read.NutrientAmount: true, read.ShowDog: true, read.Fed: true, read.AtePart: true, read.FedAsked: true, read.TreatsLeft: true, read.EatsRecipe: true,
	read.ShowWeight: true, read.ShowTrend: true, read.ListWeighIns: true, read.FedAway: true, read.EatsNot: true,
	read.DogMeals: true, read.DogActivity: true, read.DogCondition: true, read.GoalHold: true, read.GoalLose: true, read.GoalGain: true, read.Analyse: true, read.EnoughAsked: true}

// mostDogs is how many dogs one sentence is answered for (our own choice).
const mostDogs = 6

// manyDogs answers a sentence that names several dogs ("how much for Juniper
// and Bracken?"), or all, for each of them, and reports whether it was one.
func (t *Turn) manyDogs(s string) bool {
	from, to, dogs := DogsIn(t, s)
	if len(dogs) < 2 || len(dogs) > mostDogs || read.Says("bare-decimal", s) { // "fed Pip and Fern, Pip 14.2"
		return t.eachClause(s)
	}
	asked, rest := make([]read.Sentence, len(dogs)), s[to:]
	if from == 0 {
		rest = read.Without("of-several", rest)
	}
	for i, d := range dogs {
		got, ok := t.Understand(s[:from] + d.Name + rest)
		if !ok || !forMany[got.Intent] && t.reg.Together[got.Intent] == nil || got.Dog != d.ID {
			return false
		}
		asked[i] = got
	}
	if do := t.reg.Together[asked[0].Intent]; do != nil {
		if asked[0].Words == "" && asked[0].Days == 0 {
			return false
		}
		do(t, dogs, asked[0])
		return true
	}
	for _, q := range asked {
		t.GoTo(q)
	}
	return true
}

// eachClause answers clauses that each say what may be said of many dogs, each of another or
// something else: "Juniper 280 g a day, Bracken 400 g a day", "430 kcal for Juniper and no
// Lamb mix for her". It reports whether a text was that.
func (t *Turn) eachClause(s string) bool {
	clauses := read.Pattern("clause-end").Split(s, -1)
	asked, said := make([]read.Sentence, len(clauses)), map[string]bool{}
	for i, clause := range clauses {
		asked[i], _ = t.Understand(strings.TrimSpace(clause))
		if d := t.eater(asked[i].Recipe); asked[i].Intent == read.EnoughAsked && asked[i].Dog == "" && d != nil {
			asked[i].Dog = d.ID
		}
		if i > 0 && asked[i].Dog == "" && read.SaysShe(clause) {
			asked[i].Dog = asked[i-1].Dog
		}
		of, kcal := string(asked[i].Intent)+asked[i].Dog, asked[i].Intent == read.DogKcal || asked[i].Intent == read.VetKcal
		if !forMany[asked[i].Intent] && !kcal || t.Dog(asked[i].Dog) == nil || said[of] {
			return false
		}
		said[of] = true
	}
	for i := 0; len(said) > 1 && i < len(asked); i++ {
		t.Event.Text = clauses[i]
		t.GoTo(asked[i])
	}
	return len(said) > 1
}

// DogsIn finds where a text names dogs in a row.
func DogsIn(t *Turn, s string) (from, to int, dogs []*planner.Dog) {
	from, to, ids := read.DogsNamed(s, t.Names())
	return from, to, say.Each(ids, t.Dog)
}

// WithoutDogs is a text without the names of dogs in it.
func WithoutDogs(t *Turn, s string) string {
	if from, to, named := DogsIn(t, s); len(named) > 0 {
		return s[:from] + s[to:]
	}
	return s
}

// doubtful asks what a number means that can be read in two ways.
func (t *Turn) doubtful(s string) bool {
	grams := read.Find("doubtful-grams", s)
	if grams != "" {
		t.SayMsg("doubt.point", "text", grams)
	}
	return grams != ""
}
