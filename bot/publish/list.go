package publish

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"bowlwright/bot/card"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
	"bowlwright/planner/edition"
	"bowlwright/store"
)

// mine is what the household has published, but for what it withdrew.
func mine(t *talk.Turn) []store.Published {
	all, err := t.Snap.PublishedBy(t.Home.ID)
	talk.Found(t, err)
	return slices.DeleteFunc(all, func(p store.Published) bool { return !p.Withdrawn.At.IsZero() })
}

// publishedOf is what was published of a recipe or rotation, nil where nothing
// is.
func publishedOf(t *talk.Turn, d draft) *store.Published {
	return planner.FirstOf(mine(t), func(p *store.Published) bool { return p.Of == d.Recipe+d.Rotation })
}

// listPublished lists what the household has published.
func listPublished(t *talk.Turn) {
	all := mine(t)
	if len(all) == 0 {
		t.SayMsg("published.none").Offer(t.Button(msg("button.publish-one"), "published", "which"))
		return
	}
	lines := say.LinesOf(all, func(p store.Published) string {
		return msg("published.line", "title", p.Title, "state", stateText(t, p))
	})
	out := t.Say(say.Whole(say.JoinParas(msg("published.list", "n", len(all)), lines)))
	for _, p := range all {
		out.Offer(t.Button(p.Title, "published", "show", p.Token))
	}
}

// stateText says which version stands under a link since when, and whether it
// opens.
func stateText(t *talk.Turn, p store.Published) string {
	v, n := p.Latest()
	if v == nil {
		return ""
	}
	return say.Choose(p.Closed, msg("published.closed", "n", n, "day", dayText(t, v)), msg("published.open", "n", n, "day", dayText(t, v)))
}

// dayText is the day of a version by the household's clock.
func dayText(t *talk.Turn, v *planner.PublishedVersion) string {
	return talk.DayOf(t, t.DateAt(v.At))
}

// showMine shows the author what was published, with its link.
func showMine(t *talk.Turn, p store.Published, head string) {
	out := t.Say(say.Para(head), say.Para(msg("published.as", "title", p.Title, "author", p.Author, "state", stateText(t, p))),
		say.Waits(p.About+"\n"+msg("sheet.for", "for", p.ForWhom)))
	if !p.Closed {
		out.Add(msg("published.link"))
		out.Start = p.Token
	}
	offerMine(t, out, p)
}

// offerMine offers what an author can do with what is published.
func offerMine(t *talk.Turn, out *say.Reply, p store.Published) {
	verb, label := "close", msg("button.close-link")
	if p.Closed {
		verb, label = "open", msg("button.open-link")
	}
	out.Offer(t.Button(t.Msg("button.card"), "published", "card", p.Token), t.Button(label, "published", verb, p.Token))
	out.Offer(t.Button(msg("button.release"), "published", "release", p.Token), t.Button(msg("button.withdraw"), "published", "withdraw", p.Token))
	out.Offer(t.Button(msg("button.figures"), "published", "figures", p.Token), askingButton(t, p))
}

// sendCards sends a card of each recipe, with the link as a QR code.
func sendCards(t *talk.Turn, p store.Published) {
	v, n := p.Latest()
	if v == nil {
		return
	}
	stockUp(t, v)
	for i := range v.Recipes {
		r := withDoses(v, i)
		r.Since = v.At
		c, err := card.Of(t, r, card.Publication{Author: p.Author, About: p.About, For: p.ForWhom, Number: n, Link: t.Event.LinkTo(p.Token)})
		var png []byte
		if err == nil {
			png, err = c.PNG()
		}
		if err != nil {
			t.Fail(err)
			return
		}
		t.SayMsg("published.card", "recipe", r.Name).Picture = &say.Picture{Name: "card.png", Alt: c.Alt, PNG: png}
	}
}

// stopRecipe closes the link of a recipe.
func stopRecipe(t *talk.Turn, r *planner.Recipe) {
	if p := publishedOf(t, draft{Recipe: r.ID}); p != nil {
		setClosed(t, *p, true)
		return
	}
	t.SayMsg("published.not", "what", r.Name)
}

// setClosed lets a link open nothing any more, or open again.
func setClosed(t *talk.Turn, p store.Published, closed bool) {
	if p.Closed != closed {
		put(t, &p, func() { p.Closed = closed })
	}
	out := t.Say(say.Para(say.Choose(closed, msg("published.now-closed", "what", p.Title), msg("published.now-open", "what", p.Title))))
	if !closed {
		out.Start = p.Token
	}
	offerMine(t, out, p)
}

