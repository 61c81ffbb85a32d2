package publish

import (
	"slices"
	"strconv"
	"strings"
	"time"

	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
	"bowlwright/planner/edition"
	"bowlwright/store"
)

// tell has the readers of what a token opens hear of it: a page of them a step.
// Each hears in a turn of its own, so that quiet hours and what it made of the
// recipe are looked at where they are known.
func tell(w *talk.Work) {
	p, err := w.Snap.Published(w.Of)
	if !talk.Found(w, err) {
		return
	}
	if w.After == "" && p.Withdrawn.Operator {
		tellAuthor(w, &p)
	}
	page, err := w.Snap.Readers(w.Of, w.After, readerPage)
	if !talk.Found(w, err) {
		return
	}
	for _, r := range page {
		if !hasNews(&p, r) {
			continue
		}
		id := store.Errand(store.NewsErrand, r.Household)
		d, err := w.Snap.Due(id)
		if !talk.Found(w, err) {
			return
		}
		w.Expect(store.DueIs{Household: id, At: d.At})
		if d.At.IsZero() || !p.Withdrawn.At.IsZero() {
			w.Write(store.PutDue{Household: id, At: w.Now.UTC()})
		}
	}
	if len(page) == readerPage {
		w.After, w.Next = page[len(page)-1].Household, w.Now
	}
}

// tellAuthor tells the household of an author that whoever runs the program has
// withdrawn what it published.
func tellAuthor(w *talk.Work, p *store.Published) {
	home, err := w.Snap.Household(p.Household)
	if !talk.Found(w, err) {
		return
	}
	t := w.For(home)
	day := talk.DayOf(t, planner.DateOf(p.Withdrawn.At.In(t.Event.At.Location())))
	t.Say(say.Whole(msg("withdrawn.operator", "what", p.Title, "day", day, "why", p.Withdrawn.Why)), say.Para(msg("withdrawn.author")))
	w.Tell(t, false)
}

// hasNews reports that a reader has not heard yet of a version, or that all is
// withdrawn.
func hasNews(p *store.Published, r store.Reader) bool {
	_, latest := p.Latest()
	if !p.Withdrawn.At.IsZero() {
		return !r.Gone
	}
	return r.Version < latest && r.Told < latest
}

// news tells a household of what it keeps: at once what was withdrawn, and of
// new versions one a day, outside its quiet hours and pauses.
func news(w *talk.Work) {
	home, err := w.Snap.Household(w.Of)
	if !talk.Found(w, err) {
		return
	}
	t := w.For(home)
	t.Happened(&talk.HouseholdEntered{})
	reading, err := w.Snap.Reading(home.ID)
	if !talk.Found(w, err) {
		return
	}
	var told time.Time
	var waiting []offered
	for _, r := range reading {
		p, err := w.Snap.Published(r.Token)
		switch {
		case !talk.Found(w, err):
		case !hasNews(&p, r):
		case !p.Withdrawn.At.IsZero():
			sayWithdrawn(t, &p)
			w.Tell(t, false)
			r.Gone = true
			heard(w, r)
		default:
			waiting = append(waiting, offered{p, r})
		}
		if r.ToldAt.After(told) {
			told = r.ToldAt
		}
	}
	if len(waiting) == 0 || w.Err != nil {
		return
	}
	if at := newsAt(home, told, w.Now); at.After(w.Now) {
		w.Next = at
		return
	}
	slices.SortFunc(waiting, func(a, b offered) int { return a.at().Compare(b.at()) })
	o := waiting[0]
	if sayNews(t, &o.p, o.r) {
		w.Tell(t, true)
	}
	_, o.r.Told = o.p.Latest()
	o.r.ToldAt = w.Now.UTC()
	heard(w, o.r)
	if len(waiting) > 1 {
		w.Next = newsAt(home, w.Now, w.Now)
	}
}

// offered is a version that a reader has not heard of.
type offered struct {
	p store.Published
	r store.Reader
}

func (o offered) at() time.Time { v, _ := o.p.Latest(); return v.At }

// heard keeps what a reader was told.
func heard(w *talk.Work, r store.Reader) {
	was, ok, err := store.ReaderOf(w.Snap, r.Token, r.Household)
	if talk.Found(w, err) && ok {
		w.Expect(store.ReaderIs(was))
		w.Write(store.PutReader(r))
	}
}

// newsAt is when a household may next hear of a new version: a day after the
// last, in no pause and no quiet time.
func newsAt(home *planner.Household, told, now time.Time) time.Time {
	at := now
	if next := told.Add(aDay); !told.IsZero() && next.After(at) {
		at = next
	}
	loc := home.Location()
	if p, paused := home.PausedOn("", planner.DateOf(at.In(loc))); paused {
		at = planner.Instant(p.Until, 0, loc)
	}
	return home.Quiet.Send(at, loc).UTC()
}

// mostWhys is how many reasons are told of versions that came one after another
// (our own choice).
const mostWhys = 3

// taking is a version as a household would take it.
type taking struct {
	p       *store.Published
	v, was  *planner.PublishedVersion
	number  int
	kitchen *edition.Kitchen
	merged  []planner.Recipe // with the ids of the household's own, which they replace
	own     [][]edition.Own  // what the household changed of each
	fresh   []planner.Recipe // of a plan, that are new in it
	gone    []string         // names of those that are no longer part of it

	corrected map[string]string // foods of the author's own whose figures are others now: key before, after
}

