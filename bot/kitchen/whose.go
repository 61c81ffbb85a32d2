package kitchen

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"bowlwright/bot/read"
	"bowlwright/bot/read/span"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
)

// ofPacks is how what is said of packs begins where it is said of several dogs at
// once: "took one out for Sela and two for Knut".
var ofPacks = map[read.Intent]string{read.PacksMade: "froze ", read.PacksThawed: "thawed ", read.PacksGiven: "gave away ", read.PacksThrown: "threw away ", read.PacksCounted: ""}

// PackWords does to the packs of several dogs or recipes at once what a text says, and
// reports whether it was that: "Juniper has 6 packs left, Pip 4".
func PackWords(t *talk.Turn, s string) bool {
	sizes := read.Without("two-sizes", s)
	if done := packsOfEach(t, s); done || sizes == s {
		return done
	}
	said := len(t.Replies)
	for part := range strings.SplitSeq(sizes, "; ") { // "froze 6 tubs of 950 g and one of 400 g"
		talk.Sentence(t, part)
	}
	return len(t.Replies) > said || packsOfEach(t, sizes)
}

func packsOfEach(t *talk.Turn, s string) bool {
	if len(t.Home.Dogs) < 2 && len(t.Home.Recipes) < 2 {
		return false
	}
	var all []read.Sentence
	begins, known := "", false
	bound, apart := span.BindNames(read.Without("count-next", strings.TrimRight(s, " .!")), t.Names())
	parts := read.Clauses(bound)
	for i := range parts {
		parts[i] = apart(parts[i])
	}
	first, ok := t.Understand(parts[0])
	asked := ""
	if last := len(parts) - 1; last > 1 && ofPacks[first.Intent] != "" && read.BeginsQuestion(parts[last]) { // ", how many are left"
		asked, parts = parts[last], parts[:last]
	}
	if !read.Says("counts-tubs", s) && !read.Says("freezer", s) && (!ok || ofPacks[first.Intent] == "") && first.Intent != read.PacksCounted {
		return false // "took out 2 for Juniper, 1 for Pip"
	}
	for i, part := range parts {
		got, ok := t.Understand(part)
		if !ok && i == 0 && len(parts) > 1 { // "7 packs of Sela and 5 of Knut are left"
			_, rest, _ := strings.Cut(parts[len(parts)-1], " are ")
			got, ok = t.Understand(part + " " + rest)
		}
		if i > 0 && (!ok || got.Intent != all[0].Intent || got.Dog == "" && got.Recipe == "") {
			got, ok = t.Understand(say.Choose(begins == "", "there are ", begins) + part)
		}
		if from, to, dogs := talk.DogsIn(t, part); len(dogs) == 1 && (!ok || i > 0 && got.Intent != all[0].Intent) {
			if n := read.OnlyCounts(part[:from] + " " + part[to:]); n != "" { // "Pip 4"
				got, ok = t.Understand(begins + n + " packs for " + dogs[0].Name)
				if begins == "" {
					got, ok = t.Understand(dogs[0].Name + " has " + n + " packs left")
				}
			}
		}
		begin, is := ofPacks[got.Intent]
		if !ok || !is || got.Dog == "" && got.Recipe == "" || known && begin != begins {
			return false
		}
		begins, known = begin, true
		if len(all) > 0 && got.Recipe == "" {
			got.Recipe = all[0].Recipe
		}
		all = append(all, got)
	}
	if len(all) < 2 {
		return false
	}
	each, batch := false, slices.ContainsFunc(t.Offered("packs"), func(args []string) bool { return args[0] == "in" })
	for i := range all { // what is packed for a dog is what it eats, where no recipe is spoken of
		if own, ok := planner.RecipeOn(t.Home, all[i].Dog, t.Date()); ok && begins == "froze " && all[i].Recipe == "" && !batch {
			all[i].Recipe = own
		}
		each = each || all[i].Recipe != all[0].Recipe
	}
	if begins == "froze " && !each {
		madeFor(t, all)
		return true
	}
	for _, got := range all {
		t.GoTo(got)
	}
	if asked != "" {
		t.RouteWords(asked)
	}
	return true
}

// answerShared lets several dogs have packs that were counted for one: those that were
// put in last, or those of the dog that is named. Where one other dog is to have them,
// it is that one's and the first dog's alone if there are only two.
func answerShared(t *talk.Turn, s read.Sentence) {
	var last time.Time
	for _, l := range lotsOf(t.Home) {
		if made := l.Moves[0].At; made.After(last) {
			last = made
		}
	}
	letHave(t, func(l *planner.Lot) bool {
		return (s.Recipe == "" || l.Recipe == s.Recipe) && (s.Dog != "" && l.Dog == s.Dog || s.Dog == "" && len(l.Moves) > 0 && l.Moves[0].At.Equal(last))
	})
	switch {
	case t.Changed:
	case len(t.Home.Packs) > 0:
		t.Say(say.Whole(shelvesText(t, shelves(t))))
	default:
		t.SayMsg("left.nothing", talk.Examples(t)...)
	}
}