// put changes what is published, unless somebody else has meanwhile.
func put(t *talk.Turn, p *store.Published, change func()) {
	t.Expect(store.PublishedAt{Token: p.Token, Rev: p.Rev})
	change()
	p.Rev++
	t.Write(store.PutPublished(*p))
}

// pressPublished does what a button about what was published asks.
func pressPublished(t *talk.Turn, args []string) {
	switch talk.Arg(args, 0) {
	case "list":
		listPublished(t)
		return
	case "which":
		publishCommand(t, "")
		return
	}
	p := planner.FirstOf(mine(t), func(p *store.Published) bool { return p.Token == talk.Arg(args, 1) })
	if talk.Gone(t, p == nil) {
		return
	}
	switch talk.Arg(args, 0) {
	case "show":
		showMine(t, *p, "")
	case "card":
		sendCards(t, *p)
	case "close", "open":
		setClosed(t, *p, args[0] == "close")
	case "release":
		beginRelease(t, *p)
	case "withdraw":
		beginWithdraw(t, *p)
	case "figures":
		sayFigures(t, *p)
	case "told":
		sayTold(t, *p)
	default:
		t.SayMsg("press.stale")
	}
}

// mostFigures is how many changes an author is told (our own choice).
const mostFigures = 5

// sayFigures tells an author how many keep something, and what they change most
// in it: counts alone, and only of five households or more.
func sayFigures(t *talk.Turn, p store.Published) {
	v, _ := p.Latest()
	stockUp(t, v)
	readers, swaps := 0, map[store.Swapped]int{}
	eachReader(t, p.Token, func(r store.Reader) {
		readers++
		for _, s := range r.Own {
			swaps[s]++
		}
	})
	if readers < fewest {
		t.SayMsg("figures.few", "what", p.Title, "n", fewest)
		return
	}
	lines := []string{msg("figures.readers", "what", p.Title, "n", thousands(readers))}
	var all []store.Swapped
	for s, n := range swaps {
		if n >= fewest {
			all = append(all, s)
		}
	}
	slices.SortFunc(all, func(a, b store.Swapped) int {
		return cmp.Or(swaps[b]-swaps[a], cmp.Compare(a.Out, b.Out), cmp.Compare(a.In, b.In))
	})
	for _, s := range all[:min(len(all), mostFigures)] {
		lines = append(lines, msg("figures.line", "change", swappedText(t, s), "n", thousands(swaps[s])))
	}
	if len(all) == 0 {
		lines = append(lines, msg("figures.no-swaps", "n", fewest))
	}
	t.Say(say.Whole(strings.Join(lines, "\n")))
}

// swappedText is a change that readers made, in a few words. Their own foods are
// theirs alone.
func swappedText(t *talk.Turn, s store.Swapped) string {
	if s.In == store.OwnFood {
		if s.Out == "" {
			return msg("own.in", "food", msg("figures.own"))
		}
		return msg("own.swap", "out", t.FoodName(s.Out), "in", msg("figures.own"))
	}
	return ownChange(t, edition.Own{Out: s.Out, In: s.In})
}

// swapped is what the household has changed of what a token opens, as its
// author's figures count it.
func swapped(t *talk.Turn, token string) (all []store.Swapped) {
	p, err := t.Snap.Published(token)
	if err != nil {
		return nil // it is gone, or the turn fails by it elsewhere
	}
	for i := range t.Home.Recipes {
		own := &t.Home.Recipes[i]
		v, n := p.Numbered(own.From.Version)
		if own.From.Token != token || v == nil {
			continue
		}
		kitchen := edition.NewKitchen(t.Home, token, nil)
		was := kitchen.Recipes(v, n)[own.From.Recipe]
		there := v.Recipe(own.From.Recipe)
		if there == nil {
			continue
		}
		names := map[string]string{} // of the author's own foods: here -> there
		for k := range min(len(was.Ingredients), len(there.Ingredients)) {
			names[was.Ingredients[k].Food] = there.Ingredients[k].Food
		}
		for k := range min(len(was.Doses), len(there.Doses)) {
			names[was.Doses[k].Food] = there.Doses[k].Food
		}
		named := func(food string) string {
			switch {
			case food == "" || names[food] != "":
				return names[food]
			case t.Base.Food(food) == nil:
				return store.OwnFood
			}
			return food
		}
		for _, c := range edition.OwnChanges(was, *own) {
			all = append(all, store.Swapped{Recipe: own.From.Recipe, Out: named(c.Out), In: named(c.In)})
		}
	}
	return all
}

// thousands prints a count: "1,000".
func thousands(n int) string {
	s := strconv.Itoa(n)
	for i := len(s) - 3; i > 0; i -= 3 {
		s = s[:i] + "," + s[i:]
	}
	return s
}
