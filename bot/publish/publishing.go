package publish

import (
	"cmp"
	"slices"
	"strings"

	"bowlwright/bot/balance"
	"bowlwright/bot/household"
	"bowlwright/bot/menu"
	"bowlwright/bot/recipes"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/planner/edition"
	"bowlwright/store"
)

// linkPrefix begins the token of what is published; its secret has tokenSize bytes
// (our own choice).
const (
	linkPrefix = "r-"
	tokenSize  = 16
)

// publishCommand publishes what the rest names, or asks what.
func publishCommand(t *talk.Turn, rest string) {
	if r := t.RecipeNamed(rest); r != nil {
		publishRecipe(t, r)
		return
	}
	if len(t.Home.Recipes) == 0 {
		t.SayMsg("scale.no-recipe").Offer(t.Button(msg("button.add-recipe"), "recipe", "add"))
		return
	}
	out := t.SayMsg("publish.which")
	for i := range t.Home.Recipes[:min(len(t.Home.Recipes), 8)] { // eight: our own choice
		out.Offer(t.Button(t.Home.Recipes[i].Name, "publish", "recipe", t.Home.Recipes[i].ID))
	}
	if len(t.Home.Rotations) > 0 {
		out.Offer(t.Button(msg("button.publish-plan"), "publish", "plan"))
	}
	out.Offer(t.Button(msg("button.my-published"), "published", "list"))
}

// publishRecipe begins to publish a recipe.
func publishRecipe(t *talk.Turn, r *planner.Recipe) {
	t.Talk.Recipe = r.ID
	begin(t, draft{Recipe: r.ID, Topper: r.Topper()})
}

// publishPlan begins to publish the rotation that is meant.
func publishPlan(t *talk.Turn) {
	switch all := t.Home.Rotations; {
	case len(all) == 0:
		t.SayMsg("publish.no-plan")
	case len(all) == 1:
		begin(t, draft{Rotation: all[0].ID})
	default:
		out := t.SayMsg("publish.which-plan")
		for _, r := range all {
			out.Offer(t.Button(menu.PlanName(t, r), "publish", "plan", r.ID))
		}
	}
}

// begin checks what is to be published and asks for the author's words.
func begin(t *talk.Turn, d draft) {
	if mine := publishedOf(t, d); mine != nil {
		showMine(t, *mine, msg("publish.already", "what", mine.Title))
		return
	}
	if !mayPublish(t) || ofAnother(t, d) || tooMany(t, versionsToday(t, true), mostPublished, "limit.published") || !passes(t, &d) {
		return
	}
	if i := talk.CarerIn(t.Home.Carers, t.Event.Person); i >= 0 {
		d.Pen = t.Home.Carers[i].Pen
	}
	nextText(t, d)
}

// ofAnother reports that a recipe is somebody else's, as it was kept from a link,
// and says so.
func ofAnother(t *talk.Turn, d draft) bool {
	r := t.Recipe(d.Recipe)
	if r == nil || r.From.Token == "" {
		return false
	}
	p, err := t.Snap.Published(r.From.Token)
	talk.Found(t, err)
	v, _ := p.Numbered(r.From.Version)
	if v == nil {
		return false
	}
	was := edition.RecipeHere(t.Home, *v, r.From.Recipe)
	if was == nil || len(edition.OwnChanges(*was, *r)) > 0 {
		return false
	}
	out := t.SayMsg("publish.of-another", "what", r.Name)
	if !p.Closed && p.Withdrawn.At.IsZero() {
		out.Start = r.From.Token
	}
	return true
}

// passes checks a draft, and says what is against it.
func passes(t *talk.Turn, d *draft) bool {
	v, title := frozen(t, *d)
	if v == nil {
		t.Gone()
		return false
	}
	missing := t.Button(t.Msg("button.missing"), "analysis", "look", d.Recipe, "-")
	var low []string
	if l, trouble := look(t, v, title); trouble == "" && !d.Topper {
		low = underHalf(l)
	}
	if len(low) > 0 && d.Recipe != "" { // it can be one thing only, if anything
		v.Recipes[0].Standing.Kind = planner.IsTopper
	}
	if why := refusals(t, v, title); len(why) > 0 {
		t.EndDialogue()
		out := t.Say(say.Para(msg("publish.not", "what", title)), say.Whole(strings.Join(why, "\n")))
		if d.Recipe != "" {
			out.Offer(missing, t.Button(msg("button.change"), "recipe", "edit", d.Recipe))
		}
		return false
	}
	if len(low) == 0 {
		return true
	}
	t.EndDialogue()
	names := say.List(low[:min(len(low), recipes.MostNamed)])
	if d.Rotation != "" {
		t.SayMsg("publish.plan-low", "names", names).Offer(t.Button(t.Msg("button.rotation-cycle"), "rotation", "cycle", d.Rotation))
		return false
	}
	t.SayMsg("publish.topper-only", "what", title, "names", names, "most", say.Percent(planner.TreatShare)).
		Offer(t.Button(msg("button.as-topper"), "publish", "topper", d.Recipe), missing)
	return false
}

// titleOf is what a draft is called; empty where it is there no more.
func titleOf(t *talk.Turn, d draft) string {
	_, title := frozen(t, d)
	return title
}

