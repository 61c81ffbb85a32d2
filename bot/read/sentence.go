package read

import (
	"bowlwright/bot/read/language"
	"bowlwright/bot/read/span"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// Intent is what a sentence asks for.
type Intent string

// The intents. Their wordings stand in sentences.txt. The first two parts of a
// name say what is meant, a third what of it.
const (
	BowlAmount     Intent = "bowl.show"          // how much of a recipe a dog gets: Dog or Weight, Recipe
	NutrientOf     Intent = "bowl.food.in"       // how much of a nutrient a food has: Nutrient, Food
	TaurineAsked   Intent = "bowl.food.taurine"  // which no table has
	NutrientAmount Intent = "bowl.food.nutrient" // how much of a nutrient a recipe has: Nutrient, Recipe, Dog
	FoodAmount     Intent = "bowl.food"          // how much of one food a dog gets: Food, Dog or Weight, Recipe
	FedAsked       Intent = "fed.ask"            // whether, when and by whom a dog was fed: Dog; the day is for DayAsked
	AtePart        Intent = "fed.part"           // a dog left a part of its meal: Dog; the part is for PartEaten
	MealSmall      Intent = "fed.part.small"     // its meals are to be small, of which it is not said how small: Dog
	MealHalf       Intent = "fed.part.next"      // its next meals are to be half of what they are: Dog, Days
	GivenAsked     Intent = "supp.ask.given"     // the same of a supplement: Food, Dog
	TreatsLeft     Intent = "treat.ask"          // how many kcal of treats a dog may have: Dog
	AteBeside      Intent = "treat.log"          // a dog had something besides: Dog, Words: how much of what
	EnoughAsked    Intent = "amount.judge.food"  // whether some food is enough: Dog; the whole text is for Servings
	CupWeighs      Intent = "recipe.cup"         // what a cup of it weighs: Recipe, Grams, and of how many cups: Count, Measure
	EnergyNeed     Intent = "kcal.need"          // what a dog needs: Dog or Weight
	Today          Intent = "day.show"           // the bowls of the day, of every dog
	Tomorrow       Intent = "bowl.show.tomorrow" // the bowls of the next day: Dog, or of every dog
	ShowSwitch     Intent = "switch.show"        // how far a change of food is
	StopSwitch     Intent = "switch.set.stop"    // it is to end: Dog
	Week           Intent = "day.show.week"      // what falls due in the coming days
	OfDog          Intent = "fix.dog"            // what was told last was of another dog, or of one alone
	Fed            Intent = "fed.log"            // a dog was fed: Dog, Words: at what time, as typed, for Clocks
	RecipeContents Intent = "recipe.show"        // what is in a recipe: Recipe
	RecipeEnergy   Intent = "recipe.show.energy" // kcal of a recipe: Recipe, Grams where an amount is named
	FoodEnergy     Intent = "bowl.food.energy"   // kcal of a food: Food, and Grams, or Count of Measure, where named
	MakeDays       Intent = "batch.plan"         // food for some days: Days, Recipe, Dog or Weight
	ScaleRecipe    Intent = "scale.to"           // Recipe, and one of Grams, Kcal, Factor, Dog, Weight
	HaveFood       Intent = "scale.to.have"      // so much of a food is there: Food, Grams or Count, Recipe
	CanEat         Intent = "food.ask"           // whether dogs may have a food: Food, FoodList, Dog
	HasEaten       Intent = "urgent.ate"         // a dog has eaten something, urgent: Food, FoodList, Dog
	Analyse        Intent = "recipe.check"       // whether a recipe is complete: Recipe, Dog
	ViewAsFed      Intent = "recipe.check.fed"   // the analysis per 100 g: Recipe, Dog
	ViewPerKcal    Intent = "recipe.check.kcal"  // per 1000 kcal
	ViewDryMatter  Intent = "recipe.check.dry"   // on dry matter
	ViewPerKilo    Intent = "recipe.check.kilo"  // per kg of Dog and day
	ShowRatios     Intent = "recipe.ratio"       // its ratios, or that of Nutrient to Against: Recipe, Dog
	WhyFood        Intent = "recipe.why"         // what each food is there for, or Food: Recipe, Dog
	Balance        Intent = "recipe.fix"         // make a recipe complete: Recipe
	Swap           Intent = "recipe.swap"        // replace a food: Food, Recipe, Dog; FoodList is [out, in] where both are named, [in] where only that is
	SwapSame       Intent = "recipe.swap.same"   // the same by weight
	ShopFor        Intent = "shop.list"          // what to buy: Days, Recipe
	ShopLeft       Intent = "shop.list.left"     // what of the list is still to be bought
	ShopText       Intent = "shop.list.text"     // the list as plain text
	ShopAdd        Intent = "shop.list.add"      // Words go onto the list, as typed
	ShopDrop       Intent = "shop.list.drop"     // or come off it
	ShopGot        Intent = "shop.list.got"      // Words were bought
	ShopUngot      Intent = "shop.list.ungot"    // Words were not bought, though they are ticked
	ShopHome       Intent = "shop.list.home"     // so much is at home: Food, and Grams or Count of Measure; none: enough
	CostAsked      Intent = "cost.ask"           // what food costs: Recipe, Dog, Days
	CostBatch      Intent = "cost.ask.batch"     // what the batch that was made last costs, and a pack of it: Recipe
	CostSaving     Intent = "cost.ask.save"      // what would make it cheaper, instead of Food where one is named: Recipe
	PriceTold      Intent = "cost.ask.price"     // Food costs Money for Grams, or for Count of Measure
	ListPrices     Intent = "cost.ask.prices"    // all prices, or that of Food
	DropPrice      Intent = "cost.ask.forget"    // the price of Food is to be forgotten
	SetCurrency    Intent = "cost.ask.currency"  // Words: the code of the currency of prices
	Export         Intent = "export"             // everything as a file
	ExportCalendar Intent = "export.calendar"    // what falls due as a file
	ExportWeights  Intent = "export.weights"     // weigh-ins as a file: Dog
	ExportRecipe   Intent = "export.recipe"      // a recipe as a file: Recipe
	Undo           Intent = "undo"               // Words, where something is named
	ShowUndo       Intent = "undo.show"          // what undo takes back
	Help           Intent = "help"
	ShowDog        Intent = "dog.show"
	AddDog         Intent = "dog.add"
	EditDog        Intent = "dog.set.ask" // Dog
	AddRecipe      Intent = "recipe.add"
	AddFood        Intent = "food.add"         // a food of the carer's own, by its label
	Unfed          Intent = "fasting.ask"      // how long a dog may go without food: Dog
	EatsFast       Intent = "fasting.ask.fast" // a dog gulps its food down
	GoOn           Intent = "dialogue.resume"  // what was left unfinished is taken up
	ListDogs       Intent = "dog.show.all"
	ListRecipes    Intent = "recipe.list"
	ShowSettings   Intent = "set.show"
	SetZone        Intent = "set.place"             // Words: the place as typed, for Zone
	SetUnits       Intent = "set.units"             // Words: "metric", "imperial", "g", "oz", "kg" or "lb"
	DogWeight      Intent = "weight.log"            // Dog, Weight
	DogActivity    Intent = "dog.set.activity"      // Dog, Activity
	DogCondition   Intent = "dog.set.condition"     // Dog, Condition
	DogKcal        Intent = "kcal.set"              // what a dog gets a day: Dog; Kcal, or Factor times what it gets now
	VetKcal        Intent = "kcal.set.vet"          // the same, by a vet's word
	NoVetKcal      Intent = "kcal.set.vet.not"      // no vet set what stands as a vet's figure: Dog, or nothing
	DogMeals       Intent = "dog.set.meals"         // Dog, Count: meals a day, as typed
	DogStage       Intent = "dog.set.stage"         // Dog, Stage
	LitterDue      Intent = "dog.set.due"           // Dog, Words: the day on which pups are due, as typed
	LitterMated    Intent = "dog.set.mated"         // Dog, and Words: when it was mated, or Days: how long ago
	LitterBorn     Intent = "dog.set.born"          // Dog; Count, pups; Words: when they were born, empty for today
	LitterNursed   Intent = "dog.set.nursed"        // Dog; Count, pups; Factor: the week of nursing, or Days since they were born
	LitterWeaned   Intent = "dog.set.weaned"        // Dog, none where only the pups are named
	AddLines       Intent = "recipe.set.add"        // Words: recipe lines as typed, for RecipeText; Recipe
	Lasts          Intent = "batch.left"            // for how many days an amount is enough: Grams, Recipe, Dog
	PacksLeft      Intent = "batch.left.packs"      // what is in the freezer, and for how long: Recipe, Dog
	PackKcal       Intent = "batch.left.kcal"       // what a pack brings: Recipe, Dog
	PacksLast      Intent = "batch.left.last"       // the same; where there are no packs, how long food keeps
	PacksPast      Intent = "batch.left.past"       // what was cooked, and when: Recipe
	ThawAsked      Intent = "batch.thaw"            // what is to be thawed for tomorrow
	PacksCounted   Intent = "batch.log.counted"     // so many packs are left: Count, Recipe
	PacksThrown    Intent = "batch.log.thrown"      // or were thrown away
	PacksGiven     Intent = "batch.log.given"       // or given away: Words, to whom, where that is said
	PacksThawed    Intent = "batch.log.thawed"      // or taken out
	PacksMade      Intent = "batch.log.made"        // or frozen, of Grams each
	PacksUsed      Intent = "batch.log.used"        // or used
	PacksBack      Intent = "batch.log.back"        // or were thawed, and are to be frozen again
	PacksOut       Intent = "batch.log.thawed.all"  // tomorrow's packs were taken out
	PacksEach      Intent = "batch.log.thawed.each" // so many of each dog's were: Count
	PacksAllThrown Intent = "batch.log.thrown.all"  // and so was all there was
	PacksRest      Intent = "batch.log.thrown.rest" // what was thawed was thrown away
	PacksAll       Intent = "batch.log.made.all"    // the batch just made was frozen
	PacksShared    Intent = "batch.log.whose.all"   // packs are for all dogs or, with Other, for that one: Dog that they were of
	PacksWhose     Intent = "batch.log.whose"       // so many packs are another dog's: Count, Dog that they were of, Other, Recipe
	PacksFix       Intent = "batch.log.fix"         // a batch made so many packs, or packs of Grams: Count, Recipe
	CookDay        Intent = "batch.plan.day"        // on which days is cooked: for WhenText
	NoCookDay      Intent = "batch.plan.off"        // on none in particular
	NoFreezer      Intent = "batch.left.none"       // there is no freezer
	HasFreezer     Intent = "batch.left.have"       // there is one
	CameOut        Intent = "batch.cooked"          // Grams raw weighed Cooked when it was cooked: Recipe
	CookedOnly     Intent = "batch.cooked.only"     // a batch weighs Cooked, or lost Factor of what it weighed: Recipe
	CookedFix      Intent = "batch.cooked.fix"      // a pan weighed Grams and not Cooked: Recipe
	ForgetYield    Intent = "batch.cooked.forget"   // what was weighed cooked is no longer to count: Recipe
	WeighedAsked   Intent = "batch.cooked.asked"    // whether amounts are weighed raw or cooked: Recipe
	CookedLines    Intent = "batch.cooked.lines"    // the weights of Recipe are cooked ones
	RawLines       Intent = "batch.cooked.raw"      // or raw ones
	PouredOff      Intent = "batch.cooked.off"      // fat and juice were poured off: Recipe
	LeftIn         Intent = "batch.cooked.in"       // or left in
	HeatAsked      Intent = "batch.cooked.heat"     // what cooking does to vitamins
	Storing        Intent = "raw.ask.keep"          // how long food keeps
	NeverEat       Intent = "food.ask.never"        // what a dog must not have: Dog, or nothing
	StageAsked     Intent = "food.ask.stage"        // how a growing, pregnant or nursing dog is fed: Stage
	RawAsked       Intent = "raw.ask"               // whether food may be fed raw
	HouseRecipes   Intent = "recipe.list.ours"      // those that come with the program
	SetVet         Intent = "set.place.vet"         // the vet's telephone number: Words, empty where it is to be asked or forgotten
	SetClinic      Intent = "set.place.clinic"      // the same of an emergency clinic
	SetPoisonLine  Intent = "set.place.poison"      // the same of an animal poison line
	MendNumber     Intent = "set.place.mend"        // the number told last was typed wrong: Words
	ShowNumbers    Intent = "set.place.numbers"     // which numbers are kept
	ShowSigns      Intent = "dog.show.signs"        // what was noted that a dog showed or ate: Dog
	Leave          Intent = "home.leave"            // all data is to be deleted
	DogDied        Intent = "dog.remove.died"       // a dog has died
	AskCarers      Intent = "home.show"             // how others come to the household
	WhoAreYou      Intent = "help.who"
	EatsRecipe     Intent = "recipe.use"            // a dog eats another recipe from now on: Dog, Recipe
	EatsNot        Intent = "recipe.use.not"        // or no longer, or must not: Dog, Recipe
	FatOfLine      Intent = "recipe.set.fat"        // how much fat a mince has: Food, Factor
	SetLine        Intent = "recipe.set"            // a food of a recipe gets another amount: Food, Grams, Recipe
	MassInUnit     Intent = "scale.to.unit"         // what an amount is in other units: Grams
	MoreOfLine     Intent = "recipe.set.more"       // a food of a recipe gets so much more: Food, Grams, Recipe
	LessOfLine     Intent = "recipe.set.less"       // or less
	DropLine       Intent = "recipe.set.drop"       // a food comes out of a recipe: Food, Recipe
	EveryMeal      Intent = "fed.other.every"       // what is eaten at some meals is for all of them: Dog
	EatsOther      Intent = "fed.other.food"        // other food on some days: Dog, Words: the food and the days as typed, for OtherFoodText
	AteTheirs      Intent = "fed.other.theirs"      // a dog had what was another's: Dog
	EatsWithout    Intent = "fed.other.without"     // Food is left out for some days: Dog
	EatsShares     Intent = "fare.share"            // a lasting part of a dog's food is another: Dog; the whole text is for FoodShares
	MealIs         Intent = "fare.meal"             // some of its meals are: Dog, Words: the food and the meal as typed
	StopOther      Intent = "fare.stop"             // neither any more: Dog
	RemoveDog      Intent = "dog.remove"            // Dog
	RemoveRecipe   Intent = "recipe.remove"         // Recipe
	RenameDog      Intent = "dog.set.name"          // Dog, Words: the new name as typed
	RenameRecipe   Intent = "recipe.set.name"       // Recipe, Words: the new name as typed
	CopyRecipe     Intent = "recipe.copy"           // Recipe, Words: the copy's name as typed, where one is
	ShowNotes      Intent = "recipe.notes"          // the method, and why each food is there: Recipe
	ShowStanding   Intent = "recipe.stand"          // what a recipe is said to be: Recipe
	StandTopper    Intent = "recipe.stand.topper"   // it is one: Recipe
	StandSomeDays  Intent = "recipe.stand.days"     // it is for some days only: Recipe
	StandComplete  Intent = "recipe.stand.complete" // by the table of Words, where one is named: Recipe
	StandNone      Intent = "recipe.stand.none"     // none of these: Recipe
	CheckedBy      Intent = "recipe.stand.checked"  // Words: by whom and when, for WhoAndWhen; Recipe
	LabValues      Intent = "recipe.lab"            // what a laboratory measured: Recipe, Own or Food
	DropLab        Intent = "recipe.lab.drop"       // the same is to be taken out
	ListVersions   Intent = "recipe.versions"       // Recipe
	ShowVersion    Intent = "recipe.version"        // Count: which; Recipe
	BackToVersion  Intent = "recipe.version.back"   // Count: which; Recipe
	CompareRecipes Intent = "recipe.compare"        // Recipe, Other
	CompareSince   Intent = "recipe.compare.since"  // the present with version Count, or with the one before; or versions Count and Factor: Recipe
	ListOwn        Intent = "food.own"              // the household's own foods
	ShowOwn        Intent = "food.own.show"         // Own
	EditOwn        Intent = "food.own.set"          // Own, Words: what its label says, where that is said
	RemoveOwn      Intent = "food.own.remove"       // Own
	RenameOwn      Intent = "food.own.name"         // Own, Words: the new name as typed

	CardOf      Intent = "recipe.card"        // a card for readers: Recipe, or Dog: what it eats
	CardPDF     Intent = "recipe.card.pdf"    // the same as a page to print, on the paper of the household
	CardA4      Intent = "recipe.card.a4"     // on A and Count: A4
	CardLetter  Intent = "recipe.card.letter" // on Letter
	CardPage    Intent = "recipe.card.page"   // as a page for a browser
	VetSheet    Intent = "export.vet"         // what a vet wants to know: Dog
	SitterSheet Intent = "export.sitter"      // what who feeds meanwhile has to know

	// Of the next, what is said of days and times is for WhenText to find in
	// the whole text.
	Remind          Intent = "remind.add"              // Words: what of and when, as typed, for ReminderText
	WeighWhen       Intent = "remind.set.weigh"        // Dog: when it is weighed, or its condition scored
	MoveCookDay     Intent = "remind.set.move-cook"    // Words: to when
	StopWeighIn     Intent = "remind.set.stop-weigh"   //
	MoveDinner      Intent = "feedtimes.set.dinner"    // Dog, Words: the time of its last meal alone, as typed, for Clocks
	MoveBreakfast   Intent = "feedtimes.set.breakfast" // the same of its first meal
	FeedAllTimes    Intent = "feedtimes.set.all"       // of every dog: Words
	FeedTimes       Intent = "feedtimes.set"           // Dog, Words: the times, as typed, for Clocks
	ListSupplements Intent = "remind.list.supp"        // Dog
	ListReminders   Intent = "remind.list"             //
	StopReminder    Intent = "remind.set.stop"         // Words: of what, as typed
	Pause           Intent = "remind.set.pause"        // Dog
	Resume          Intent = "remind.set.resume"       // Dog
	QuietHours      Intent = "remind.set.quiet"        // Words: from when to when, as typed, for Clocks
	QuietOff        Intent = "remind.set.loud"         //
	StockLeft       Intent = "supp.ask.stock"          // Food: a supplement, or the form that it comes in
	StockUp         Intent = "supp.stock"              // the whole text is for StockText
)

// What crosses households.
const (
	Publish       Intent = "recipe.publish"      // Recipe
	PublishPlan   Intent = "recipe.publish.plan" // a rotation, with its recipes
	ListPublished Intent = "recipe.published"    // what was published
	StopPublished Intent = "recipe.publish.stop" // nobody new is to open its link: Recipe
	Release       Intent = "recipe.release"      // what it is now becomes the next version: Recipe
	ReleaseBack   Intent = "recipe.release.back" // a version that is out is to be taken back: Recipe
	TakeNews      Intent = "recipe.news.take"    // the new version of an author: Recipe
	KeepNews      Intent = "recipe.news.keep"    // one's own instead of it: Recipe
	Withdraw      Intent = "recipe.withdraw"     // nobody is to feed it any more: Recipe
	Figures       Intent = "recipe.readers"      // how many keep it, what they change: Recipe
	AllowAsking   Intent = "recipe.asking.on"    // its readers may ask: Recipe
	RefuseAsking  Intent = "recipe.asking.off"   // they may not: Recipe
	AskAuthor     Intent = "recipe.ask"          // a question to who wrote it: Recipe, where that is said
)

// Sentence is what a sentence asks, with what it names; a field is zero
// where it names nothing of the kind. An empty Dog or Recipe is the one
// under discussion ("she", "it") or none.
type Sentence struct {
	Intent   Intent
	Dog      string   // id of the household's dog
	Recipe   string   // id of the household's recipe
	Other    string   // id of a second recipe, or dog
	Own      string   // key of a food of the household's own
	Food     string   // a food's words as typed; the first of FoodList
	FoodList []string // as typed, where several are named ("grapes or raisins")
	Words    string   // other words as typed: a place, a unit, a new name

	Nutrient nutrition.Subject // of NutrientAmount; Energy where none is named
	Against  nutrition.Subject // a second one

	// A dog described in words: "a 30 lb dog, low activity". Weight is set
	// in every description.
	Weight    nutrition.Kilograms
	Activity  planner.Activity
	Condition int     // body condition score; 1-9 is not checked here
	Years     float64 // age

	// Stage is what sets a dog apart from a healthy adult, named or described:
	// one of the Stage constants, or empty.
	Stage string

	Money    Money
	Days     float64
	Grams    nutrition.Grams
	Cooked   nutrition.Grams // of CameOut
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

// Understand reads a sentence. Bare body weights are in the household's
// units. It reports false where the text is none of the sentences; it does
// not guess. The same text, names and units give the same answer.
func Understand(text string, n span.Names, u planner.Units) (Sentence, bool) {
	if words, ok := reminderWords(text); ok {
		return Sentence{Intent: Remind, Words: words}, true
	}
	text, cut := span.FirstRunes(language.Without("she-is", text), span.MostRunes)
	m := newMatcher(text, n)
	m.units = u
	if len(m.Tokens) == 0 {
		return Sentence{}, false
	}
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

// first returns the sentence of the first pattern that fits. Most patterns need a
// word that the text has not; they are not looked at.
func (m *matcher) first(cut bool) (Sentence, bool) {
	cut = cut || len(m.Tokens) > mostWords
	may := make([]bool, len(m.lang.patterns))
	for _, id := range m.present {
		for _, i := range m.lang.fits[id] {
			may[i] = true
		}
	}
	for i := range m.lang.patterns {
		p := &m.lang.patterns[i]
		if cut && !p.urgent {
			return Sentence{}, false
		}
		if len(p.needs) > 0 && !may[i] {
			continue
		}
		if s, ok := m.match(p); ok && (s.Intent != PriceTold || !m.some(m.isDog) || TellsMoney(m.Text)) { // "Juniper was 13.7, not 13.9"
			return s, true
		}
	}
	return Sentence{}, false
}
