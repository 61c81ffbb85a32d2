package kitchen

import (
	"cmp"
	"math"
	"slices"
	"strconv"
	"strings"

	"bowlwright/bot/read"
	"bowlwright/bot/recipes"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// ShopWords answers what is said of shopping and prices only where it surely is
// that: what names a line of the list, or a price of a food.
func ShopWords(t *talk.Turn, s string) bool {
	s = read.Without("list-said", s)
	got, ok := talk.ToTheList(t, s)
	switch {
	case ok && got.Intent == read.ShopAdd:
		answerAdd(t, got)
		return true
	case ok && got.Intent == read.ShopGot:
		return gotWords(t, got.Words, true)
	case ok && got.Intent == read.ShopUngot:
		if !gotWords(t, got.Words, false) {
			if !read.Says("back-on", s) {
				return false
			}
			answerAdd(t, got)
		}
		return true
	case ok && got.Intent == read.ShopHome:
		return atHome(t, got)
	}
	return panMended(t, s) || priceMended(t, s) || priceWords(t, s) || !ok && priceUnread(t, s)
}

// priceUnread asks for a price in other words where a text that begins with a food
// tells a sum of money and no more is understood of it, so that it becomes no treat
// and no line of a recipe: "carrots 3 for 2, 60p each for 500 g".
func priceUnread(t *talk.Turn, s string) bool {
	words := strings.Fields(strings.ToLower(strings.TrimPrefix(strings.ToLower(s), "actually ")))
	if _, _, of := talk.DogsIn(t, s); len(of) > 0 || !read.OnlyTellsMoney(s) {
		return false
	}
	for n := min(len(words), 3); n > 0; n-- {
		if f, choices := householdFood(t, strings.Trim(strings.Join(words[:n], " "), ",.:")); f != nil || len(choices) > 0 {
			t.SayMsg("price.unread", "typed", say.Short(s))
			return true
		}
	}
	return false
}

// andOr parts what is said together.
var andOr = read.Pattern("bought-apart")

// gotWords ticks off the lines that words name, or opens them again, and reports
// whether they name any.
func gotWords(t *talk.Turn, words string, got bool) bool {
	if t.Home.Shop == nil {
		return false
	}
	if read.In("everything", strings.ToLower(words)) {
		for i := range t.Home.Shop.Lines {
			if line := &t.Home.Shop.Lines[i]; got == (line.Got == "") {
				tick(t, line, got)
			}
		}
		showList(t)
		return true
	}
	if but := read.Find("bought-but", strings.TrimSpace(words)); but != "" && got {
		gotWords(t, "everything", true)
		t.Replies = nil
		return gotWords(t, but, false)
	}
	var ticked []*planner.ShopLine
	var notes []string
	named := false
	for _, part := range andOr.Split(words, -1) {
		lines := namedLines(t, part)
		missing := slices.DeleteFunc(slices.Clone(lines), func(l *planner.ShopLine) bool { return got != (l.Got == "") })
		named = named || len(lines) > 0
		switch {
		case len(lines) == 0:
			notes = append(notes, msg("shop.not-on-it", "what", say.Short(part)))
		case len(missing) == 0 && !got:
			notes = append(notes, msg("shop.open-already", "what", lineText(t, lines[0])))
		case len(missing) == 0:
			notes = append(notes, gotText(t, lines[0]))
		case len(missing) == 1:
			ticked = append(ticked, missing[0])
		default:
			notes = append(notes, whichLine(t, part, missing))
		}
	}
	if !named && !(got && read.Says("bought", t.AsTyped())) {
		return false // it is about something else
	}
	for _, line := range ticked {
		tick(t, line, got)
	}
	showList(t, notes...)
	return true
}

func whichLine(t *talk.Turn, words string, lines []*planner.ShopLine) string {
	return msg("shop.which-line", "what", say.Short(words), "lines", say.ListOf(lines, func(l *planner.ShopLine) string { return lineText(t, l) }))
}

// longestLine is how many characters of what is written on the list are kept (our
// own choice).
const longestLine = 60

// answerAdd writes something on the list.
func answerAdd(t *talk.Turn, s read.Sentence) {
	if t.Home.Shop == nil {
		t.Home.Shop = &planner.ShopList{Made: t.Event.At.UTC()}
	}
	var notes []string
	added := false
	for _, part := range andOr.Split(s.Words, -1) {
		text := say.Cut(say.Capital(strings.TrimSpace(part)), longestLine)
		is := slices.IndexFunc(t.Home.Shop.Lines, func(l planner.ShopLine) bool { return l.Got == "" && strings.EqualFold(l.Text, text) })
		if text == "" || is >= 0 {
			continue
		}
		t.Mutate("did.shop-added", text)
		t.Home.Shop.Add(planner.ShopLine{Text: text, Aisle: planner.OnHand})
		added = true
		if no := t.Foods.Find(text).Refused; no != nil {
			notes = append(notes, t.Msg("food.refused", "food", no.Name, "reason", t.Msg("refuse."+no.Key)))
		}
	}
	if !added {
		notes = append(notes, msg("shop.on-it"))
	}
	showList(t, notes...)
}

// answerDrop takes a line off the list.
func answerDrop(t *talk.Turn, s read.Sentence) {
	lines := namedLines(t, strings.TrimPrefix(strings.ToLower(s.Words), "the "))
	if len(lines) != 1 {
		showList(t, say.Choose(len(lines) > 1, whichLine(t, s.Words, lines), msg("shop.not-on-it", "what", say.Short(s.Words))))
		return
	}
	id := lines[0].ID
	t.Mutate("did.shop-dropped", lineText(t, lines[0]))
	t.Home.Shop.Lines = slices.DeleteFunc(t.Home.Shop.Lines, func(l planner.ShopLine) bool { return l.ID == id })
	showList(t)
}

// atHome notes that so much of a food is at home, and takes it off the list; where
// no amount is said there is enough, and the line is ticked.
func atHome(t *talk.Turn, s read.Sentence) bool {
	f, _ := householdFood(t, s.Food)
	if s.Grams == 0 && s.Count == 0 {
		return gotWords(t, s.Food, true)
	}
	if f == nil {
		return false
	}
	p, ok := bought(t, f, s)
	m, weighs := f.MeasureOf(p.Unit, "")
	switch weighed := !ok || p.Unit != "" && f.Kind == "egg"; { // eggs of a recipe are weighed
	case weighed && !weighs:
		return false
	case weighed, p.Unit == "can" && weighs:
		p = planner.Purchase{Food: f.Key, Grams: m.Grams * nutrition.Grams(p.N)}
	}
	t.Mutate("did.at-home", f.Name)
	t.Home.AtHome = slices.DeleteFunc(t.Home.AtHome, func(a planner.AtHome) bool { return a.Food == p.Food && a.Unit == p.Unit })
	t.Home.AtHome = append(t.Home.AtHome, planner.AtHome{Purchase: p, Since: t.Date()})
	t.Say(say.Para(msg("shop.noted-home", "what", purchaseText(t, p)))).Offer(t.UndoButton())
	if l := t.Home.Shop; open(l) > 0 && l.Days > 0 && !pastList(t) {
		t.LastReply().Offer(t.Button(msg("button.list-again"), "shop", "for", strconv.Itoa(l.Days)))
	}
	return true
}

// householdFood is the food that words mean among those that the household's
// recipes and reminders have or, where none of them, any that is clear. choices
// are those where it is not clear.
func householdFood(t *talk.Turn, words string) (f *nutrition.Food, choices []*nutrition.Food) {
	var own, meat []*nutrition.Food
	add := func(key string) {
		if f := t.Foods.Food(key); f != nil && !slices.Contains(own, f) {
			own = append(own, f)
		}
	}
	for _, r := range t.Recipes() {
		for _, key := range r.Foods() {
			add(key)
		}
	}
	for _, r := range t.Home.Reminders {
		if r.Dose != nil {
			add(r.Dose.Food)
		}
	}
	found := t.Foods.Find(words)
	if found.Refused != nil {
		return nil, nil
	}
	if found.Food != nil && slices.Contains(own, found.Food) {
		return found.Food, nil
	}
	stem := strings.TrimSuffix(strings.ToLower(words), "s")
	for _, o := range own {
		if o.Species == stem && o.Part == nutrition.Muscle { // "chicken" is its meat
			meat = append(meat, o)
		}
		if slices.Contains(found.Choices, o) || recipes.Named([]*nutrition.Food{o}, read.Without("mince", words)) != nil || strings.Contains(" "+strings.ToLower(o.Name), " "+stem) {
			choices = append(choices, o)
		}
	}
	switch {
	case len(meat) == 1:
		return meat[0], nil
	case len(choices) == 1:
		return choices[0], nil
	case len(choices) > 1:
		return nil, choices
	}
	return found.Food, found.Choices
}

// surelyMoney reports that a sum without a food is one: by its sign or its decimals,
// or as prices are kept already.
func surelyMoney(t *talk.Turn, s read.Sentence) bool {
	return s.Money.Currency != "" || s.Money.Cents || strings.Contains(s.Money.Sum, ".") || len(t.Home.Prices) > 0 && (s.Grams == 1000 || s.Measure == "can")
}

// soldIn are the foods of the household's recipes that a price without a food may be
// of: those that are sold as it says, and of these those without a price where there
// are any.
func soldIn(t *talk.Turn, s read.Sentence) (all []*nutrition.Food) {
	var bare []*nutrition.Food
	for _, r := range t.Recipes() {
		for _, in := range r.Ingredients {
			f := t.Foods.Food(in.Food)
			if f == nil || slices.Contains(all, f) || s.Measure == "can" != f.Has(nutrition.Canned) || s.Measure == "piece" && f.Kind != "egg" {
				continue
			}
			if all = append(all, f); t.Home.PriceOf(f.Key) == nil {
				bare = append(bare, f)
			}
		}
	}
	if len(bare) > 0 {
		all = bare
	}
	return all[:min(len(all), mostNamed)]
}

// bought is so much of a food as a sentence says it; false where that cannot be
// reckoned with.
func bought(t *talk.Turn, f *nutrition.Food, s read.Sentence) (p planner.Purchase, ok bool) {
	p = planner.Purchase{Food: f.Key, Grams: s.Grams}
	if s.Grams > 0 || s.Count <= 0 {
		return p, s.Grams > 0
	}
	if cup, ok := f.MeasureOf("cup", ""); s.Measure == read.Millilitre {
		p.Grams = cup.Grams * nutrition.Grams(s.Count/nutrition.MillilitresPerCup)
		p.Grams = nutrition.Grams(math.Round(float64(p.Grams)))
		return p, ok
	}
	p.N, p.Unit = s.Count, s.Measure
	if p.Unit == "" {
		p.Unit = "piece"
	}
	if _, weighs := f.MeasureOf(p.Unit, ""); weighs {
		return p, true
	}
	for _, form := range []string{"capsule", "tablet"} { // "60 fish oil capsules"
		if p.Unit == form || strings.Contains(strings.ToLower(t.Event.Text), form) {
			p.Unit = form
			return p, say.Dosed(f) || f.Has(nutrition.Supplement)
		}
	}
	return p, false
}

// namedLines are the lines of the list that words mean: by their food or a whole
// word of their text ("eggs" is no eggshell powder), else by how a word begins.
func namedLines(t *talk.Turn, words string) []*planner.ShopLine {
	words = strings.ToLower(strings.TrimSpace(words))
	l := t.Home.Shop
	if l == nil || words == "" {
		return nil
	}
	found := t.Foods.Find(words)
	foods := append([]*nutrition.Food{found.Food}, found.Choices...)
	stem := strings.TrimSuffix(words, "s")
	var whole, begun []*planner.ShopLine
	for i := range l.Lines {
		line := &l.Lines[i]
		is := slices.ContainsFunc(foods, func(f *nutrition.Food) bool { return f != nil && f.Key == line.Food && line.Food != "" }) || ofKind(t, words, line.Food)
		text := " " + strings.ToLower(cmp.Or(line.Text, t.FoodName(line.Food)))
		_, after, has := strings.Cut(text, " "+stem)
		switch rest := strings.TrimPrefix(after, "s"); {
		case is || has && (rest == "" || strings.ContainsAny(rest[:1], " ,.(")):
			whole = append(whole, line)
		case has:
			begun = append(begun, line)
		}
	}
	if len(whole) > 0 {
		return whole
	}
	return begun
}

// ofKind reports that one word means a food once its animal is said with it: "mince"
// is beef mince and turkey mince.
func ofKind(t *talk.Turn, word, key string) bool {
	f := t.Foods.Food(key)
	if f == nil || f.Species == "" || strings.Contains(word, " ") {
		return false
	}
	found := t.Foods.Find(f.Species + " " + word)
	return found.Food == f || slices.Contains(found.Choices, f)
}