// frozen is the version that a draft would be now, and its title; nil where the
// recipe or rotation is gone.
func frozen(t *talk.Turn, d draft) (*planner.PublishedVersion, string) {
	var v planner.PublishedVersion
	var title string
	if r := t.Recipe(d.Recipe); r != nil {
		v, title = edition.Freeze(t.Home, []planner.Recipe{*r}, nil, nil), r.Name
	} else if i := slices.IndexFunc(t.Home.Rotations, func(r planner.Rotation) bool { return r.ID == d.Rotation }); i >= 0 {
		v, title = frozenPlan(t, t.Home.Rotations[i])
		v.Switch, title = d.Days, cmp.Or(d.Title, title)
	}
	if len(v.Recipes) == 0 {
		return nil, ""
	}
	if d.Topper {
		v.Recipes[0].Standing.Kind = planner.IsTopper
	}
	v.At = t.Event.At.UTC()
	if v.Profile = v.Recipes[0].Standing.Table; v.Profile == "" || len(v.Turns) > 0 {
		v.Profile, _ = planner.ProfileFor(planner.Dog{}, t.Event.At, t.Home.Profile)
	}
	return &v, title
}

// preview shows what everybody with the link will see, and asks whether it may.
func preview(t *talk.Turn, d draft) {
	if !passes(t, &d) {
		return
	}
	v, title := frozen(t, d)
	p := planner.Published{Author: d.Pen, Title: title, About: d.About, ForWhom: d.ForWhom, Versions: []planner.PublishedVersion{*v}}
	t.Ask("publish", "sure", d)
	blocks := append([]say.Block{say.Para(msg("publish.preview"))}, sheet(t, p)...)
	along := say.Where(len(v.Foods) > 0, msg("publish.foods-along", "foods", say.ListOf(v.Foods, func(f nutrition.Food) string { return f.Name })))
	offerSure(t, t.Say(append(blocks, say.Whole(along), say.Para(msg("publish.sure")))...))
}

func offerSure(t *talk.Turn, out *say.Reply) {
	out.Offer(t.Answer(t.Msg("button.publish"), "sure", "yes"), t.Answer(msg("button.publish-text"), "sure", "text"), t.StopButton())
}

// publish makes the link.
func publish(t *talk.Turn, d draft) {
	if !mayPublish(t) || tooMany(t, versionsToday(t, true), mostPublished, "limit.published") || !passes(t, &d) {
		return
	}
	v, title := frozen(t, d)
	t.EndDialogue()
	if i := talk.CarerIn(t.Home.Carers, t.Event.Person); i >= 0 && t.Home.Carers[i].Pen != d.Pen {
		t.Home.Carers[i].Pen, t.Changed = d.Pen, true
	}
	p := store.Published{Household: t.Home.ID, Person: t.Event.Person, Of: d.Recipe + d.Rotation, Rev: 1, Published: planner.Published{
		Token: household.Token(linkPrefix, tokenSize), Author: d.Pen, Title: title, About: d.About, ForWhom: d.ForWhom, Versions: []planner.PublishedVersion{*v},
	}}
	t.Write(store.PutPublished(p))
	showMine(t, p, msg("publish.done", "what", title))
	sendCards(t, p)
}

// pressPublish begins to publish what a button names.
func pressPublish(t *talk.Turn, args []string) {
	r := t.Recipe(talk.Arg(args, 1))
	switch {
	case talk.Arg(args, 0) == "plan" && talk.Arg(args, 1) == "":
		publishPlan(t)
	case talk.Arg(args, 0) == "plan":
		begin(t, draft{Rotation: talk.Arg(args, 1)})
	case r == nil:
		t.SayMsg("press.gone")
	case talk.Arg(args, 0) == "topper":
		begin(t, draft{Recipe: r.ID, Topper: true})
	default:
		publishRecipe(t, r)
	}
}

// frozenPlan is the version that a rotation would be now, and its title. The
// supplements that its first dog is reminded of, and that no recipe has, go along.
func frozenPlan(t *talk.Turn, rot planner.Rotation) (planner.PublishedVersion, string) {
	var all []planner.Recipe
	var names []string
	for _, w := range rot.Turns {
		r := t.Recipe(w.Recipe)
		if r == nil {
			return planner.PublishedVersion{}, ""
		}
		if !slices.ContainsFunc(all, func(o planner.Recipe) bool { return o.ID == r.ID }) {
			all, names = append(all, *r), append(names, r.Name)
		}
	}
	var doses []planner.Dose
	for _, rem := range t.Home.Reminders {
		if len(rot.Dogs) == 0 || !balance.GivesTo(rem, rot.Dogs[0]) ||
			slices.ContainsFunc(all, func(r planner.Recipe) bool { return r.Uses(rem.Dose.Food) }) {
			continue
		}
		dose := *rem.Dose
		dose.Cadence = planner.Cadence{EveryDays: rem.Schedule.EveryDays, Weekdays: rem.Schedule.Weekdays}
		doses = append(doses, dose)
	}
	title := msg("plan.title", "first", names[0], "n", len(names)-1)
	if len(names) == 2 {
		title = msg("plan.title-two", "first", names[0], "second", names[1])
	}
	return edition.Freeze(t.Home, all, rot.Turns, doses), title
}
