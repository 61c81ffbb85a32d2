package kitchen

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"bowlwright/bot/read"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/planner/larder"
)

// priced are prices that were told and are not kept yet: the first waits for an
// answer.
type priced struct {
	Told   []read.Sentence `json:"told"`
	Typed  []string        `json:"typed"`
	Foods  []string        `json:"foods,omitempty"` // keys that the first may be of
	Food   string          `json:"food,omitempty"`  // key of the first, once it is chosen
	Sure   bool            `json:"sure,omitempty"`  // the first is as it was typed
	Kept   []string        `json:"kept,omitempty"`  // keys of those that are kept
	Wrongs []string        `json:"wrongs,omitempty"`
}

// mostPrices is how many prices one message may tell (our own choice).
const mostPrices = 40

// priceWords keeps prices that a text tells and answers what it asks besides, and reports
// whether it tells nothing else. A food that nobody knows makes a price only with a sign of
// money.
func priceWords(t *talk.Turn, s string) bool {
	d, rest, done := pricesTold(t, s)
	if done || len(d.Told) == 0 {
		return done
	}
	takePrices(t, d)
	for _, part := range rest {
		t.Event.Text = part
		if t.Talk.Kind == "price" || !talk.Sentence(t, part) {
			t.Unused(part)
		}
	}
	return true
}

// pricesTold are the prices that a text tells, and what it says besides: a question or,
// beside several prices, anything. There are none where it rather tells something else;
// done says that it was answered instead.
func pricesTold(t *talk.Turn, s string) (d priced, rest []string, done bool) {
	parts, money := []string{s}, ""
	if got, ok := t.Understand(s); !ok || got.Intent != read.PriceTold {
		parts = read.Pattern("prices-apart").Split(strings.TrimRight(s, " .!\n"), mostPrices)
	}
	other := false
	for _, part := range parts {
		if in, is := t.Understand("prices in " + part); is && in.Intent == read.SetCurrency && len(parts) > 1 { // "..., dollars"
			money = in.Words
			continue
		}
		got, ok := t.Understand(part)
		if !ok || got.Intent != read.PriceTold {
			said := read.Without("price-said", part)
			if len(parts) > 1 {
				said = read.Without("rate-said", said)
			}
			got, ok = t.Understand(said)
		}
		got = countFirst(got)
		f, choices := householdFood(t, got.Food)
		switch {
		case !ok || got.Intent != read.PriceTold, got.Food == "" && !surelyMoney(t, got),
			got.Food != "" && f == nil && choices == nil && got.Money.Currency == "" && t.Foods.Find(got.Food).Refused == nil:
			rest, other = append(rest, part), other || !read.BeginsQuestion(part)
		case got.Food == "" && len(soldIn(t, got)) == 0:
			t.SayMsg("price.of-what", "typed", say.Short(part))
			return priced{}, nil, true
		default:
			d.Told, d.Typed = append(d.Told, got), append(d.Typed, part)
		}
	}
	if other && len(d.Told) < 2 {
		return priced{}, nil, false
	}
	for i := range d.Told {
		d.Told[i].Money.Currency = cmp.Or(d.Told[i].Money.Currency, money)
	}
	return d, rest, false
}

// countFirst takes the number before a food for how many of it there are: "60
// fish oil capsules".
func countFirst(s read.Sentence) read.Sentence {
	first, rest, _ := strings.Cut(s.Food, " ")
	if n, err := strconv.Atoi(first); err == nil && n > 0 && rest != "" && s.Grams == 0 {
		s.Food = rest
		s.Count = float64(n) * max(s.Count, 1)
		if s.Measure == "pack" { // "a pack of 12 eggs"
			s.Measure = ""
		}
	}
	return s
}

// takePrices keeps prices one after another, up to one that has to be asked about.
func takePrices(t *talk.Turn, d priced) {
	for len(d.Told) > 0 {
		if takePrice(t, &d) {
			return
		}
		d.Told, d.Typed, d.Foods, d.Food, d.Sure = d.Told[1:], d.Typed[1:], nil, "", false
	}
	t.EndIf("price")
	sayPrices(t, d)
}

