// Package alarm hears signs of illness and what dogs must not have, in any words.
package alarm

import (
	"cmp"
	"slices"
	"strings"

	"bowlwright/bot/read/language"
	"bowlwright/bot/read/span"
	"bowlwright/nutrition"
)

// Level is how soon a vet is to be asked.
type Level int

// The levels, rising. Which sign has which stands in language/signs.txt.
const (
	Calm     Level = iota
	Watch          // write it down; a vet if it goes on or gets worse
	VetToday       // ring the vet today
	VetNow         // call a vet or an emergency clinic now
)

// Danger is something that dogs must not have. Key selects the reason.
type Danger struct{ Key, Name string }

// Alarm is what a text tells of signs, and of what dogs must not have.
type Alarm struct {
	Level    Level    // for a healthy grown dog
	Frail    Level    // for a puppy, and a tiny, old or ill dog; never less
	Signs    bool     // the dog shows something
	Eaten    *Danger  // what it got hold of, the worst of it
	Asked    *Danger  // what is only asked about, and is no food of the table, or is to be fed
	Ordered  bool     // it is to be put into the dogs' food
	Food     *Danger  // the same of a food that is refused
	Alone    *Danger  // what is all that is said
	Also     []Danger // what is named beside the one of these, for another reason
	Cry      bool     // a cry for help is all that is said
	Dose     bool     // how much of a medicine is asked for
	Packet   bool     // there may be a packet to take along
	Took     bool     // it swallowed something, or was given it
	Chilled  bool     // they are pups that are cold
	Other    bool     // something else is to be done too
	Person   bool     // it is a person who had it
	GoesOn   bool     // it is no more than a word on an emergency just told of
	Down     bool     // it is a person who needs help at once
	Dogs     []string
	Both     bool     // two dogs are meant that are not named,
	Every    bool     // or all of them,
	Stranger bool     // or one that is not of the household, or none: it is only thought of
	by       int      // the line of signs.txt that it goes by
	Unknown  string   // the name of a dog that it is told of, which the household does not have
	Past     bool     // it is long past
	Weak     bool     // the text itself speaks of a puppy, or a tiny, old or ill dog
	Fasting  bool     // nothing eaten for three days
	Uneaten  bool     // nothing eaten, for as long as the text says
	Cleared  bool     // a sign or danger is named of which the vet, or the dog's state, takes the news
	ByVet    bool     // by a vet's word
	Seen     bool     // it is told that a vet has seen a dog
	Stays    bool     // a vet keeps it
	Fasts    bool     // a vet has it go without food
	Home     bool     // it came home from there, or may eat by a vet's word
	Later    bool     // a vet is to see a dog first
	More     bool     // it may go on with a sign just told of
	Denied   bool     // it is said that there is no sign or danger, or no longer
	Mended   bool     // a danger was named by mistake for a food
	Unhad    []string // the keys of dangers of which it is said that no dog had them
	TookBack bool     // and that what was told of them is taken back
	Wrong    bool     // what was told is put right, and nothing is told besides
	Doubling bool     // two doses at once are thought of, for one left out
	Twice    bool     // something was given twice, which may be a medicine
	Bare     bool     // what may have been eaten is no more than named
	Adds     bool     // it goes on with what was said before: "and coffee too"
	Habit    bool     // how a dog moves about in a day is told, and no sign
	Well     bool     // a dog is said to be well, or it is asked
	Pot      *Danger  // what went into food that no dog is said to have had
	HadPot   bool     // a dog is said to have had something
	Named    string   // the key of the danger that is named first, whatever is said of it
	Nobody   bool     // it is said that none had any
	Calms    bool     // it is that, or asked whether it can wait, without a vet's word
	Passed   bool     // something mild is told of that is over: "threw up once but is fine now"
	lacks    []wordings
	shown    []wordings // the signs that the dog shows, by their first words
}

// Ends reports that a text tells that what was told of before has passed: that a dog is
// well, or has that sign no longer.
func (a *Alarm) Ends(told string) bool {
	switch h, _ := hear(told, nil); {
	case a.Passed:
		return a.Renews(told)
	case a.Well, a.Cleared, len(a.lacks) == 0:
		return true
	default:
		return slices.ContainsFunc(a.lacks, h.finds)
	}
}

// Renews reports that it tells of a sign of which was told before.
func (a *Alarm) Renews(told string) bool {
	h, _ := hear(told, nil)
	return slices.ContainsFunc(a.shown, h.finds)
}

// NamesPassed reports that it names a sign that a dog has no longer, and no other.
func (a Alarm) NamesPassed() bool { return len(a.lacks) > 0 && !a.Signs }

