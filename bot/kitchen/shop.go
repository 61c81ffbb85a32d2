package kitchen

import (
	"cmp"
	"math"
	"slices"
	"strconv"
	"strings"

	"bowlwright/bot/read"
	"bowlwright/bot/read/span"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/planner/larder"
	"bowlwright/store"
)

// Our own choices: for how many days a list is where nobody says, and for how many
// at most, since packs keep for 3 months.
const (
	usualShop = 7
	mostShop  = 90
)

// liveList is the name of the message that the list is, in every chat that has it.
const liveList = "shop"

// answerShop shows the list that there is, or makes a new one: of the batch that was
// just worked out, where days or a recipe are named, or there is none.
func answerShop(t *talk.Turn, s read.Sentence) {
	from, named := daysNamed(t, t.AsTyped())
	s.Days = cmp.Or(s.Days, named)
	if s.Days == 0 && s.Recipe == "" && s.Dog == "" {
		for _, args := range t.Offered("shop") {
			if args[0] == "batch" { // "what do I need to buy for that"
				listBatch(t, args[1:])
				return
			}
		}
		if open(t.Home.Shop) > 0 && !pastList(t) {
			showList(t)
			return
		}
	}
	days := cmp.Or(s.Days, usualShop)
	if days < 1 || days > mostShop {
		t.SayMsg("shop.days", "most", mostShop)
		return
	}
	makeList(t, larder.Span{From: from, Days: int(math.Ceil(days)), Dog: s.Dog, Of: s.Recipe})
}

// daysNamed are the days that a text names by the first and the last of them: "Fri to Sun",
// "the weekend"; none where it does not.
func daysNamed(t *talk.Turn, s string) (from planner.Date, days float64) {
	m := read.Pattern("days-named").FindStringSubmatch(s)
	if m == nil {
		return from, 0
	}
	on := func(name string) planner.Date {
		day := strings.Index("sunmontuewedthufrisat", strings.ToLower(name)[:3]) / 3
		return t.Date().AddDays((day - int(t.Date().Weekday()) + 7) % 7)
	}
	from = on(cmp.Or(m[1], "sat"))
	return from, float64((from.DaysTo(on(cmp.Or(m[2], "sun")))+7)%7 + 1)
}

// pastList reports that the days are over for which a list is.
func pastList(t *talk.Turn) bool {
	l := t.Home.Shop
	return l != nil && l.Days > 0 && !t.Date().Before(l.From.AddDays(l.Days))
}

// command is one whose words go on with a sentence: "/shopping 10 days", "/cost lamb mix".
func command(begins string, is read.Intent, answer func(*talk.Turn, read.Sentence)) talk.Command {
	return talk.Command{Slash: true, Do: func(t *talk.Turn, rest string) {
		s, ok := t.Understand(begins + rest)
		if !ok || s.Intent != is {
			s = read.Sentence{}
		}
		answer(t, s)
	}}
}

// makeList makes a list for days from tomorrow on.
func makeList(t *talk.Turn, of larder.Span) {
	if len(t.Home.Dogs) == 0 {
		talk.NoDog(t)
		return
	}
	if of.From.IsZero() {
		of.From = t.Date().AddDays(1)
	}
	if w, err := span.WhenText(t.AsTyped(), t.Event.At); err == nil && of.From.Before(w.From) && t.Date().DaysTo(w.From) <= mostShop {
		of.From = w.From
	}
	if of.Else = of.Of; of.Else == "" {
		if r := t.Home.OnlyRecipe(nil); r != nil {
			of.Else = r.ID
		}
	}
	keepList(t, larder.NeedsOf(elsewhere(t, t.Home, of.From), t.Foods, t.Event.At, of, stocks(t)), of)
}

