package kitchen

import (
	"slices"
	"strconv"

	"bowlwright/bot/read"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
)

// moved answers what a carer says was done with packs, or how many there are.
func moved(kind planner.PackMoveKind) talk.Intent {
	return func(t *talk.Turn, s read.Sentence) {
		n := int(s.Count)
		if float64(n) != s.Count || n > mostPacks {
			t.SayMsg("packs.how-many")
			return
		}
		all := shelvesOf(t, s.Recipe, s.Dog)
		if kind != planner.PacksCounted {
			all = slices.DeleteFunc(all, func(f shelf) bool { packs, _, _ := f.left(); return packs <= 0 })
		}
		switch len(all) {
		case 0:
			t.SayMsg("left.nothing", t.Examples()...)
		case 1:
			move(t, all[0], kind, n)
		default:
			out := t.SayMsg("packs.which")
			for _, f := range all {
				out.Offer(t.Button(msg("button.shelf", "dog", dogOf(t, f.dog), "recipe", f.name()), "packs", "move", string(kind), strconv.Itoa(n), f.recipe, f.dog))
			}
		}
	}
}

// pressMove does it to the packs that were chosen.
func pressMove(t *talk.Turn, args []string) {
	n, err := strconv.Atoi(talk.Arg(args, 1))
	all := shelves(t)
	i := slices.IndexFunc(all, func(f shelf) bool { return f.recipe == talk.Arg(args, 2) && f.dog == talk.Arg(args, 3) })
	if i < 0 || err != nil || n < 0 {
		t.SayMsg("press.gone")
		return
	}
	move(t, all[i], planner.PackMoveKind(talk.Arg(args, 0)), n)
	t.InPlace(t.LastReply())
}

// move does something to so many packs of a shelf, the oldest first, and says what
// is left. Of more than there are it says so.
func move(t *talk.Turn, f shelf, kind planner.PackMoveKind, n int) {
	t.Mutate("did.packs", f.name())
	short := 0
	if kind == planner.PacksCounted {
		count(t, f, n)
	} else {
		short = takeOut(t, f, kind, n)
	}
	text := ""
	if short > 0 {
		text = msg("packs.short", "n", n-short, "asked", n)
	}
	now := shelves(t)
	i := slices.IndexFunc(now, func(o shelf) bool { return o.recipe == f.recipe && o.dog == f.dog })
	out := t.Say(say.Para(msg("moved."+string(kind), "n", n-short)), say.Para(text), say.Para(shelfText(t, now[i])), say.Para(say.Where(kind == planner.PacksThawed, msg("thaw.keep"))))
	out.Offer(t.UndoButton())
}

// takeOut takes packs out, the oldest first, and returns how many were missing.
func takeOut(t *talk.Turn, f shelf, kind planner.PackMoveKind, n int) (short int) {
	for _, s := range f.stocks {
		have := s.Frozen
		if kind == planner.PacksThrown {
			have += s.Open / max(s.Lot.Each, 1)
		}
		if take := min(n, have); take > 0 {
			addMove(t, s.Lot.ID, kind, take)
			n -= take
		}
	}
	return n
}

// count sets how many packs there are: what is missing was the oldest, what is
// more is of the newest.
func count(t *talk.Turn, f shelf, n int) {
	for i, s := range slices.Backward(f.stocks) {
		is := min(n, s.Frozen)
		n -= is
		if i == len(f.stocks)-1 {
			more := n
			for _, o := range f.stocks[:i] {
				more -= o.Frozen
			}
			more = max(more, 0)
			is, n = is+more, n-more
		}
		addMove(t, s.Lot.ID, planner.PacksCounted, is)
	}
}

func addMove(t *talk.Turn, lot string, kind planner.PackMoveKind, n int) {
	for i := range t.Home.Packs {
		if l := &t.Home.Packs[i]; l.ID == lot {
			l.Moves = append(slices.Clone(l.Moves), planner.PackMove{Kind: kind, Packs: n, At: t.Event.At.UTC()})
			l.Warned = false
		}
	}
}