// takePrice keeps the first price, or notes what is wrong with it, and reports
// whether a question waits instead.
func takePrice(t *talk.Turn, d *priced) (asked bool) {
	s, typed := d.Told[0], say.Short(d.Typed[0])
	wrong := func(why string) bool {
		d.Wrongs = append(d.Wrongs, why)
		return false
	}
	said := func(told read.Sentence) bool { return setCurrency(t, told.Money.Currency) } // "5.49 a kilo, hearts 3 quid"
	if t.Home.Currency == "" && !slices.ContainsFunc(d.Told, said) {
		askCurrency(t, d)
		return true
	}
	if of := s.Money.Currency; of != "" && of != t.Home.Currency && !mayBe(of, t.Home.Currency) {
		return wrong(msg("price.other-currency", "typed", typed, "currency", t.Home.Currency, "other", of))
	}
	minor, ok := minorOf(s.Money, t.Home.Currency)
	if !ok {
		return wrong(msg("price.no-sum", "typed", typed, "currency", t.Home.Currency))
	}
	f := t.Foods.Food(d.Food)
	if f == nil {
		if no := t.Foods.Find(s.Food).Refused; no != nil {
			return wrong(msg("price.refused", "typed", typed, "food", no.Name))
		}
		var choices []*nutrition.Food
		if f, choices = householdFood(t, s.Food); s.Food == "" {
			if f, choices = nil, soldIn(t, s); len(choices) == 1 {
				f, choices = choices[0], nil
			}
		}
		if len(choices) > 0 {
			askFood(t, d, choices)
			return true
		}
		if f == nil {
			return wrong(msg("price.no-food", "typed", typed, "food", say.Short(s.Food)))
		}
	}
	p := planner.Price{Minor: minor, At: t.Event.At.UTC(), Typed: typed}
	p.Purchase, ok = bought(t, f, s)
	if was := t.Home.PriceOf(f.Key); !ok && was != nil && read.Says("price-moved", typed) { // for as much as before
		p.Purchase, ok = was.Purchase, true
	}
	if !ok {
		return wrong(msg("price.for-what", "typed", typed, "food", plainName(t, f.Key), "sum", moneyText(t, minor)))
	}
	if old := t.Home.PriceOf(f.Key); old != nil && !d.Sure {
		if times, ok := larder.Dearer(&p, old, t.Foods); ok && (times > farOff || times < 1/farOff) {
			d.Food = f.Key
			askSurePrice(t, d, old, &p)
			return true
		}
	}
	t.Mutate("did.price", plainName(t, f.Key))
	t.Home.SetPrice(p)
	d.Kept = append(d.Kept, f.Key)
	return false
}

// farOff is how many times an earlier price, or what part of it, is asked about
// (our own choice).
const farOff = 3.0

// sayPrices says which prices were kept, and what was wrong with the others.
func sayPrices(t *talk.Turn, d priced) {
	var lines []string
	for _, key := range d.Kept {
		if p := t.Home.PriceOf(key); p != nil {
			lines = append(lines, priceLine(t, p))
		}
	}
	out := t.Say(say.Para(say.Where(len(lines) > 0, msg("price.kept"))), say.Whole(talk.JoinLines(lines)), say.Whole(talk.JoinLines(d.Wrongs)))
	if len(lines) > 0 {
		out.Offer(t.Button(msg("button.cost"), "cost", "all"), t.Button(msg("button.prices"), "cost", "prices"), t.UndoButton())
	}
}

func priceLine(t *talk.Turn, p *planner.Price) string {
	return msg("price.line", "food", t.FoodName(p.Food), "rate", rateText(t, p))
}

func askFood(t *talk.Turn, d *priced, choices []*nutrition.Food) {
	out := t.SayMsg("price.which", "typed", say.Short(d.Typed[0]))
	for _, f := range choices {
		d.Foods = append(d.Foods, f.Key)
		out.Offer(t.Answer(f.Name, "food", f.Key))
	}
	t.Ask("price", "food", d)
}

func askSurePrice(t *talk.Turn, d *priced, old, p *planner.Price) {
	t.Ask("price", "sure", d)
	t.SayMsg("price.sure", "food", plainName(t, p.Food), "was", rateText(t, old), "is", rateText(t, p)).
		Offer(t.Answer(msg("button.that-is-right"), "sure", "yes"), t.Answer(msg("button.slip"), "sure", "no"))
}

// askCurrency asks once in which currency a household's prices are.
func askCurrency(t *talk.Turn, d *priced) {
	t.Ask("price", "currency", d)
	out := t.SayMsg("price.currency")
	some := []string{"GBP", "EUR", "USD", "CAD", "AUD"}
	switch d.Told[0].Money.Currency {
	case "dollar":
		some = []string{"USD", "CAD", "AUD", "NZD"}
	case "krone":
		some = []string{"DKK", "NOK", "SEK"}
	}
	out.Rows(5, say.Each(some, func(code string) say.Button { return t.Answer(code, "currency", code) })...)
}

// takePriceAnswer takes the answer to a question about a price that was told.
func takePriceAnswer(t *talk.Turn, d priced, in talk.Answer) {
	said := strings.Trim(in.Value(), " .!")
	switch t.Talk.Step {
	case "currency":
		if is, led, ok := read.SumSaid(said); ok && led && is.Money.Currency == "" {
			last := len(d.Told) - 1
			d.Told[last], d.Typed[last] = corrected(d.Told[last], is), said
			askCurrency(t, &d)
			return
		}
		code := strings.ToUpper(said)
		if got, ok := t.Understand("prices in " + said); ok && got.Intent == read.SetCurrency {
			code = got.Words
		} else if is, _, ok := read.SumSaid(said + "1"); ok { // "£"
			code = cmp.Or(is.Money.Currency, code)
		}
		if more, _, done := pricesTold(t, said); done {
			return
		} else if len(more.Told) > 0 { // the next ones, perhaps with their sign
			d.Told, d.Typed = append(d.Told, more.Told...), append(d.Typed, more.Typed...)
			takePrices(t, d)
			return
		}
		several := code == "dollar" || code == "krone"
		if several { // of which of them?
			d.Told[0].Money.Currency = code
		}
		if setCurrency(t, code) || several {
			takePrices(t, d)
			return
		}
	case "food":
		for _, key := range d.Foods {
			if key == in.Press || in.Press == "" && strings.EqualFold(t.FoodName(key), said) {
				d.Food = key
				takePrices(t, d)
				return
			}
		}
	case "sure":
		if yes := in.Press == "yes" || talk.IsYes(said) || strings.EqualFold(said, "right"); yes || in.Press == "no" || talk.IsNo(said) {
			if d.Sure = yes; !yes {
				d.Wrongs = append(d.Wrongs, msg("price.left", "typed", say.Short(d.Typed[0])))
				d.Told, d.Typed, d.Food = d.Told[1:], d.Typed[1:], ""
			}
			takePrices(t, d)
			return
		}
		if is, _, ok := read.SumSaid(said); ok && in.Press == "" {
			d.Told[0], d.Typed[0] = corrected(d.Told[0], is), said
			takePrices(t, d)
			return
		}
	}
	t.Beside(in.Text, func() { takePrices(t, d) })
}

