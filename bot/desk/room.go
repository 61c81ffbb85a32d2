package desk

import (
	_ "embed"

	"bowlwright/bot/read"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
)

func Room() talk.Room {
	return talk.Room{
		Words:   words,
		Presses: map[string]talk.Press{"desk": talk.OfRecipe(verbs()), "lab": pressLab},
		Forms:   map[string]talk.Form{"lab": talk.FormOf(talk.Form{Long: true}, labSteps...), "desk": talk.FormOf(talk.Form{}, noteStep)},
		On:      on,
		Answers: map[read.Intent]talk.Intent{
			read.ShowNotes:     talk.OnRecipe(func(t *talk.Turn, r *planner.Recipe, _ read.Sentence) { showNotes(t, r, "") }),
			read.ShowStanding:  talk.OnRecipe(func(t *talk.Turn, r *planner.Recipe, _ read.Sentence) { sayStanding(t, r, "") }),
			read.StandTopper:   standAs(planner.IsTopper),
			read.StandSomeDays: standAs(planner.ForSomeDays),
			read.StandComplete: standAs(planner.IsComplete),
			read.StandNone:     standAs(""),
			read.CheckedBy:     talk.OnRecipe(func(t *talk.Turn, r *planner.Recipe, s read.Sentence) { checked(t, r, s.Words) }),
			read.LabValues: func(t *talk.Turn, s read.Sentence) {
				labOf(t, s, t.AsTyped(), "", func(d labDraft) { showLab(t, d, "") })
			},
			read.DropLab:        func(t *talk.Turn, s read.Sentence) { labOf(t, s, t.AsTyped(), "", func(d labDraft) { dropLab(t, d) }) },
			read.ListVersions:   talk.OnRecipe(func(t *talk.Turn, r *planner.Recipe, _ read.Sentence) { listVersions(t, r) }),
			read.ShowVersion:    onVersion(showVersion),
			read.BackToVersion:  onVersion(goBack),
			read.CompareRecipes: answerCompare,
			read.CompareSince:   talk.OnRecipe(answerSince),
		},
	}
}

// on shows what a recipe is said to be, keeps what recipes were before a change, and whether a bowl of them was
// shown.
func on(t *talk.Turn, happened any) {
	switch h := happened.(type) {
	case *talk.TurnAnswered:
		if h.Before != nil && !t.Popped && t.Changed {
			t.Home.KeepVersions(h.Before, t.Event.At.UTC())
			settleAll(t)
		}
	case *talk.RecipeShown:
		h.Said = say.JoinParas(h.Said, shownText(t, h))
	case *talk.BowlShown:
		if r := t.Recipe(h.Recipe.ID); r != nil && !r.Shown {
			r.Shown, t.Changed = true, true
		}
	case *talk.ChangeTold:
		h.Said += toldText(t, h)
	case *talk.ChangeTakenBack:
		h.Back.KeepShown(h.Now)
	}
}

//go:embed messages.txt
var messages string

// words are the messages of this room.
var words, msg = say.Words(messages)
