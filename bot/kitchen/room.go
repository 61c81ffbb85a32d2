package kitchen

import (
	_ "embed"
	"reflect"
	"strconv"
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
			"shopping": command("shopping list ", read.ShopFor, answerShop),
			"cost":     command("cost of ", read.CostAsked, answerCost),
		},
		Presses: map[string]talk.Press{"packs": packs(), "shop": shop(), "cost": talk.Verbs(map[string]talk.Press{
			"all":      func(t *talk.Turn, _ []string) { answerCost(t, read.Sentence{}) },
			"prices":   func(t *talk.Turn, _ []string) { answerPrices(t, read.Sentence{}) },
			"currency": func(t *talk.Turn, args []string) { pressCurrency(t, talk.Arg(args, 0)) },
			"save":     func(t *talk.Turn, args []string) { answerSaving(t, read.Sentence{Recipe: talk.Arg(args, 0)}) },
		})},
		Forms: map[string]talk.Form{
			"price":  {Take: talk.TakeDraft(takePriceAnswer), Again: talk.WithDraft(takePrices)},
			"cooked": {Take: talk.TakeDraft(takeRaw), Again: talk.WithDraft(askRaw)}},
		Answers: map[read.Intent]talk.Intent{
			read.MakeDays:       answerDays,
			read.CameOut:        answerCameOut,
			read.CookedOnly:     answerCookedOnly,
			read.CookedFix:      answerCookedFix,
			read.ForgetYield:    talk.OnRecipe(forgetYield),
			read.WeighedAsked:   answerWeighed,
			read.CookedLines:    talk.OnRecipe(weighedAs(true)),
			read.RawLines:       talk.OnRecipe(weighedAs(false)),
			read.PouredOff:      talk.OnRecipe(poured(true)),
			read.LeftIn:         talk.OnRecipe(poured(false)),
			read.HeatAsked:      func(t *talk.Turn, _ read.Sentence) { t.SayMsg("heat.note") },
			read.PacksMade:      answerMade,
			read.PacksLeft:      answerLeft,
			read.PacksLast:      answerLast,
			read.PackKcal:       answerPackKcal,
			read.PacksPast:      answerPast,
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

// packs is what buttons about packs do.
func packs() talk.Press {
	return talk.Verbs(map[string]talk.Press{
		"in":      func(t *talk.Turn, args []string) { pressFrozen(t, false, args) },
		"in-more": func(t *talk.Turn, args []string) { pressFrozen(t, true, args) },
		"cooked":  pressCooked,
		"weighed": func(t *talk.Turn, args []string) {
			talk.OnRecipe(weighedAs(true))(t, read.Sentence{Recipe: talk.Arg(args, 0)})
		},
		"juice":  pressJuice,
		"move":   pressShelf(move),
		"whose":  pressShelf(handOver),
		"make":   pressMake,
		"used":   func(t *talk.Turn, args []string) { doMoved(t, planner.PacksUsed, args) },
		"back":   pressBack,
		"rest":   func(t *talk.Turn, _ []string) { throwOverdue(t) },
		"anyone": func(t *talk.Turn, args []string) { forAnyone(t, talk.Arg(args, 0)) },
		"thaw":   func(t *talk.Turn, _ []string) { answerThaw(t) },
		"out":    func(t *talk.Turn, _ []string) { pressOut(t) },
		"left":   func(t *talk.Turn, _ []string) { answerLeft(t, read.Sentence{}) },
	})
}

// shop is what buttons about the shopping list do.
func shop() talk.Press {
	return talk.Verbs(map[string]talk.Press{
		"tick": pressTick,
		"text": func(t *talk.Turn, _ []string) { sayText(t) },
		"new": func(t *talk.Turn, _ []string) {
			offerWeeks(t, t.SayMsg("shop.how-long")).Offer(t.Button(msg("button.month-list"), "shop", "for", "30"))
		},
		"for": func(t *talk.Turn, args []string) {
			days, _ := strconv.Atoi(talk.Arg(args, 0))
			answerShop(t, read.Sentence{Days: float64(days)})
		},
		"batch": listBatch,
		"show":  func(t *talk.Turn, _ []string) { showList(t) },
	})
}

//go:embed messages.txt
var messages string

// words are the messages of this room.
var words, msg = say.Words(messages)