// answerWhose has so many packs be of another dog than they were counted for: "two of
// the turkey packs were Pip's".
func answerWhose(t *talk.Turn, s read.Sentence) {
	if _, ok := packsSaid(t, s); !ok {
		return
	}
	all := slices.DeleteFunc(shelves(t), func(f shelf) bool {
		packs, _, _ := f.left()
		return packs < 1 || f.dog == s.Other || s.Recipe != "" && f.recipe != s.Recipe || s.Dog != "" && f.dog != s.Dog
	})
	toShelf(t, all, handOver, "whose", s.Other, int(s.Count))
}

// handOver takes so many frozen packs of a shelf, the oldest first, for another dog.
// What they are made of and by when they are to be used goes with them.
func handOver(t *talk.Turn, f shelf, to string, n int) {
	if talk.Gone(t, t.Dog(to) == nil) {
		return
	}
	t.Mutate("did.packs", f.name())
	left := n
	for i, s := range f.stocks {
		take := min(left, s.Frozen)
		if take <= 0 {
			continue
		}
		left -= take
		l := *s.Lot
		l.ID, l.Dog, l.Warned = fmt.Sprintf("%s.%s.%d", talk.ChangeID(t.Event.ID), to, i), to, false
		l.Moves = made(t, take)
		addMove(t, s.Lot.ID, planner.PacksGiven, take)
		t.Home.Packs = append(t.Home.Packs, l)
	}
	t.Say(say.Para(msg("moved.whose", "n", n-left, "dog", dogOf(t, to))), say.Para(shortText(left, n)), say.Para(shelvesText(t, shelvesOf(t, f.recipe, "")))).Offer(t.UndoButton())
}

// JoinedWords does two things of the kitchen that are said together, each a sentence of
// its own, and reports whether a text was that.
func JoinedWords(t *talk.Turn, s string) bool {
	if is, whole := t.Understand(s); whole && is.Intent != read.CookDay || strings.Contains(s, "\n") {
		return false
	}
	for _, at := range read.Pattern("joined").FindAllStringIndex(s, -1) {
		first, second := s[:at[0]], s[at[1]:]
		a, isA := t.Understand(first)
		b, isB := t.Understand(second)
		if isA && !isB && a.Intent == read.MakeDays { // "turkey for 8 days and pork for 6"
			b, isB = t.Understand("make " + read.Pattern("bare-days").ReplaceAllString(second, "$1 days"))
		}
		if a.Intent == read.MakeDays && b.Intent == read.BowlAmount && b.Recipe != "" { // "a week of lamb for Pip and turkey for Juniper"
			b.Intent, b.Days = a.Intent, a.Days
		}
		if isA && isB && a.Intent == read.MakeDays && b.Intent == a.Intent {
			t.GoTo(a)
			t.GoTo(b)
			return true
		}
		if isA && isB && a.Intent == read.MakeDays && b.Intent == read.CookedOnly { // "10 days of turkey, 8 % cooking loss"
			b.Recipe = a.Recipe
			if t.GoTo(b); t.Changed {
				t.Replies = nil // that it is kept is said with what is made
			}
			t.GoTo(a)
			t.LastReply().Add(say.Where(t.Changed, msg("cooked.kept", "recipe", talk.RecipeName(t, t.Talk.Recipe))))
			return true
		}
		if !isA || !isB || a.Intent == b.Intent || !ofKitchen(a.Intent) || !ofKitchen(b.Intent) {
			continue
		}
		for i, part := range []string{first, second} {
			t.Event.Text = part
			switch {
			case i == 1 && b.Recipe == "" && a.Recipe != "" && strings.HasPrefix(string(b.Intent), "batch."):
				b.Recipe = a.Recipe
				t.GoTo(b)
			case !ShopWords(t, part):
				talk.Sentence(t, part)
			}
		}
		if t.Talk.Kind == "cooked" {
			t.AskAgain() // what else was said stands between
		}
		return true
	}
	return false
}

// ofKitchen reports that a sentence is about batches, packs, shopping or what it costs.
func ofKitchen(i read.Intent) bool {
	kind, _, _ := strings.Cut(string(i), ".")
	if i == read.Storing {
		return true
	}
	return kind == "batch" || kind == "shop" || kind == "cost"
}
