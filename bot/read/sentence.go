package read

import (
	"math/bits"

	"bowlwright/nutrition"
	"bowlwright/planner"
)

// Intent is what a sentence asks for.
type Intent string

// The intents. Their wordings stand in sentences.txt.
const (
	BowlAmount     Intent = "bowl-amount"     // how much of a recipe a dog gets: Dog or Weight, Recipe
	NutrientAmount Intent = "nutrient-amount" // how much of a nutrient a recipe has: Nutrient, Recipe, Dog
	FoodAmount     Intent = "food-amount"     // how much of one food a dog gets: Food, Dog or Weight, Recipe
	FedAsked       Intent = "fed-asked"       // whether, when and by whom a dog was fed: Dog; the day is for DayAsked
	AtePart        Intent = "ate-part"        // a dog left a part of its meal: Dog; the part is for PartEaten
	GivenAsked     Intent = "given-asked"     // the same of a supplement: Food, Dog
	TreatsLeft     Intent = "treats-left"     // how many kcal of treats a dog may have: Dog
	EnergyNeed     Intent = "energy-need"     // what a dog needs: Dog or Weight
	Today          Intent = "today"           // the bowls of the day, of every dog
	Tomorrow       Intent = "tomorrow"        // the bowls of the next day: Dog, or of every dog
	ShowSwitch     Intent = "show-switch"     // how far a change of food is
	Week           Intent = "week"            // what falls due in the coming days
	Fed            Intent = "fed"             // a dog was fed: Dog, Words: at what time, as typed, for Clocks
	RecipeContents Intent = "recipe-contents" // what is in a recipe: Recipe
	RecipeEnergy   Intent = "recipe-energy"   // kcal of a recipe: Recipe, Grams where an amount is named
	FoodEnergy     Intent = "food-energy"     // kcal of a food: Food, and Grams, or Count of Measure, where named
	MakeDays       Intent = "make-days"       // food for some days: Days, Recipe, Dog or Weight
	ScaleRecipe    Intent = "scale-recipe"    // Recipe, and one of Grams, Kcal, Factor, Dog, Weight
	HaveFood       Intent = "have-food"       // so much of a food is there: Food, Grams or Count, Recipe
	CanEat         Intent = "can-eat"         // whether dogs may have a food: Food, FoodList, Dog
	HasEaten       Intent = "has-eaten"       // a dog has eaten something, urgent: Food, FoodList, Dog
	Analyse        Intent = "analyse"         // whether a recipe is complete: Recipe, Dog
	Balance        Intent = "balance"         // make a recipe complete: Recipe
	Swap           Intent = "swap"            // replace a food: Food, Recipe, Dog; FoodList is [out, in] where both are named
	Export         Intent = "export"          // everything as a file
	ExportCalendar Intent = "export-calendar" // what falls due as a file
	ExportWeights  Intent = "export-weights"  // weigh-ins as a file: Dog
	ExportRecipe   Intent = "export-recipe"   // a recipe as a file: Recipe
	Undo           Intent = "undo"
	Help           Intent = "help"
	ShowDog        Intent = "show-dog"
	AddDog         Intent = "add-dog"
	EditDog        Intent = "edit-dog" // Dog
	AddRecipe      Intent = "add-recipe"
	ListDogs       Intent = "list-dogs"
	ListRecipes    Intent = "list-recipes"
	ShowSettings   Intent = "show-settings"
	SetZone        Intent = "set-zone"        // Words: the place as typed, for Zone
	SetUnits       Intent = "set-units"       // Words: "metric", "imperial", "g", "oz", "kg" or "lb"
	DogWeight      Intent = "dog-weight"      // Dog, Weight
	DogActivity    Intent = "dog-activity"    // Dog, Activity
	DogCondition   Intent = "dog-condition"   // Dog, Condition
	DogKcal        Intent = "dog-kcal"        // what a dog gets a day: Dog; Kcal, or Factor times what it gets now
	VetKcal        Intent = "vet-kcal"        // the same, by a vet's word
	DogMeals       Intent = "dog-meals"       // Dog, Count: meals a day, as typed
	DogStage       Intent = "dog-stage"       // Dog, Stage
	LitterDue      Intent = "litter-due"      // Dog, Words: the day on which pups are due, as typed
	LitterMated    Intent = "litter-mated"    // Dog, and Words: when it was mated, or Days: how long ago
	LitterBorn     Intent = "litter-born"     // Dog; Count, pups; Words: when they were born, empty for today
	LitterNursed   Intent = "litter-nursed"   // Dog; Count, pups; Factor: the week of nursing, or Days since they were born
	LitterWeaned   Intent = "litter-weaned"   // Dog, none where only the pups are named
	AddLines       Intent = "add-lines"       // Words: recipe lines as typed, for RecipeText; Recipe
	Lasts          Intent = "lasts"           // for how many days an amount is enough: Grams, Recipe, Dog
	Storing        Intent = "storing"         // how long food keeps
	RawAsked       Intent = "raw-asked"       // whether food may be fed raw
	HouseRecipes   Intent = "house-recipes"   // those that come with the program
	SetVet         Intent = "set-vet"         // the vet's telephone number: Words, empty where it is to be asked or forgotten
	SetClinic      Intent = "set-clinic"      // the same of an emergency clinic
	SetPoisonLine  Intent = "set-poison-line" // the same of an animal poison line
	Leave          Intent = "leave"           // all data is to be deleted
	DogDied        Intent = "dog-died"        // a dog has died
	AskCarers      Intent = "carers"          // how others come to the household
	WhoAreYou      Intent = "who-are-you"
	EatsRecipe     Intent = "eats-recipe"   // a dog eats another recipe from now on: Dog, Recipe
	SetLine        Intent = "set-line"      // a food of a recipe gets another amount: Food, Grams, Recipe
	DropLine       Intent = "drop-line"     // a food comes out of a recipe: Food, Recipe
	RemoveDog      Intent = "remove-dog"    // Dog
	RemoveRecipe   Intent = "remove-recipe" // Recipe
	RenameDog      Intent = "rename-dog"    // Dog, Words: the new name as typed
	RenameRecipe   Intent = "rename-recipe" // Recipe, Words: the new name as typed

	// Of the next, what is said of days and times is for WhenText to find in
	// the whole text.
	Remind          Intent = "remind"           // Words: what of and when, as typed, for ReminderText
	WeighWhen       Intent = "weigh-when"       // Dog: when it is weighed, or its condition scored
	MoveWeighIn     Intent = "move-weigh-in"    // Dog, Words: to when
	StopWeighIn     Intent = "stop-weigh-in"    //
	FeedAllTimes    Intent = "feed-all-times"   // of every dog: Words
	FeedTimes       Intent = "feed-times"       // Dog, Words: the times, as typed, for Clocks
	ListSupplements Intent = "list-supplements" // Dog
	ListReminders   Intent = "list-reminders"   //
	StopReminder    Intent = "stop-reminder"    // Words: of what, as typed
	Pause           Intent = "pause"            // Dog
	Resume          Intent = "resume"           // Dog
	QuietHours      Intent = "quiet-hours"      // Words: from when to when, as typed, for Clocks
	QuietOff        Intent = "quiet-off"        //
	StockLeft       Intent = "stock-left"       // Food: a supplement, or the form that it comes in
	StockUp         Intent = "stock"            // the whole text is for StockText
)

