package publish

import (
	"cmp"
	"slices"
	"strings"

	"bowlwright/bot/read"
	"bowlwright/bot/recipes"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/planner/edition"
	"bowlwright/store"
)

// ofMine answers a sentence about something that the household has published:
// where it names no recipe, about the only thing, or the only plan.
func ofMine(do func(t *talk.Turn, p store.Published)) talk.Intent {
	named := talk.OnRecipe(func(t *talk.Turn, r *planner.Recipe, _ read.Sentence) {
		p := publishedOf(t, draft{Recipe: r.ID})
		if p == nil {
			t.SayMsg("published.not", "what", r.Name).Offer(t.Button(t.Msg("button.publish"), "publish", "recipe", r.ID))
			return
		}
		do(t, *p)
	})
	return func(t *talk.Turn, s read.Sentence) {
		all := mine(t)
		if said := strings.ToLower(t.Event.Text); strings.Contains(said, "plan") || strings.Contains(said, "rotation") {
			all = slices.DeleteFunc(all, func(p store.Published) bool { v, _ := p.Latest(); return v == nil || len(v.Turns) == 0 })
		}
		if s.Recipe == "" && len(all) == 1 {
			do(t, all[0])
			return
		}
		named(t, s)
	}
}

// mineOf is what the household has published under a token; where it has none
// it says so.
func mineOf(t *talk.Turn, token string) *store.Published {
	p := planner.FirstOf(mine(t), func(p *store.Published) bool { return p.Token == token })
	if p == nil {
		t.Gone()
	}
	return p
}

// comingOf is what is published under a token and the version that it would be now; nil
// where there were too many today, where its recipe is gone, or where nothing has
// changed, which it says.
func comingOf(t *talk.Turn, token string) (p *store.Published, v *planner.PublishedVersion) {
	if p = mineOf(t, token); p == nil || tooMany(t, versionsToday(t, false), mostReleases, "limit.releases") {
		return nil, nil
	}
	last, number := p.Latest()
	d := sourceOf(t, p)
	if !mayPublish(t) || !passes(t, &d) {
		return nil, nil
	}
	v, _ = frozen(t, d)
	p.Of = d.Recipe + d.Rotation
	edition.Follow(v, last)
	v.Switch = last.Switch
	if edition.Same(v, last) {
		t.EndDialogue()
		out := t.SayMsg("release.same", "what", p.Title, "n", number)
		if t.Recipe(p.Of) != nil {
			out.Offer(t.Button(t.Msg("button.change"), "recipe", "edit", p.Of))
		}
		return nil, nil
	}
	return p, v
}

// sourceOf is what something was published of. A rotation that was set anew is
// known by the recipes that it has in common with what is out.
func sourceOf(t *talk.Turn, p *store.Published) draft {
	last, _ := p.Latest()
	if t.Recipe(p.Of) != nil {
		return draft{Recipe: p.Of, Topper: isTopper(last)}
	}
	d, most := draft{Rotation: p.Of}, 0
	for _, rot := range t.Home.Rotations {
		if rot.ID == p.Of {
			return draft{Rotation: p.Of}
		}
		common := 0
		for _, r := range last.Recipes {
			same := func(w planner.Turn) bool { return strings.EqualFold(talk.RecipeName(t, w.Recipe), r.Name) }
			if slices.ContainsFunc(rot.Turns, same) {
				common++
			}
		}
		if common > most {
			d, most = draft{Rotation: rot.ID}, common
		}
	}
	return d
}

// beginRelease shows what has changed since it was published and asks why.
func beginRelease(t *talk.Turn, p store.Published) { askWhy(t, &saying{Token: p.Token}) }

func askWhy(t *talk.Turn, d *saying) {
	p, v := comingOf(t, d.Token)
	if v == nil {
		return
	}
	last, number := p.Latest()
	stockUp(t, v)
	t.Ask("release", "text", d)
	t.Say(say.Para(msg("release.changed", "what", p.Title, "n", number)), say.Whole(differenceText(t, last, v)), say.Para(msg("release.ask-why"))).Offer(t.StopButton())
}

// differenceText says what changes from one version to another. Both have their
// foods in t.Foods.
func differenceText(t *talk.Turn, was, is *planner.PublishedVersion) string {
	var lines []string
	for i := range is.Recipes {
		r := &is.Recipes[i]
		old := was.Recipe(r.ID)
		switch {
		case old == nil:
			lines = append(lines, msg("release.new-recipe", "recipe", r.Name))
		case len(planner.Changes(*old, *r, false)) > 0 || old.Days != r.Days:
			lines = append(lines, recipeLine(len(is.Recipes) > 1, r, recipes.ChangesText(t, *old, *r)))
		case old.Method != r.Method:
			lines = append(lines, recipeLine(len(is.Recipes) > 1, r, msg("release.method")))
		}
	}
	for i := range was.Recipes {
		if is.Recipe(was.Recipes[i].ID) == nil {
			lines = append(lines, msg("release.gone-recipe", "recipe", was.Recipes[i].Name))
		}
	}
	lines = append(lines, correctedText(was, is)...)
	if orderText(was) != orderText(is) {
		lines = append(lines, msg("sheet.order", "order", orderText(is)))
	}
	return cmp.Or(strings.Join(lines, "\n"), msg("release.words"))
}

