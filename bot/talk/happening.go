package talk

import (
	"bowlwright/bot/say"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/store"
)

// What happens in one room and matters to others. Rooms are told in their
// order, and may add to what is said.
type (
	// HouseholdEntered: a turn begins in a household.
	HouseholdEntered struct{}

	// TurnAnswered: an event was answered; before is the household as it was,
	// nil where it was not changed.
	TurnAnswered struct{ Before *planner.Household }

	// ChangeTakenBack: the household goes back to what it was before a change.
	ChangeTakenBack struct {
		Back, Now *planner.Household
		Change    store.Change
	}

	// ChangeTold: a change is spoken of, with what the household was after it;
	// said says what in a dog or a recipe it changed.
	ChangeTold struct {
		Change store.Change
		After  *planner.Household
		Said   string
	}

	// NeitherYesNorNo: a question of yes or no was answered by neither. taken says that
	// the room of the verb knows what was meant.
	NeitherYesNorNo struct {
		Verb  string
		Args  []string
		Text  string
		Taken bool
	}

	// DogAdded: out is the reply that shows the new dog.
	DogAdded struct {
		Dog *planner.Dog
		Out *say.Reply
	}

	// DogClassed: it was answered whether a dog is a healthy adult. taken says
	// that another room goes on with what waited for that.
	DogClassed struct {
		Dog   *planner.Dog
		Taken bool
	}

	// LinkOpened: somebody came by a link that brings no carer. taken says that
	// a room knows it.
	LinkOpened struct {
		Payload string
		Taken   bool
	}

	// DogWeighed: a weight was typed into a dog's profile, not yet kept.
	DogWeighed struct {
		Dog    *planner.Dog
		Weight nutrition.Kilograms
	}

	// LitterTold: what was told of a dog's pregnancy or pups, not yet kept.
	LitterTold struct {
		Dog  *planner.Dog
		Told planner.Dog
	}

	// BowlHeld: a dog's food is asked for, and nothing of the dog itself holds
	// it. held says that another room has something to ask first.
	BowlHeld struct {
		Dog  *planner.Dog
		Held bool
	}

	// GoalTyped: a goal weight was typed into a dog's profile, not yet kept.
	// asked says that it is far off and was asked about.
	GoalTyped struct {
		Dog   *planner.Dog
		Goal  nutrition.Kilograms
		Asked bool
	}

	// DogChanged: a dog's profile was changed by hand, and the reply said so.
	DogChanged struct {
		Was planner.Dog
		Dog *planner.Dog
	}

	// DogTimesMoved: a dog's feeding times are others now.
	DogTimesMoved struct{ Dog *planner.Dog }

	// DogAway: others feed a dog on some days, the last with them; out is the
	// reply that says so.
	DogAway struct {
		Dog         *planner.Dog
		From, Until planner.Date
		Out         *say.Reply
	}

	// CarerErasing: a person may take itself out of a household that goes on;
	// stays says what of it others still see then.
	CarerErasing struct {
		Stays   string
		Buttons []say.Button
	}

	// DogRested: a dog has died, and its records are kept.
	DogRested struct{ ID string }

	// DogRemoved: the household has no dog of this id any more.
	DogRemoved struct{ ID string }

	// RecipeAdded: out is the reply that shows the new recipe.
	RecipeAdded struct {
		Recipe *planner.Recipe
		Out    *say.Reply
	}

	// BonesTaken: a recipe that is to be cooked goes without its bones. What
	// is lacking then is put back; said says so.
	BonesTaken struct {
		Recipe *planner.Recipe
		Said   string
	}

	// RecipeGoing: a recipe may be removed; uses says what it is used for.
	RecipeGoing struct {
		ID   string
		Uses string
	}

	// RecipeRemoved: what hung on it ends; said says so.
	RecipeRemoved struct{ ID, Name, Said string }

	// RecipeShown: a recipe is shown, or listed where brief is set; said is
	// what else there is to say of it.
	RecipeShown struct {
		Recipe  *planner.Recipe
		Brief   bool
		Said    string
		Buttons []say.Button
	}

	// TopperMade: a recipe is no food of a day any more; said says what of a
	// dog's days that ends.
	TopperMade struct {
		Recipe *planner.Recipe
		Said   string
	}

	// BowlAsked: a dog's bowl of today is asked for, of which a meal was left out, or
	// one alone is asked for, where leftOut says so. taken says that it is another's to say.
	BowlAsked struct {
		Dog     *planner.Dog
		LeftOut bool
		Taken   bool
	}

	// BowlMade: the amounts of a dog's bowl, nil where it is described in words, are
	// about to be said. Said is what they are once the food is cooked, Raw that those
	// of the recipe are raw then.
	BowlMade struct {
		Dog    *planner.Dog
		Recipe *planner.Recipe
		Kcal   nutrition.Kcal
		Meals  int
		Said   string
		Raw    bool
	}

	// BowlShown: out is the reply that shows a bowl.
	BowlShown struct {
		Dog    *planner.Dog
		Recipe *planner.Recipe
		Out    *say.Reply
	}

	// DangerEaten: a dog, nil where it is not known which, had what dogs must not eat.
	DangerEaten struct {
		Dog  *planner.Dog
		Food string
	}

	// SignTold: a dog is told to be unwell, by what may be a sign: it is taken for
	// one where it is.
	SignTold struct {
		Dog   *planner.Dog
		Text  string // of all that was typed, where that tells more
		Taken bool
	}

	// FoodMade: out is the reply that shows what food for days is made of, or
	// what there is of one food makes; of some dogs, or of all.
	FoodMade struct {
		Recipe *planner.Recipe
		Scaled planner.Recipe
		Grams  nutrition.Grams // as rounded
		Days   float64         // 0: for as many as it makes
		Dogs   []*planner.Dog
		Out    *say.Reply
	}
)