// Poisoned reports that a dog got hold of what may harm it for days.
func (a *Alarm) Poisoned() bool {
	return a.Eaten != nil || a.Alone != nil || a.Packet && a.Level == VetNow
}

// Held reports that a vet keeps a dog, or its food.
func (a Alarm) Held() bool { return a.Stays || a.Fasts }

// CannotWait reports that a vet is to be called at once, or for days.
func (a Alarm) CannotWait() bool { return a.Poisoned() || a.Level >= VetNow }

// Eats reports that a dog got hold of a danger of a key.
func (a Alarm) Eats(key string) bool { return a.Eaten != nil && a.Eaten.Key == key }

// In looks for signs and dangers in a text, in any wording: it goes by
// the words of language/signs.txt, dangers.txt and medicines.txt and by the foods
// that are refused, and mends slips of the finger. It reads texts of any
// length and errs towards hearing one.
func In(text string, n span.Names) Alarm {
	text, _ = span.FirstRunes(text, span.MostRunes*4)
	text = language.Without("wont-stop", text)
	if len(span.Mentions(text, n.Recipes)) > 0 {
		text, _ = span.BindNames(text, span.Names{Recipes: slices.DeleteFunc(slices.Clone(n.Recipes), func(r span.Named) bool {
			return r.Name == text || In(r.Name, span.Names{}).Named == ""
		})}) // Turkey hash is no cannabis
	}
	h, dogs := hear(text, n.Dogs)
	if len(h.words) == 0 {
		return Alarm{}
	}
	a, b := Alarm{Dogs: dogs, Wrong: wronglyTold(text, n)}, h.book
	h.question = strings.Contains(language.Without("taken-aback", text), "?") || b.has("opening", h.words[0].Text)
	h.shout = strings.Contains(text, "!")
	a.Weak, a.Past = h.says("weak"), h.says("long-ago") && !language.Says("goes-on-now", language.Without("now-well", text))
	for _, r := range h.signs {
		if (r.level > a.Level || r.frail > a.Frail || r.fasting && !a.Fasting) && h.fits(r) {
			a.Level, a.Frail, a.Signs = max(a.Level, r.level), max(a.Frail, r.frail), true
			a.by, a.Fasting = r.line, a.Fasting || r.fasting
		}
	}
	a.Both, a.Every = h.says("both"), h.says("every")
	a.Stranger = len(a.Dogs) == 0 && h.says("stranger") && !h.says("stranger-did")
	a.Down = h.follows("people", "people-down")
	a.Uneaten = a.Signs && h.says("uneaten")
	if a.Person = h.personHad(); !a.Person {
		h.ownDrugs(n.Given)
		h.dangers(&a)
	}
	h.takesBack(&a)
	h.inPot(&a)
	h.clear(&a)
	for _, r := range h.signs {
		if a.Signs && h.fits(r) {
			a.shown = append(a.shown, r.elements[0].words)
		}
	}
	if over := language.Find("told-over", text); over != "" && a.Signs && a.Level == Watch && !h.question {
		a.Passed = In(strings.Replace(text, over, "", 1), n).Signs && !In(over, n).Signs
	}
	if (a.Signs || a.Eaten != nil) && len(a.Dogs) == 0 && len(n.Dogs) > 0 {
		a.Unknown = h.unknownName(text, n.Dogs)
	}
	a.Stranger = a.Stranger || a.Unknown != "" || a.Eaten == nil && h.says("thought-of")
	a.Person = a.Person || a.Level < VetToday && (h.follows("bites", "people") || len(a.Dogs) == 0 && h.follows("people", "people-ill"))
	a.Mended, a.lacks = h.corrected(0), h.lacks()
	a.Habit = !a.Signs && a.Eaten == nil && !h.shout && h.says("habit")
	unhad := func(at int) bool { return h.neverHad(at) && h.isDanger(at) } // "they did not eat any onion"
	a.Denied = a.Denied || !a.Signs && a.Eaten == nil && (len(a.lacks) > 0 || h.some(unhad) || a.Mended || h.settles())
	a.Seen, a.Later = h.seen && !h.question, h.says("vet-later")
	later := h.says("home-later") // "in overnight, home tomorrow"
	a.Stays = !h.question && !h.says("fast-begins") && (h.tells("vet-stays") || h.says("not-home") && h.says("vet-word")) && (later || !h.says("vet-home")) && !h.says("vet-visit")
	a.Fasts = !h.question && h.says("no-food") && h.fasts && !h.says("no-food-else") && (h.says("fast-begins") || !h.says("fast-after"))
	a.Home = !h.question && !later && (h.tells("came-home") || h.tells("may-eat"))
	a.Twice, a.Well, a.Calms = h.says("twice"), h.well, h.calms || !h.byVet && len(a.lacks) > 0
	dose := h.says("tablet") || h.says("supplement")
	a.Doubling = (h.says("missed") || a.Signs && dose) && h.says("doubling")
	a.Packet = dose || a.Eaten != nil && !language.In("packetless", a.Eaten.Key) || slices.ContainsFunc(a.Also, func(d Danger) bool { return !language.In("packetless", d.Key) })
	a.Took = dose || a.Eaten != nil || h.tells("eaten") || h.tells("gave") && h.says("measured")
	a.Chilled = a.Level == VetNow && h.says("pups") && h.says("chilled")
	a.Dose = a.Eaten == nil && h.asksDose()
	a.GoesOn, a.More = h.goesOn(), h.says("more")
	a.Cry, a.Other, a.Adds = h.wholly("cry"), h.says("other"), h.book.has("adding", h.words[0].Text)
	if len(a.Dogs) > 1 {
		a.Dogs = h.owners(a.Dogs)
	}
	return a
}