// listBatch makes a list of what goes into a batch of so many grams, for some days:
// all of it, whatever there is in packs.
func listBatch(t *talk.Turn, args []string) {
	r := t.Recipe(talk.Arg(args, 0))
	grams, _ := strconv.Atoi(talk.Arg(args, 1))
	days, _ := strconv.Atoi(talk.Arg(args, 2))
	if talk.Gone(t, r == nil || grams < 1 || days < 1 || days > mostShop) {
		return
	}
	var needs larder.Needs
	if batch, _, ok := batchOf(t, r, grams); ok {
		needs.Batch(batch, 1)
	}
	keepList(t, needs, larder.Span{From: t.Date().AddDays(1), Days: days, Of: r.ID})
}

// keepList keeps the list of what is needed but for what is at home, and shows it.
func keepList(t *talk.Turn, needs larder.Needs, of larder.Span) {
	alone := ""
	if r := t.Recipe(of.Of); r != nil && len(needs.All) == 0 && needs.Packs == 0 {
		of.Alone = true
		needs = larder.NeedsOf(elsewhere(t, t.Home, of.From), t.Foods, t.Event.At, of, stocks(t))
		alone = msg("shop.alone", "recipe", r.Name, "dogs", say.ListOf(eaters(t, r), func(d *planner.Dog) string { return d.Name }))
	}
	home := needs.Without(larder.LeftAtHome(t.Home, t.Foods, t.Event.At, of.From))
	list := planner.ShopList{Made: t.Event.At.UTC(), From: of.From, Days: of.Days}
	if r := t.Recipe(of.Of); r != nil {
		list.Of = r.Name
	} else if d := t.Dog(of.Dog); d != nil {
		list.Of = d.Name
	}
	made := larder.NewShopList(needs, t.Foods, t.Home.Shop, list)
	notes := needsText(t, needs, home)
	if len(needs.All) == 0 {
		t.Say(say.Para(msg(say.Choose(needs.Packs > 0, "shop.nothing-packs", "shop.nothing"))), say.Whole(notes))
		return
	}
	if was := t.Home.Shop; open(was) > 0 && was.Of != "" && !pastList(t) && read.Says("said-more", t.AsTyped()) {
		if strings.Contains(was.Of, made.Of) {
			showList(t)
			return
		}
		made.Of = say.List([]string{was.Of, made.Of})
		larder.AddLines(made, was)
	}
	t.Mutate("did.shop-made", strconv.Itoa(of.Days))
	t.Home.Shop = made
	if notes = say.JoinParas(alone, notes); notes != "" {
		t.Say(say.Whole(notes))
	}
	showList(t)
}

// needsText says what a list leaves out, and why.
func needsText(t *talk.Turn, n larder.Needs, home []planner.Purchase) string {
	sold := say.Each(n.All, func(p planner.Purchase) planner.Purchase { return larder.Sold(p, t.Foods) })
	cost := larder.CostOf(sold, 1, t.Home, t.Foods)
	return say.JoinParas(
		say.Where(n.Packs >= 0.5, msg("shop.packs", "n", int(math.Round(n.Packs)))),
		say.Where(len(home) > 0, msg("shop.at-home", "what", say.ListOf(home, func(p planner.Purchase) string { return purchaseText(t, p) }))),
		say.Where(len(n.Waiting) > 0, msg("shop.waiting", "dogs", talk.DogNames(t, n.Waiting))),
		say.Where(len(n.Bare) > 0, msg("shop.bare", "dogs", talk.DogNames(t, n.Bare))),
		say.Where(len(n.Unscaled) > 0, msg("shop.unscaled", "recipes", say.List(n.Unscaled))),
		say.Where(len(cost.Lines) > 0, msg("shop.cost", "sum", sumText(t, cost))))
}