// correctedText says which figures of the author's own foods are others now.
func correctedText(was, is *planner.PublishedVersion) (lines []string) {
	for _, f := range is.Foods {
		i := slices.IndexFunc(was.Foods, func(o nutrition.Food) bool { return strings.EqualFold(o.Name, f.Name) })
		if i < 0 {
			continue
		}
		var figures []string
		for n := range f.Per100 {
			if old, now := was.Foods[i].Per100[n], f.Per100[n]; old != now {
				figures = append(figures, msg("release.figure", "nutrient", nutrition.Nutrient(n).Name(), "was", recipes.ValueText(old, nutrition.Nutrient(n)), "is", recipes.ValueText(now, nutrition.Nutrient(n))))
			}
		}
		if len(figures) > 0 {
			lines = append(lines, msg("release.corrected", "food", f.Name, "figures", strings.Join(figures, ", ")))
		}
	}
	return lines
}

// recipeLine is what changes in a recipe, of a plan with its name.
func recipeLine(named bool, r *planner.Recipe, text string) string {
	return say.Choose(named, msg("release.recipe", "recipe", r.Name, "changes", text), text)
}

// release releases the new version for the reason that was confirmed.
func release(t *talk.Turn, d *saying) {
	p, v := comingOf(t, d.Token)
	if v == nil {
		return
	}
	t.EndDialogue()
	v.Why = d.Text
	put(t, p, func() { p.Versions = append(p.Versions, *v) })
	t.Errand(store.TellErrand, p.Token, t.Event.At.UTC())
	t.SayMsg("release.done", "what", p.Title, "n", len(p.Versions)).
		Offer(t.Button(msg("button.progress"), "published", "told", p.Token), t.Button(msg("button.withdraw"), "published", "withdraw", p.Token))
}

// backFromRelease says that a version which is out cannot be taken back; of what
// is not published it takes back the last step.
func backFromRelease(t *talk.Turn, r *planner.Recipe) {
	p := publishedOf(t, draft{Recipe: r.ID})
	if p == nil {
		t.GoTo(read.Sentence{Intent: read.Undo})
		return
	}
	_, n := p.Latest()
	t.SayMsg("release.no-back", "what", p.Title, "n", n).Offer(t.Button(msg("button.release"), "published", "release", p.Token), t.Button(msg("button.withdraw"), "published", "withdraw", p.Token))
}

// count is how far a release, or that something was withdrawn, has come.
type count struct {
	readers, told, of int // all, those who were told, and those who are to be
}

// countTold counts the readers of something published.
func countTold(t *talk.Turn, p *store.Published) (c count) {
	_, latest := p.Latest()
	eachReader(t, p.Token, func(r store.Reader) {
		c.readers++
		switch gone := !p.Withdrawn.At.IsZero(); {
		case gone && r.Gone, !gone && r.Told == latest:
			c.told++
			c.of++
		case gone, r.Version < latest:
			c.of++
		}
	})
	return c
}

// readerPage is how many readers are read at once; our own choice.
const readerPage = 1000

func eachReader(t *talk.Turn, token string, do func(store.Reader)) {
	for after := ""; ; {
		page, err := t.Snap.Readers(token, after, readerPage)
		talk.Found(t, err)
		for _, r := range page {
			do(r)
		}
		if len(page) < readerPage {
			return
		}
		after = page[len(page)-1].Household
	}
}

// sayTold says how far a release has come. Of few readers it gives no number.
func sayTold(t *talk.Turn, p store.Published) {
	again := t.Button(msg("button.progress"), "published", "told", p.Token)
	_, n := p.Latest()
	switch c := countTold(t, &p); {
	case c.of == 0:
		t.SayMsg("told.nobody", "what", p.Title, "n", n)
	case c.told == c.of:
		t.SayMsg("told.all", "what", p.Title, "n", n)
	case c.of < fewest:
		t.SayMsg("told.few", "what", p.Title, "n", n).Offer(again)
	default:
		t.SayMsg("told.some", "what", p.Title, "n", n, "told", thousands(c.told), "of", thousands(c.of)).Offer(again)
	}
}

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
func sayWithdrawn(t *talk.Turn, p *store.Published) {
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