// clear takes back what is no news after a vet's word, or where the dog is well.
func (h *hearing) clear(a *Alarm) {
	story := a.Stranger && a.Level < VetNow && a.Eaten == nil && !h.question && h.follows("stranger", "stranger-once")
	if usual := a.Frail == Watch && !h.question && h.says("usual"); usual || story {
		a.Level, a.Frail, a.Signs, a.Denied, a.Past = Calm, Calm, false, usual, a.Past || story
	}
	if a.Level == VetToday && h.says("well-since") {
		a.Level, a.Frail = Watch, Watch
	}
	signs := a.Signs && a.Level >= VetToday
	vet := h.cleared || h.well && !h.question && h.says("vet-did") && !h.says("unsettled")
	if signs || !vet && (a.Eaten != nil || !h.says("well")) {
		return
	}
	a.Cleared, a.ByVet = a.Eaten != nil || a.Signs, vet
	a.Level, a.Frail, a.Signs, a.Eaten, a.Alone, a.Denied = Calm, Calm, false, nil, nil, true
}

// dangers looks for what dogs must not have, and whether one had it.
func (h *hearing) dangers(a *Alarm) {
	var had, asked []found
	back := h.says("took-back")
	for _, e := range h.things() {
		if e.kind != kindOwn && !h.asks(e) && h.all(e.start, e.end) {
			a.Alone = &e.Danger
		}
		switch {
		case h.ordered(e):
			e.asks, a.Ordered = true, true
			asked = slices.Insert(asked, 0, e)
		case h.had(e) && (!a.Wrong || h.says("took-back-not")) && (!back || h.shout || h.told(e)): // not "the garlic was only a question"
			had = append(had, e)
			level := span.Choose(language.In("can-wait", e.Key), VetToday, VetNow)
			a.Level, a.Frail = max(a.Level, level), max(a.Frail, level)
		case h.asks(e) && (e.asks || e.kind == kindFood):
			asked = append(asked, e)
		}
	}
	a.Bare = !slices.ContainsFunc(had, func(e found) bool { return h.shout || h.told(e) })
	switch {
	case len(had) > 0:
		a.Eaten, a.Also = &had[0].Danger, others(had)
	case len(asked) > 0 && asked[0].asks:
		a.Asked, a.Also = &asked[0].Danger, others(asked)
	case len(asked) > 0:
		a.Food, a.Also = &asked[0].Danger, others(asked)
	}
}

// Keys of refusals: a bone is asked about by its cut, sulphite harms by the
// week, and what blocks the gut may have held what poisons.
const (
	blocking   = "string"
	cookedBone = "cooked-bone"
	slowHarm   = "sulphite"
)

// found is a danger where it stands in the text.
type found struct {
	Danger
	kind       string
	asks       bool // a question about it is answered at once
	start, end int
}

// rank puts last what can wait sooner, and what may be but the wrapping of
// another danger.
func (f found) rank() int {
	return span.Choose(f.Key == blocking || language.In("can-wait", f.Key), 1, 0)
}

// things are the dangers that a text names, and does not deny.
func (h *hearing) things() []found {
	return slices.DeleteFunc(slices.Clone(h.named), func(e found) bool { return h.denied(e.start) || h.corrected(e.end) })
}

