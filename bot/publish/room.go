package publish

import (
	_ "embed"

	"bowlwright/bot/read"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
	"bowlwright/store"
)

func Room() talk.Room {
	return talk.Room{
		Words:    words,
		Commands: map[string]talk.Command{"publish": {Do: publishCommand}},
		Presses: map[string]talk.Press{
			"publish":   pressPublish,
			"published": pressPublished,
			"adopt":     pressAdopt,
			"news":      pressNews,
			"ask":       pressAsk,
		},
		Replies: map[string]talk.Reply{"ask": replyToQuestion},
		Errands: map[string]talk.Errand{store.TellErrand: tell, store.NewsErrand: news},
		Forms: map[string]talk.Form{
			"publish": talk.FormOf(talk.Form{Take: talk.TakeDraft(takeText), Again: talk.WithDraft(nextText), Long: true, OfOthers: ofPublishing}, textSteps()...),
			"adopt":   talk.FormOf(talk.Form{}, weightStep),
			"release": reason{kind: "release", ask: askWhy, trouble: troubleOf(textTrouble, MostLine, msg("text.none")), asked: msg("release.asked"),
				head: msg("release.preview"), button: msg("button.release-it"), do: release}.form(),
			"withdraw": reason{kind: "withdraw", ask: askGone, trouble: troubleOf(plainTrouble, MostLine, msg("text.none")), asked: msg("withdraw.asked"),
				head: msg("withdraw.preview"), button: msg("button.withdraw"), do: gone}.form(),
			"ask":    form("ask", askQuestion, takeQuestion),
			"answer": form("answer", askAnswer, takeAnswer),
		},
		On: on,
		Answers: map[read.Intent]talk.Intent{
			read.Publish:       talk.OnRecipe(func(t *talk.Turn, r *planner.Recipe, _ read.Sentence) { publishRecipe(t, r) }),
			read.PublishPlan:   func(t *talk.Turn, _ read.Sentence) { publishPlan(t) },
			read.ListPublished: func(t *talk.Turn, _ read.Sentence) { listPublished(t) },
			read.StopPublished: talk.OnRecipe(func(t *talk.Turn, r *planner.Recipe, _ read.Sentence) { stopRecipe(t, r) }),
			read.Release:       ofMine(beginRelease),
			read.ReleaseBack:   talk.OnRecipe(func(t *talk.Turn, r *planner.Recipe, _ read.Sentence) { backFromRelease(t, r) }),
			read.TakeNews:      func(t *talk.Turn, s read.Sentence) { answerNews(t, s, "take") },
			read.KeepNews:      func(t *talk.Turn, s read.Sentence) { answerNews(t, s, "keep") },
			read.Withdraw:      ofMine(beginWithdraw),
			read.Figures:       ofMine(sayFigures),
			read.AllowAsking:   ofMine(func(t *talk.Turn, p store.Published) { setAsking(t, p, true) }),
			read.RefuseAsking:  ofMine(func(t *talk.Turn, p store.Published) { setAsking(t, p, false) }),
			read.AskAuthor:     talk.OnRecipe(askTheAuthor),
		},
	}
}

func on(t *talk.Turn, happened any) {
	switch h := happened.(type) {
	case *talk.LinkOpened:
		h.Taken = openLink(t, h.Payload)
	case *talk.DogClassed:
		h.Taken = goOnWith(t, h.Dog)
	case *talk.RecipeShown:
		text, buttons := originText(t, h.Recipe)
		h.Said, h.Buttons = say.JoinParas(h.Said, text), append(h.Buttons, buttons...)
	case *talk.BowlShown:
		if text := withdrawn(t, h.Recipe); text != "" {
			h.Out.Body = append([]say.Block{say.Whole(text)}, h.Out.Body...)
		}
	case *talk.CarerErasing:
		h.Stays, h.Buttons = leftOpen(t)
	case *talk.TurnAnswered:
		if h.Before != nil && t.Changed {
			keepReading(t, h.Before)
		}
	}
}

//go:embed messages.txt
var messages string

// words are the messages of this room.
var words, msg = say.Words(messages)