// take works out what the newest version makes of what the household keeps; nil
// where it keeps nothing of it.
func take(t *talk.Turn, p *store.Published, id func(string) string) *taking {
	k := &taking{p: p, kitchen: edition.NewKitchen(t.Home, p.Token, id)}
	k.v, k.number = p.Latest()
	is := k.kitchen.Recipes(k.v, k.number)
	kept := map[string]bool{}
	for i := range t.Home.Recipes {
		own := &t.Home.Recipes[i]
		if own.From.Token != p.Token {
			continue
		}
		was, n := p.Numbered(own.From.Version)
		if was == nil {
			continue
		}
		k.was = was
		there := own.From.Recipe
		next, ok := is[there]
		if !ok {
			k.gone = append(k.gone, own.Name)
			continue
		}
		before := k.kitchen.Recipes(was, n)[there]
		k.corrected = k.kitchen.Corrected(was, k.v)
		before, mine := edition.WithFoods(before, k.corrected), edition.WithFoods(*own, k.corrected)
		merged, changes := edition.Merge(before, next, mine)
		k.merged = append(k.merged, adopted(before, merged, mine, k.number))
		k.own = append(k.own, changes)
		kept[there] = true
	}
	if k.was == nil {
		return nil
	}
	for i := range k.v.Recipes {
		if r := &k.v.Recipes[i]; !kept[r.ID] && k.was.Recipe(r.ID) == nil {
			fresh := is[r.ID]
			fresh.Name = r.Name
			k.fresh = append(k.fresh, fresh)
		}
	}
	return k
}

// adopted is a household's own recipe with the lines of a new version, and with
// the author's words where they were not changed.
func adopted(was, is, own planner.Recipe, number int) planner.Recipe {
	out := own
	out.Ingredients, out.Doses, out.Days = is.Ingredients, is.Doses, is.Days
	if own.Method == was.Method {
		out.Method = is.Method
	}
	if slices.Equal(own.Notes, was.Notes) {
		out.Notes = is.Notes
	}
	out.Standing = is.Standing
	out.From.Version = number
	return out
}

// sayNews says what a new version changes, why, and what it does to the bowls
// of the household's dogs.
func sayNews(t *talk.Turn, p *store.Published, r store.Reader) bool {
	k := take(t, p, nil)
	if k == nil {
		return false
	}
	shelve(t, k.kitchen.Foods())
	head := msg("news.head", "author", authorOf(&p.Published), "what", p.Title, "n", k.number)
	blocks := []say.Block{say.Para(head), say.Whole(k.changesText(t)), say.Para(k.whyText())}
	for i := range k.merged {
		blocks = append(blocks, k.bowlChanges(t, &k.merged[i])...)
	}
	blocks = append(blocks, say.Whole(k.ownText(t)), say.Para(say.Where(k.reorders(t), msg("news.rotation"))), say.Para(msg("news.nothing-yet")))
	out := t.Say(blocks...)
	at := strconv.Itoa(k.number)
	out.Offer(t.Button(msg("button.take-version"), "news", "take", p.Token, at), t.Button(msg("button.keep-version"), "news", "keep", p.Token, at))
	if asks(p, r) {
		out.Offer(askButton(t, p))
	}
	return true
}

// whyText is why, of each version since the one that is kept, the newest first.
func (k *taking) whyText() string {
	var lines []string
	for n := k.number; n > 0; n-- {
		if v, _ := k.p.Numbered(n); v == k.was {
			break
		} else if v.Why != "" {
			lines = append(lines, msg("news.why", "why", v.Why))
		}
	}
	return strings.Join(lines[:min(len(lines), mostWhys)], "\n")
}

// changesText is what the author changed since the version that is kept.
func (k *taking) changesText(t *talk.Turn) string {
	was := k.kitchen.Recipes(k.was, k.number)
	for id, r := range was {
		was[id] = edition.WithFoods(r, k.corrected)
	}
	is := k.kitchen.Recipes(k.v, k.number)
	here := func(v *planner.PublishedVersion, recipes map[string]planner.Recipe) *planner.PublishedVersion {
		out := *v
		out.Recipes = slices.Clone(v.Recipes)
		for i, r := range v.Recipes {
			out.Recipes[i] = recipes[r.ID]
			out.Recipes[i].ID, out.Recipes[i].Name = r.ID, r.Name
		}
		return &out
	}
	return differenceText(t, here(k.was, was), here(k.v, is))
}

// ownText says which of the household's own changes go along, and which do not.
func (k *taking) ownText(t *talk.Turn) string {
	var stay, lost []string
	for _, changes := range k.own {
		for _, c := range changes {
			text := ownChange(t, c)
			if c.Lost != "" {
				lost = append(lost, text+" ("+msg("lost."+string(c.Lost))+")")
			} else {
				stay = append(stay, text)
			}
		}
	}
	var lines []string
	if len(stay) > 0 {
		lines = append(lines, msg("news.own", "changes", strings.Join(stay, "; ")))
	}
	if len(lost) > 0 {
		lines = append(lines, msg("news.lost", "changes", strings.Join(lost, "; ")))
	}
	return strings.Join(lines, "\n")
}

// ownChange is a household's own change in a few words.
func ownChange(t *talk.Turn, c edition.Own) string {
	switch {
	case c.In == "":
		return msg("own.out", "food", t.FoodName(c.Out))
	case c.Out == "":
		return msg("own.in", "food", t.FoodName(c.In))
	case c.Out == c.In:
		return msg("own.amount", "food", t.FoodName(c.In))
	}
	return msg("own.swap", "out", t.FoodName(c.Out), "in", t.FoodName(c.In))
}