// corrected is a price that was told with another sum, and for other so much where
// that is said.
func corrected(told, is read.Sentence) read.Sentence {
	if is.Money.Currency == "" {
		is.Money.Currency = told.Money.Currency
	}
	told.Money = is.Money
	if is.Grams > 0 || is.Count > 0 {
		told.Grams, told.Count, told.Measure, told.Imperial = is.Grams, is.Count, is.Measure, is.Imperial
	}
	return told
}

// priceMended takes "no, it was 4.50" after a price that was just kept, and reports
// whether it was that.
func priceMended(t *talk.Turn, s string) bool {
	is, led, ok := read.SumSaid(s)
	if !ok || !led || len(t.Offered("cost"))+len(talk.OfferedBeside(t, "cost")) != 2 || len(t.Home.Prices) == 0 {
		return false
	}
	last := t.Home.Prices[len(t.Home.Prices)-1]
	told := read.Sentence{Food: last.Food, Grams: last.Grams, Count: last.N, Measure: last.Unit}
	takePrices(t, priced{Told: []read.Sentence{corrected(told, is)}, Typed: []string{s}, Food: last.Food, Sure: true})
	return true
}

// answerPrices lists the prices, or says that of one food.
func answerPrices(t *talk.Turn, s read.Sentence) {
	if s.Food != "" {
		if f, p := pricedFood(t, s); p != nil {
			t.SayMsg("price.since", "food", f.Name, "rate", rateText(t, p), "day", t.DateText(t.DateAt(p.At)))
		}
		return
	}
	if len(t.Home.Prices) == 0 {
		t.SayMsg("price.none")
		return
	}
	lines := say.LinesOf(t.Home.Prices, func(p planner.Price) string { return priceLine(t, &p) })
	t.Say(say.Whole(lines), say.Para(msg("price.forget"))).Offer(t.Button(msg("button.cost"), "cost", "all"))
}

// pricedFood is the food that a sentence names and its price; where there is none it says
// so, and the price is nil.
func pricedFood(t *talk.Turn, s read.Sentence) (f *nutrition.Food, p *planner.Price) {
	if f, _ = householdFood(t, s.Food); f != nil {
		p = t.Home.PriceOf(f.Key)
	}
	if p == nil {
		t.SayMsg("price.none-of", "food", say.Short(s.Food))
	}
	return f, p
}

// answerForget forgets the price of a food.
func answerForget(t *talk.Turn, s read.Sentence) {
	f, p := pricedFood(t, s)
	if p == nil {
		return
	}
	t.Mutate("did.price-gone", plainName(t, f.Key))
	t.Home.DropPrice(f.Key)
	t.SayMsg("price.gone", "food", f.Name).Offer(t.UndoButton())
}

// answerCurrency sets the currency. Prices in another would mean something else,
// so they go, and that is asked first.
func answerCurrency(t *talk.Turn, s read.Sentence) {
	if s.Words == "" { // "EUR"
		s, _ = t.Understand("prices in " + t.AsTyped())
	}
	_, ok := digitsOf(s.Words)
	switch {
	case !ok && (s.Words == "dollar" || s.Words == "krone"):
		t.SayMsg("currency.which")
	case !ok:
		t.SayMsg("currency.unknown", "code", say.Short(s.Words))
	case s.Words == t.Home.Currency:
		t.SayMsg("currency.is", "code", s.Words)
	case len(t.Home.Prices) > 0:
		t.AskedSure("cost", "currency", s.Words)
		t.SayMsg("currency.sure", "code", s.Words, "was", t.Home.Currency, "n", len(t.Home.Prices)).Offer(t.Button(msg("button.currency", "code", s.Words), "cost", "currency", s.Words))
	default:
		pressCurrency(t, s.Words)
	}
}

func pressCurrency(t *talk.Turn, code string) {
	if talk.Stale(t, !setCurrency(t, code)) {
		return
	}
	t.Home.Prices = nil
	t.SayMsg("currency.is", "code", code).Offer(t.UndoButton())
}