// purchaseText is so much of a food, as it is bought.
func purchaseText(t *talk.Turn, p planner.Purchase) string {
	name := t.FoodName(p.Food)
	switch {
	case p.Unit == "piece":
		return msg("shop.piece", "n", say.Trim(p.N, 2), "food", plainName(t, p.Food))
	case p.Unit == "can":
		parts := strings.SplitN(name, ",", 3)
		return msg("batch.can-of", "n", int(math.Ceil(p.N)), "food", strings.Join(parts[:min(len(parts), 2)], ","))
	case p.Unit == planner.DoseUnit:
		return msg("shop.doses", "n", int(math.Ceil(p.N)), "food", name)
	case p.Unit != "" || p.N > 0:
		return msg("shop.counted", "n", say.Trim(p.N, 2), "food", name, "unit", p.Unit)
	}
	text := kilos(t, p.Grams) + " " + name
	if f := t.Foods.Food(p.Food); f != nil {
		if y, ok := f.DryYield(); ok {
			text = msg("shop.dry", "food", text, "low", kilos(t, p.Grams/nutrition.Grams(y.High)), "high", kilos(t, p.Grams/nutrition.Grams(y.Low)))
		}
	}
	return text
}

// lineText is a line of the list without its tick.
func lineText(t *talk.Turn, l *planner.ShopLine) string {
	if l.Text != "" {
		return l.Text
	}
	return purchaseText(t, l.Purchase)
}

// open is how many lines of a list nobody has ticked off.
func open(l *planner.ShopList) (n int) {
	if l == nil {
		return 0
	}
	for i := range l.Lines {
		if l.Lines[i].Got == "" {
			n++
		}
	}
	return n
}

// listReply is the list as it is now: every line under its aisle, with a button
// that ticks it. Buttons keep their places, so that none moves under a thumb.
func listReply(t *talk.Turn, note string) say.Reply {
	l := t.Home.Shop
	head := msg("shop.first-hand")
	switch {
	case l.Days > 0 && l.Of != "":
		head = msg("shop.first-of", "recipe", l.Of, "from", say.DayText(l.From), "to", say.DayText(l.From.AddDays(l.Days-1)))
	case l.Days > 0:
		head = msg("shop.first", "from", say.DayText(l.From), "to", say.DayText(l.From.AddDays(l.Days-1)))
	}
	done := say.Choose(open(l) == 0, msg("shop.all-got"), msg("shop.open", "n", open(l), "all", len(l.Lines)))
	r := say.Reply{Live: liveList, Body: []say.Block{say.Para(head), say.Whole(aislesText(t, l)), say.Para(done)}}
	if note != "" {
		r.Body = append(r.Body, say.Whole(note))
	}
	var ticks []say.Button
	for i := range l.Lines[:min(len(l.Lines), mostTicks)] {
		line := &l.Lines[i]
		ticks = append(ticks, t.Button(boxText(line)+" "+tickLabel(t, line), "shop", "tick", strconv.Itoa(line.ID), say.Choose(line.Got == "", "1", "0")))
	}
	r.Rows(2, ticks...)
	r.Offer(t.Button(msg("button.list-text"), "shop", "text"), t.Button(msg("button.list-new"), "shop", "new"))
	return r
}

// mostTicks is how many lines have a button (our own choice; a message takes 100 of
// them, from memory of the platform's limits); the others are ticked by words.
const mostTicks = 60

// tickLabel is what stands on the button of a line.
func tickLabel(t *talk.Turn, l *planner.ShopLine) string {
	name := l.Text
	if name == "" {
		name = plainName(t, l.Food)
		if !strings.Contains(name, " ") {
			name = t.FoodName(l.Food) // "beef" alone is several
		}
	}
	return say.Cut(name, longestTick)
}

// longestTick is how many characters fit on half of a phone's width (our own
// choice).
const longestTick = 22

// boxText is the box before a line, ticked or not.
func boxText(l *planner.ShopLine) string {
	return msg(say.Choose(l.Got == "", "shop.box", "shop.ticked"))
}

