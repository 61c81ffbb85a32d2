package bot

import (
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/store"
)

// What happens in one room and matters to others. Rooms are told in their
// order, and may add to what is said.
type (
	// householdEntered: a turn begins in a household.
	householdEntered struct{}

	// turnAnswered: an event was answered; before is the household as it was,
	// nil where it was not changed.
	turnAnswered struct{ before *planner.Household }

	// changeTakenBack: the household goes back to what it was before a change.
	changeTakenBack struct {
		back, now *planner.Household
		change    store.Change
	}

	// neitherYesNorNo: a question of yes or no was answered by neither. taken says that
	// the room of the verb knows what was meant.
	neitherYesNorNo struct {
		verb  string
		args  []string
		text  string
		taken bool
	}

	// dogAdded: out is the reply that shows the new dog.
	dogAdded struct {
		dog *planner.Dog
		out *Reply
	}

	// dogWeighed: a weight was typed into a dog's profile, not yet kept.
	dogWeighed struct {
		dog    *planner.Dog
		weight nutrition.Kilograms
	}

	// litterTold: what was told of a dog's pregnancy or pups, not yet kept.
	litterTold struct {
		dog  *planner.Dog
		told planner.Dog
	}

	// bowlHeld: a dog's food is asked for, and nothing of the dog itself holds
	// it. held says that another room has something to ask first.
	bowlHeld struct {
		dog  *planner.Dog
		held bool
	}

	// goalTyped: a goal weight was typed into a dog's profile, not yet kept.
	// asked says that it is far off and was asked about.
	goalTyped struct {
		dog   *planner.Dog
		goal  nutrition.Kilograms
		asked bool
	}

	// dogChanged: a dog's profile was changed by hand, and the reply said so.
	dogChanged struct {
		was planner.Dog
		dog *planner.Dog
	}

	// dogTimesMoved: a dog's feeding times are others now.
	dogTimesMoved struct{ dog *planner.Dog }

	// dogRested: a dog has died, and its records are kept.
	dogRested struct{ id string }

	// dogRemoved: the household has no dog of this id any more.
	dogRemoved struct{ id string }

	// recipeAdded: out is the reply that shows the new recipe.
	recipeAdded struct {
		recipe *planner.Recipe
		out    *Reply
	}

	// bonesTaken: a recipe that is to be cooked goes without its bones. What
	// is lacking then is put back; said says so.
	bonesTaken struct {
		recipe *planner.Recipe
		said   string
	}

	// recipeGoing: a recipe may be removed; uses says what it is used for.
	recipeGoing struct {
		id   string
		uses string
	}

	// recipeRemoved: what hung on it ends; said says so.
	recipeRemoved struct{ id, name, said string }

	// bowlAsked: a dog's bowl of today is asked for. taken says that it is
	// another's to say.
	bowlAsked struct {
		dog   *planner.Dog
		taken bool
	}

	// bowlShown: out is the reply that shows a bowl.
	bowlShown struct {
		dog    *planner.Dog
		recipe *planner.Recipe
		out    *Reply
	}
)