// Sentence is what a sentence asks, with what it names; a field is zero
// where it names nothing of the kind. An empty Dog or Recipe is the one
// under discussion ("she", "it") or none.
type Sentence struct {
	Intent   Intent
	Dog      string   // id of the household's dog
	Recipe   string   // id of the household's recipe
	Food     string   // a food's words as typed; the first of FoodList
	FoodList []string // as typed, where several are named ("grapes or raisins")
	Words    string   // other words as typed: a place, a unit, a new name

	Nutrient nutrition.Subject // of NutrientAmount; Energy where none is named

	// A dog described in words: "a 30 lb dog, low activity". Weight is set
	// in every description.
	Weight    nutrition.Kilograms
	Activity  planner.Activity
	Condition int     // body condition score; 1-9 is not checked here
	Years     float64 // age

	// Stage is what sets a dog apart from a healthy adult, named or described:
	// one of the Stage constants, or empty.
	Stage string

	Days     float64
	Grams    nutrition.Grams
	Kcal     nutrition.Kcal
	Factor   float64
	Count    float64 // pieces of a food, or how many of Measure; meals
	Measure  string  // of FoodEnergy with Count: one of nutrition.MeasureUnits, "piece" where none is named
	Imperial bool    // an amount was typed in pounds, ounces or stones
}

// What Sentence.Stage says.
const (
	StagePuppy      = "puppy"
	StagePregnant   = "pregnant"
	StageNursing    = "nursing"
	StageSenior     = "senior"
	StageOverweight = "overweight"
	StageIll        = "ill"
	StageNone       = "none" // of DogStage: no longer pregnant, nursing or ill
)

// Named is a dog or a recipe of the household.
type Named struct{ ID, Name string }

// Names are the names by which a household's sentences may speak of things.
type Names struct {
	Dogs, Recipes []Named
	kept          *kept // nil: nothing is remembered
}

// mostRunes is how much of a text is read as a sentence. A longer text is
// none, but for the news that a dog has eaten something: that is looked for
// at its beginning.
const mostRunes = 500

// Understand reads a sentence. Bare body weights are in the household's
// units. It reports false where the text is none of the sentences; it does
// not guess. The same text, names and units give the same answer.
func Understand(text string, n Names, u planner.Units) (Sentence, bool) {
	if words, ok := reminderWords(text); ok {
		return Sentence{Intent: Remind, Words: words}, true
	}
	text, cut := firstRunes(text, mostRunes)
	m := matcher{lang: language(), text: text, units: u, names: n}
	m.takeApart(true)
	if len(m.words) == 0 {
		return Sentence{}, false
	}
	m.dogs = n.dogNames()
	m.strip()
	s, ok := m.first(cut)
	if ok && (s.Food == "" || s.Intent == HasEaten) {
		return s, true
	}
	near := m.loosen()
	if ok && !near {
		return s, true
	}
	// What fitted as the name of a food may be a word typed wrong: "how many
	// caloreis does Juniper need".
	if t, fits := m.first(cut); fits && (!ok || t.Food == "") {
		return t, true
	}
	return s, ok
}

// first returns the sentence of the first pattern that fits.
func (m *matcher) first(cut bool) (Sentence, bool) {
	cut = cut || len(m.words) > mostWords
	for w, set := range m.worthTrying() {
		for ; set != 0; set &= set - 1 {
			p := &m.lang.patterns[w<<6+bits.TrailingZeros64(set)]
			if cut && !p.urgent {
				return Sentence{}, false
			}
			if s, ok := m.match(p); ok {
				return s, true
			}
		}
	}
	return Sentence{}, false
}