// aislesText is all lines, aisle by aisle.
func aislesText(t *talk.Turn, l *planner.ShopList) string {
	return byAisle(l, func(line *planner.ShopLine) string {
		text := boxText(line) + " " + lineText(t, line)
		if line.Got != "" && len(t.Home.Carers) > 1 {
			text += " " + msg("shop.by", "name", talk.NameOf(t, line.Got))
		}
		return text
	})
}

// byAisle puts the lines that have a text under their aisles.
func byAisle(l *planner.ShopList, text func(*planner.ShopLine) string) string {
	var lines []string
	aisle := planner.Aisle(-1)
	for i := range l.Lines {
		line := &l.Lines[i]
		said := text(line)
		if said != "" && line.Aisle != aisle {
			aisle = line.Aisle
			lines = append(lines, msg("aisle."+strconv.Itoa(int(aisle))))
		}
		lines = append(lines, said)
	}
	return say.JoinParas(lines...)
}

// showList says the list, in the place of the one whose button was pressed.
func showList(t *talk.Turn, notes ...string) {
	if t.Home.Shop == nil || len(t.Home.Shop.Lines) == 0 {
		offerWeeks(t, t.SayMsg("shop.none"))
		return
	}
	t.Replies = append(t.Replies, listReply(t, say.JoinParas(notes...)))
	t.InPlace(t.LastReply())
}

// offerWeeks offers lists of a week and of two.
func offerWeeks(t *talk.Turn, out *say.Reply) *say.Reply {
	return out.Offer(t.Button(msg("button.week-list"), "shop", "for", "7"), t.Button(msg("button.fortnight-list"), "shop", "for", "14"))
}

// tellList changes the list in the other chats that have it, and in this one
// where the turn has not shown it, after whatever changed it.
func tellList(t *talk.Turn) {
	if t.Home.Shop == nil || len(t.Home.Shop.Lines) == 0 {
		return
	}
	r := listReply(t, "")
	r.Quiet = true
	t.Tell(talk.Others(t), r)
	if !slices.ContainsFunc(t.Replies, func(r say.Reply) bool { return r.Live == liveList }) {
		t.Replies = append(t.Replies, r)
	}
}

// sayText says what is still to be bought as plain text, to be copied.
func sayText(t *talk.Turn) {
	l := t.Home.Shop
	if open(l) == 0 {
		showList(t)
		return
	}
	t.Say(say.Whole(byAisle(l, func(line *planner.ShopLine) string { return say.Where(line.Got == "", "- "+lineText(t, line)) })))
}

// pressTick ticks a line off, or opens it again. A button that says what is so
// already changes nothing: two carers who tick the same line do not open it.
func pressTick(t *talk.Turn, args []string) {
	id, _ := strconv.Atoi(talk.Arg(args, 0))
	line, got := t.Home.Shop.Line(id), talk.Arg(args, 1) == "1"
	switch {
	case line == nil:
		showList(t, msg("shop.other-list"))
		return
	case got && line.Got != "" && line.Got != t.Event.Person:
		showList(t, gotText(t, line))
		return
	case got == (line.Got == ""):
		tick(t, line, got)
	}
	showList(t)
}

// gotText says that a line is ticked already, and by whom.
func gotText(t *talk.Turn, line *planner.ShopLine) string {
	return msg(say.Choose(line.Got == t.Event.Person, "shop.ticked-already", "shop.already"), "what", lineText(t, line), "name", talk.NameOf(t, line.Got))
}

// tick ticks a line off or opens it. Of ticks that one carer makes in a row the
// last alone can be taken back, so that a shopping trip does not push all else out
// of what can be.
func tick(t *talk.Turn, line *planner.ShopLine, got bool) {
	if last := t.LastChange(); t.Before == nil && last.Kind == "did.shop-tick" && last.Person == t.Event.Person {
		t.Write(store.PopChange(t.Home.ID))
	}
	t.Mutate("did.shop-tick", lineText(t, line))
	line.Got = ""
	if got {
		line.Got, line.GotAt = t.Event.Person, t.Event.At.UTC()
	}
}
