package kitchen

import (
	_ "embed"
	"reflect"
	"strings"

	"bowlwright/bot/read"
	"bowlwright/bot/recipes"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
)

func Room() talk.Room {
	return talk.Room{
		Words: words,
		Commands: map[string]talk.Command{
			"shopping": {Do: shoppingCommand, Slash: true},
			"cost":     {Do: costCommand, Slash: true},
		},
		Presses: map[string]talk.Press{"packs": pressPacks, "shop": pressShop, "cost": pressCost},
		Forms: map[string]talk.Form{"price": priceForm(),
			"cooked": {Take: talk.TakeDraft(takeRaw), Again: talk.WithDraft(askRaw)}},
		Answers: map[read.Intent]talk.Intent{
			read.MakeDays:       answerDays,
			read.CameOut:        answerCameOut,
			read.CookedOnly:     answerCookedOnly,
			read.CookedFix:      answerCookedFix,
			read.ForgetYield:    talk.OnRecipe(forgetYield),
			read.CookedLines:    talk.OnRecipe(weighedAs(true)),
			read.RawLines:       talk.OnRecipe(weighedAs(false)),
			read.PouredOff:      talk.OnRecipe(poured(true)),
			read.LeftIn:         talk.OnRecipe(poured(false)),
			read.HeatAsked:      func(t *talk.Turn, _ read.Sentence) { t.SayMsg("heat.note") },
			read.PacksMade:      answerMade,
			read.PacksLeft:      answerLeft,
			read.PacksLast:      answerLast,
			read.PackKcal:       answerPackKcal,
			read.ThawAsked:      func(t *talk.Turn, _ read.Sentence) { answerThaw(t) },
			read.PacksCounted:   moved(planner.PacksCounted),
			read.PacksThrown:    moved(planner.PacksThrown),
			read.PacksGiven:     moved(planner.PacksGiven),
			read.PacksThawed:    moved(planner.PacksThawed),
			read.PacksUsed:      askUsed,
			read.PacksBack:      askBack,
			read.PacksFix:       moved(fixBatch),
			read.PacksWhose:     answerWhose,
			read.PacksOut:       func(t *talk.Turn, _ read.Sentence) { pressOut(t) },
			read.PacksEach:      thawEach,
			read.PacksRest:      throwOpen,
			read.PacksAllThrown: throwAll,
			read.PacksAll:       func(t *talk.Turn, _ read.Sentence) { frozeAll(t) },
			read.PacksShared:    answerShared,
			read.MoveCookDay:    moveCookDay,
			read.NoCookDay:      dropCookDay,
			read.NoFreezer:      freezer(false),
			read.HasFreezer:     freezer(true),
			read.ShopFor:        answerShop,
			read.ShopLeft:       func(t *talk.Turn, _ read.Sentence) { showList(t) },
			read.ShopText:       func(t *talk.Turn, _ read.Sentence) { sayText(t) },
			read.ShopAdd:        answerAdd,
			read.ShopDrop:       answerDrop,
			read.CostAsked:      answerCost,
			read.CostBatch:      answerBatchCost,
			read.CostSaving:     answerSaving,
			read.ListPrices:     answerPrices,
			read.DropPrice:      answerForget,
			read.SetCurrency:    answerCurrency,
		},
		Together: map[read.Intent]talk.Together{read.MakeDays: daysTogether},
		Due:      map[planner.ReminderKind]talk.DueKind{planner.PacksReminder: sayLow, planner.CookReminder: sayCookDay},
		On:       on,
	}
}

func on(t *talk.Turn, happened any) {
	switch h := happened.(type) {
	case *talk.FoodMade:
		sayPacks(t, h)
		h.Out.Add(batchCost(t, h))
	case *talk.TurnAnswered:
		if h.Before != nil && !t.Popped && t.Changed && eatOtherwise(t, h.Before, t.Home) {
			settle(t, h.Before, t.Date())
		}
		if h.Before != nil && !reflect.DeepEqual(h.Before.Shop, t.Home.Shop) {
			tellList(t)
		}
	case *talk.NeitherYesNorNo:
		if h.Verb == "packs" && talk.Arg(h.Args, 0) == "cooked" {
			unsureWeighed(t, h)
		}
	case *talk.RecipeShown:
		h.Said = say.JoinParas(h.Said, shownText(t, h))
	case *talk.ChangeTakenBack:
		if !strings.HasPrefix(h.Change.Kind, "did.shop") {
			h.Back.Shop = h.Now.Shop // what was ticked since stays ticked
		}
	case *talk.BowlMade:
		h.Said, h.Raw = cookedText(t, h.Dog, h.Recipe, h.Kcal, h.Meals), recipes.Cooks(t, h.Recipe)
	case *talk.BowlShown:
		if kcal, meals := planner.AmountOf(*h.Dog, t.Event.At).Kcal, talk.MealsOf(*h.Dog); cookedText(t, h.Dog, h.Recipe, kcal, meals) == "" {
			h.Out.Add(rawText(t, h.Recipe, kcal))
		}
	}
}

// pressPacks does what a button about packs asks.
func pressPacks(t *talk.Turn, args []string) {
	more := args[min(1, len(args)):]
	switch talk.Arg(args, 0) {
	case "in", "in-more":
		pressFrozen(t, talk.Arg(args, 0) == "in-more", more)
	case "cooked":
		pressCooked(t, more)
	case "weighed":
		if r := t.Recipe(talk.Arg(more, 0)); r != nil {
			weighedAs(true)(t, r, read.Sentence{})
			return
		}
		t.SayMsg("press.gone")
	case "juice":
		pressJuice(t, more)
	case "move":
		pressMove(t, more)
	case "whose":
		pressWhose(t, more)
	case "make":
		pressMake(t, more)
	case "used":
		doMoved(t, planner.PacksUsed, more)
	case "back":
		pressBack(t, more)
	case "rest":
		throwOverdue(t)
	case "anyone":
		forAnyone(t, talk.Arg(more, 0))
	case "thaw":
		answerThaw(t)
	case "out":
		pressOut(t)
	case "left":
		answerLeft(t, read.Sentence{})
	default:
		t.SayMsg("press.stale")
	}
}

//go:embed messages.txt
var messages string

// words are the messages of this room.
var words = say.NewCatalogue(messages)

func msg(key string, args ...any) string { return words.Msg(key, args...) }
