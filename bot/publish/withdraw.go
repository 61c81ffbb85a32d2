package publish

import (
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
	"bowlwright/store"
)

func beginWithdraw(t *talk.Turn, p store.Published) { askGone(t, &saying{Token: p.Token}) }

func askGone(t *talk.Turn, d *saying) {
	p := mineOf(t, d.Token)
	if p == nil {
		return
	}
	t.Ask("withdraw", "text", d)
	t.SayMsg("withdraw.ask", "what", p.Title).Offer(t.StopButton())
}

// gone withdraws something. A reason may name an illness: it warns.
func gone(t *talk.Turn, d *saying) {
	p := mineOf(t, d.Token)
	if p == nil {
		return
	}
	t.EndDialogue()
	put(t, p, func() { p.Withdrawn = planner.Withdrawal{At: t.Event.At.UTC(), Why: d.Text} })
	t.Errand(store.TellErrand, p.Token, t.Event.At.UTC())
	t.SayMsg("withdraw.done", "what", p.Title)
}

// sayWithdrawn tells who keeps something that it was withdrawn, and why.
func sayWithdrawn(t *talk.Turn, p *store.Published, _ store.Reader) {
	kept := keptOf(t, p.Token)
	if kept == nil {
		return
	}
	out := t.Say(say.Whole(msg("withdrawn.head", "what", kept.Name)), say.Whole(withdrawnText(t, p, kept)), say.Para(msg("withdrawn.yours")))
	out.Offer(t.Button(msg("button.recipe"), "recipe", "show", kept.ID), t.Button(t.Msg("button.complete"), "analysis", "look", kept.ID, "-"))
}

// leftOpen says what a person has published that its readers go on seeing when
// the person is gone, and offers to withdraw it first.
func leftOpen(t *talk.Turn) (text string, buttons []say.Button) {
	var titles []string
	for _, p := range mine(t) {
		if p.Person == t.Event.Person {
			titles = append(titles, p.Title)
			buttons = append(buttons, t.Button(msg("button.withdraw-first", "what", p.Title), "published", "withdraw", p.Token))
		}
	}
	if len(titles) == 0 {
		return "", nil
	}
	return msg("withdraw.left-open", "what", say.List(titles)), buttons
}

// withdrawnText says that a recipe was withdrawn by its author, since when and
// why.
func withdrawnText(t *talk.Turn, p *store.Published, kept *planner.Recipe) string {
	day := talk.DayOf(t, t.DateAt(p.Withdrawn.At))
	switch {
	case p.Withdrawn.Operator:
		return msg("withdrawn.operator", "what", kept.Name, "day", day, "why", p.Withdrawn.Why)
	case p.Withdrawn.Why == "":
		return msg("withdrawn.author-gone", "what", kept.Name, "day", day)
	}
	return msg("withdrawn.why", "author", authorOf(&p.Published), "what", kept.Name, "day", day, "why", p.Withdrawn.Why)
}

// originText is where a recipe comes from, or that it was withdrawn, with what a
// carer can do about that.
func originText(t *talk.Turn, r *planner.Recipe) (text string, buttons []say.Button) {
	if r.From.Token == "" {
		return "", nil
	}
	p, err := t.Snap.Published(r.From.Token)
	switch {
	case !talk.Found(t, err):
		return "", nil
	case !p.Withdrawn.At.IsZero():
		return withdrawnText(t, &p, r), nil
	}
	text = msg("origin.by", "what", p.Title, "author", authorOf(&p.Published), "n", r.From.Version)
	if _, latest := p.Latest(); latest > r.From.Version {
		text += " " + msg("origin.newer", "n", latest)
		buttons = append(buttons, t.Button(msg("button.see-version", "n", latest), "news", "see", p.Token, "0"))
	}
	if reader, ok, err := store.ReaderOf(t.Snap, p.Token, t.Home.ID); ok && err == nil && asks(&p, reader) {
		buttons = append(buttons, askButton(t, &p))
	}
	return text, buttons
}

// withdrawn is what a bowl says of a recipe that was withdrawn.
func withdrawn(t *talk.Turn, r *planner.Recipe) string {
	if r.From.Token == "" {
		return ""
	}
	p, err := t.Snap.Published(r.From.Token)
	if err != nil || p.Withdrawn.At.IsZero() {
		return ""
	}
	return withdrawnText(t, &p, r)
}
