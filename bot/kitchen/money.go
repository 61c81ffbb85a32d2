package kitchen

import (
	"strconv"
	"strings"

	"golang.org/x/text/currency"

	"bowlwright/bot/read"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/planner/larder"
)

// digitsOf is how many decimals a currency has, by its ISO 4217 code; false where
// there is no such currency. The figures are those of golang.org/x/text/currency,
// which has them from CLDR.
func digitsOf(code string) (digits int, ok bool) {
	unit, err := currency.ParseISO(code)
	if err != nil || unit.String() == "XXX" || unit.String() == "XTS" {
		return 0, false
	}
	digits, _ = currency.Standard.Rounding(unit)
	return digits, true
}

// minorOf is a sum in the smallest unit of a currency; false where it has more
// decimals than that.
func minorOf(m read.Money, code string) (minor int64, ok bool) {
	digits, ok := digitsOf(code)
	whole, part, _ := strings.Cut(m.Sum, ".")
	if m.Cents {
		digits -= 2
	}
	if !ok || digits < 0 || len(part) > digits {
		return 0, false
	}
	n, err := strconv.ParseInt(whole+part+strings.Repeat("0", digits-len(part)), 10, 64)
	if err == nil && m.Cents { // the hundredth is the smallest unit of most
		d, _ := digitsOf(code)
		for range d - 2 - digits {
			n *= 10
		}
	}
	return n, err == nil && n > 0 && n <= mostMinor
}

// mostMinor is the largest price that is taken for meant: our own choice, far
// beyond any, and far from what an integer holds.
const mostMinor = 1e10

// mayBe reports that a word for several currencies may mean one of them.
func mayBe(word, code string) bool {
	return word == "dollar" && strings.HasSuffix(code, "D") || word == "krone" && (code == "DKK" || code == "NOK" || code == "SEK")
}

// setCurrency sets the household's currency by its code. The dollar of who weighs food in
// ounces is that of the United States (our own choice).
func setCurrency(t *talk.Turn, code string) bool {
	if code == "dollar" && t.Home.Units.Ounces {
		code = "USD"
	}
	if _, ok := digitsOf(code); !ok {
		return false
	}
	t.Mutate("did.currency", code)
	t.Home.Currency = code
	return true
}

// signs stand before sums of these currencies; others have their code behind.
var signs = map[string]string{"GBP": "£", "EUR": "€", "USD": "$"}

// moneyText prints a sum in the smallest unit of the household's currency.
func moneyText(t *talk.Turn, minor int64) string {
	digits, _ := digitsOf(t.Home.Currency)
	s := strconv.FormatInt(minor, 10)
	if digits > 0 {
		s = strings.Repeat("0", max(0, digits+1-len(s))) + s
		s = s[:len(s)-digits] + "." + s[len(s)-digits:]
	}
	if sign := signs[t.Home.Currency]; sign != "" {
		return sign + s
	}
	return s + " " + t.Home.Currency
}

// sumText is a sum, "at least" where prices are missing.
func sumText(t *talk.Turn, c larder.Cost) string {
	return say.Choose(len(c.Unknown) > 0, msg("cost.at-least", "sum", moneyText(t, c.Minor)), moneyText(t, c.Minor))
}

// rateText is a price with what one gets for it: "£6.50 a kg".
func rateText(t *talk.Turn, p *planner.Price) string {
	sum, dry := moneyText(t, p.Minor), say.Where(larder.PerDry(p, t.Foods) > 1, msg("price.dry"))
	switch {
	case p.Unit == "" && p.Grams == 1000:
		return msg("price.kilo", "sum", sum) + dry
	case p.Unit == "" && p.Grams == nutrition.GramsPerPound:
		return msg("price.pound", "sum", sum) + dry
	case p.Unit == "":
		return msg("price.mass", "sum", sum, "mass", say.ExactMass(p.Grams, t.Home.Units)) + dry
	case p.N == 1:
		return msg("price.one", "sum", sum, "unit", unitName(p.Unit))
	}
	return msg("price.several", "sum", sum, "n", say.Trim(p.N, 2), "unit", unitName(p.Unit))
}

// unitName is what a piece or a can is called.
func unitName(unit string) string { return msg("unit." + unit) }