// dangersNamed are the dangers that a text names: the first that is named first.
func (h *hearing) dangersNamed() (all []found) {
	text := make([]string, len(h.words))
	for i := range h.words {
		text[i] = h.words[i].Text
		if text[i] == "gums" {
			text[i] = "" // those of the mouth
		}
	}
	for at := range h.words {
		for i, end := at, h.at("seeming", at); i < end; i++ {
			text[i] = ""
		}
	}
	foods, at := nutrition.RefusedIn(text)
	for i := range foods {
		if foods[i].Key != slowHarm {
			all = append(all, found{Danger: Danger(foods[i]), kind: kindFood, start: at[i], end: at[i] + 1})
		}
	}
	for i, places := range h.begun(h.book.named, len(h.book.dangers)) {
		d := &h.book.dangers[i]
		for _, at := range places {
			if end := d.words.at(h, at); end > 0 && !h.finds(d.unless) {
				all = append(all, found{Danger: d.Danger, kind: d.kind, asks: d.kind != kindOwn && d.Key != cookedBone, start: at, end: end})
			}
		}
	}
	slices.SortStableFunc(all, func(a, b found) int {
		return cmp.Or(cmp.Compare(a.rank(), b.rank()), cmp.Compare(a.start, b.start)) // at one place the foods stay first
	})
	return all
}

// The kinds of dangers, by how little is enough to take it for eaten.
const (
	kindPoison = "poison" // that it is named, and not asked about
	kindFood   = "food"   // that it was eaten, or given
	kindDrug   = "drug"   // the same
	kindThing  = "thing"  // that it was eaten
	kindOwn    = "own"    // that the pack was raided: a dose of it is no news
)

// had reports that a dog got hold of a danger.
func (h *hearing) had(e found) bool {
	if h.past(e.start) {
		return false
	}
	switch e.kind {
	case kindOwn:
		dosed := h.inPart("given", e.start) && !h.inPart("raided", e.start) && !h.several(e.start) // ", and I gave the omeprazole"
		return h.near("stolen", e, nearDanger) && (h.near("raided", e, nearThing) || h.several(e.start)) && !dosed
	case kindThing:
		return h.near("eaten", e, nearThing) || h.near("gone", e, nearGone) || !h.says("modal") && h.near("eats", e, nearThing)
	}
	if h.near("eaten", e, nearDanger) {
		return true
	}
	if (e.kind == kindDrug || e.kind == kindPoison) && h.says("plan") || e.kind == kindDrug && h.says("course") && h.near("ordered", e, nearGone) {
		return false
	}
	if e.kind == kindFood && h.says("recipe-told") && !h.says("note-of-dog") {
		return false
	}
	if e.kind == kindFood && !h.says("gives-not") && h.near("gives", e, nearThing) {
		return true
	}
	if e.kind == kindFood && !h.says("modal") && h.near("there-was", e, nearGone) && h.near("within", e, nearThing) {
		return true
	}
	if h.neverIn && !h.tells("pot-fed") { // "I won't put any onions in the pot"
		return false
	}
	if !h.says("modal") && (h.near("eats", e, nearDanger) || h.near("taken", e, nearDanger) || h.near("given", e, nearDanger)) {
		return true
	}
	switch {
	case h.neverHad(e.start):
		return false
	case e.kind == kindPoison, e.kind == kindDrug:
		return e.kind == kindPoison && h.shout || !h.asks(e)
	}
	return h.shout && len(h.words) <= 8 && !h.says("modal") || !h.asks(e) && !h.says("kitchen")
}

// told reports that it is told that a danger was eaten or given.
func (h *hearing) told(e found) bool {
	return slices.ContainsFunc([]string{"eaten", "eats", "taken", "given", "there-was"}, func(list string) bool { return h.near(list, e, nearDanger) })
}

// asks reports that a text asks about a danger.
func (h *hearing) asks(e found) bool {
	return h.question || h.says("modal") || h.says("asking") || e.kind == kindDrug && h.asksDose()
}

// near reports that a wording of a list stands near a danger, and is not denied.
// Amounts do not count: "ate 20 g of cheddar, 10 g of ham and a sock".
func (h *hearing) near(list string, e found, most int) bool {
	near := func(at int) bool { return h.at(list, at) > 0 && !h.denied(at) && !h.past(at) }
	for at, left := e.start, most; at >= 0 && left >= 0; at-- {
		if near(at) {
			return true
		}
		if at < e.start && !h.ofAmount(at) {
			left--
		}
	}
	for at := e.start + 1; at < min(len(h.words), e.end+most); at++ { // but "plays with the slipper and ate his dinner"
		if near(at) && !(e.kind == kindThing && h.next(list, "own-meal", at) > 0) {
			return true
		}
	}
	return false
}

// How many words may stand between a danger and what became of it: a thing of
// every day is named for many reasons.
const (
	nearDanger = 14
	nearThing  = 7
	nearGone   = 4
)
