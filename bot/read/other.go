package read

import (
	"cmp"
	"math"
	"strconv"
	"strings"
	"time"

	"bowlwright/bot/read/language"
	"bowlwright/bot/read/span"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// OtherFood is food that a carer says a dog eats in place of its own.
type OtherFood struct {
	What        string // the food as typed
	From, Until planner.Date
	At          planner.Mealtime
	Named, Day  bool // a day or a meal was named; a day was
}

// Patterns of said.txt about other food than a dog's own.
var otherMeal = language.Pattern("other-meal") // "for breakfast"

// NamesBothMeals reports that a text names a meal of the morning and one of the evening.
func NamesBothMeals(s string) bool {
	return language.Says("first-part", s) && language.Says("last-part", s) || language.Says("twice-today", s)
}

// OtherFoodText takes apart which food some words name and on which days and at
// which meals it is eaten: "chicken and rice tonight", "kibble till Sunday". Where
// no day is named, that is today. "Until" a day is with that day. The error is that
// of WhenText.
func OtherFoodText(s string, now time.Time) (OtherFood, error) {
	s, today := language.Without("until-night", s), planner.DateOf(now)
	o := OtherFood{From: today, Until: today}
	w, err := span.WhenText(language.Pattern("weekend").ReplaceAllString(s, "this weekend"), now)
	if err != nil {
		return o, err
	}
	o.Day = w.Said()
	o.Named = o.Day || otherMeal.MatchString(s)
	switch {
	case !w.On.IsZero():
		o.From, o.Until = w.On, w.On
	case !w.From.IsZero():
		o.From, o.Until = w.From, w.From
	}
	switch {
	case !w.Until.IsZero():
		o.Until = w.Until
	case w.Days > 0:
		o.Until = o.From.AddDays(w.Days - 1)
	case w.From.IsZero():
	case w.On.IsZero():
		o.Until = planner.Date{} // "from Monday": until further notice
	}
	switch {
	case NamesBothMeals(s):
	case language.Says("first-part", s):
		o.At = planner.FirstMeal
	case language.Says("last-part", s):
		o.At = planner.LastMeal
	}
	o.What = CutOther(language.Pattern("away-place").ReplaceAllString(otherMeal.ReplaceAllString(" "+w.Rest+" ", " "), " "))
	return o, nil
}

// EndsOn is the last of the days that a text says something holds for: "this week", "for 7
// days", "until Sunday". It reports false where it says none.
func EndsOn(s string, now time.Time) (planner.Date, bool) {
	today := planner.DateOf(now)
	if language.Says("this-week", s) {
		return today.AddDays((7 - int(today.Weekday())) % 7), true
	}
	o, err := OtherFoodText(s, now)
	return o.Until, err == nil && today.Before(o.Until) && language.Says("some-days", s)
}

// FoodShare is a part of a dog's food as it is told.
type FoodShare struct {
	What  string // as typed
	Share float64
	Home  bool // what the carer makes: "home made", "her recipe"
}

// FoodShares reads a lasting division of a dog's food: "half kibble, half turkey",
// "a third from tins", "70/30 kibble and turkey", "30 % kibble, the rest lamb". A
// part of which no food is named is left out. It reports false where no share is
// said, or the shares are more than a whole.
func FoodShares(s string) (all []FoodShare, ok bool) {
	s = strings.ToLower(span.Clean(s))
	if m := language.Pattern("share-odds").FindStringSubmatch(s); m != nil {
		a, _ := strconv.ParseFloat(m[1], 64)
		b, _ := strconv.ParseFloat(m[2], 64)
		foods := language.Pattern("food-and").Split(language.Pattern("share-odds").ReplaceAllString(s, ""), 2)
		if len(foods) != 2 || a <= 0 || b <= 0 || math.Abs(a+b-100) > 1 {
			return nil, false
		}
		return sharesOf([]FoodShare{{What: foods[0], Share: a / 100}, {What: foods[1], Share: b / 100}})
	}
	left, rest := 1.0, len(s)
	if at := language.Pattern("share-rest").FindStringIndex(s); at != nil {
		rest = at[0]
	}
	at := span.Shares(s[:rest])
	for i, w := range at {
		end := rest
		if i+1 < len(at) {
			end = at[i+1].From
		}
		left -= w.Share
		all = append(all, FoodShare{What: s[w.To:end], Share: w.Share})
	}
	if len(all) == 0 || left < -0.011 {
		return nil, false
	}
	if rest < len(s) {
		all = append(all, FoodShare{What: language.Pattern("share-rest").ReplaceAllString(s[rest:], ""), Share: left})
	}
	return sharesOf(all)
}

func sharesOf(all []FoodShare) (named []FoodShare, ok bool) {
	for _, f := range all {
		f.What = strings.Trim(CutOther(" "+f.What+" "), " .,!:;-/")
		if f.Share <= 0 || f.Share >= 1 {
			return nil, false
		}
		f.Home = language.Says("home-food", f.What)
		if f.What != "" {
			named = append(named, f)
		}
	}
	return named, len(named) > 0
}

// FoodsParted are the foods that some words name: "boiled chicken and rice".
func FoodsParted(s string) (all []string) {
	for _, f := range language.Pattern("food-and").Split(s, -1) {
		if f = CutOther(f); f != "" {
			all = append(all, f)
		}
	}
	return all
}

// CutOther is the name of a food without what only leads to it.
func CutOther(s string) string {
	s = otherMeal.ReplaceAllString(" "+s+" ", " ")
	for before := ""; s != before; { // what leads to it may stand behind something else that did
		before = s
		s = strings.Trim(strings.Join(strings.Fields(language.Pattern("other-cut").ReplaceAllString(" "+s+" ", " ")), " "), " .,!:;-")
	}
	return s
}

// AmountOff parts the weight that begins a text from the food behind it: "300 g
// steak". It is 0 where the text begins with none.
func AmountOff(s string) (food string, grams nutrition.Grams) {
	l := span.Lex(s)
	if len(l.Tokens) == 0 {
		return s, 0
	}
	grams, end := l.MassAt(0)
	switch {
	case end == 0 || grams <= 0:
		return s, 0
	case end == len(l.Tokens):
		return "", grams
	}
	if l.Any(end, "of") && end+1 < len(l.Tokens) {
		end++
	}
	return s[l.Tokens[end].Start:], grams
}

// MealsParted parts what is eaten at one meal from what is eaten at the other:
// "kibble in the morning, turkey in the evening". The second is empty where one
// alone is told.
func MealsParted(s string) (first, second string) {
	at := otherMeal.FindStringIndex(s)
	if at == nil {
		return s, ""
	}
	return s[:at[1]], s[at[1]:]
}

// OtherAsked is a text without what only asks for other food, or says why: "should
// I just give him chicken", "kibble only today, ran out". It reports whether it asks.
func OtherAsked(s string) (rest string, asks bool) {
	rest = language.Without("asks-other", s)
	return strings.TrimSpace(language.Without("ran-out", rest)), rest != s || IsQuestion(s)
}

// StopsFood reads that a food is eaten no more: "no more kibble", "stop the tins".
func StopsFood(s string) (what string, ok bool) {
	what = language.Find("stops-food", strings.TrimSpace(s))
	return CutOther(what), what != ""
}

// PiecesOf is how many pieces of something a text tells: "half a sausage", "2 slices
// of ham"; one where it tells none.
func PiecesOf(s string) float64 {
	l := span.Lex(s)
	for i := range l.Tokens {
		if n, end := l.NumberAt(i); end > 0 && n.Whole() > 0 {
			return n.Whole()
		}
	}
	return 1
}

// FromAmount is a text from the first amount in it on: "she stole a 300 g steak" is
// "300 g steak". It is empty where there is none.
func FromAmount(s string) string {
	l := span.Lex(s)
	for i := range l.Tokens {
		if l.IsNumber(i) && !(l.Any(i, "a", "an") && l.IsNumber(i+1)) {
			return s[l.Tokens[i].Start:]
		}
	}
	return ""
}

// MassIn is the first weight that a text names, 0 where it names none.
func MassIn(s string) nutrition.Grams {
	l := span.Lex(s)
	for i := range l.Tokens {
		if grams, end := l.MassAt(i); end > 0 && grams > 0 {
			return grams
		}
	}
	return 0
}

// Servings are the amounts of food that a text tells, each as typed: "400 g of turkey
// mix and a cup of rice". What they are told for is left out.
func Servings(s string) (all []string) {
	s = strings.TrimRight(s, " ?.!")
	s = cmp.Or(FromAmount(language.Pattern("serving-end").ReplaceAllString(s, "")), FromAmount(s)) // "enough, 400 g of turkey"
	for _, part := range language.Pattern("serving-and").Split(s, -1) {
		if part = strings.TrimSpace(part); part == "" {
			continue
		}
		food, grams := AmountOff(part)
		if from := FromAmount(part); (from != part || grams > 0 && food == "") && len(all) > 0 { // "macaroni and cheese", "half a sausage, 40 g"
			all[len(all)-1] += " " + part
			continue
		}
		all = append(all, part)
	}
	return all
}

// MeasureOff parts the measure that begins a text from the food behind it: "2 cups of
// rice", "2 cups".
func MeasureOff(s string) (food string, n float64, measure string, ok bool) {
	m := newMatcher(s, span.Names{})
	n, measure, end := m.measureAt(0)
	if end == 0 || measure == "" {
		return s, 0, "", false
	}
	end = m.After(end, "of")
	return m.typed(end, len(m.Tokens)), n, measure, true
}

// WithoutBit is an amount without the words for a little of it: "a bit of cheese 15 g".
func WithoutBit(s string) string {
	if rest := language.Without("bit-of", s); strings.ContainsAny(rest, "0123456789") {
		return strings.TrimSpace(rest)
	}
	return s
}

// WithoutWhen is a text without the day, or the time of it, on which something was
// eaten, and whether that was yesterday.
func WithoutWhen(s string) string {
	return strings.TrimSpace(language.Without("day-that-was", language.Without("earlier-today", s)))
}

// OnlyCounts is the number of a text that says no more than how many there are left,
// as "for 4 tubs" beside a dog's name; empty where it says something else.
func OnlyCounts(s string) (n string) {
	l := span.Lex(s)
	for i := 0; i < len(l.Tokens); i++ {
		if is, end := l.NumberAt(i); end > 0 && n == "" && is.Value >= 0 {
			n, i = strconv.Itoa(int(is.Whole())), end-1
		} else if w := l.Word(i); w != "" && !language.In("count-words", w) && !language.In("packing", w) {
			return ""
		}
	}
	return n
}

// FodderAsked is the bought food that a text names as all of a dog's food for now,
// empty where it names none, and whether it is asked how much of it that is.
func FodderAsked(s string) (name string, asks bool) {
	for _, f := range language.Sayings["fodder"] {
		at := f.Is().FindStringIndex(s)
		if at == nil || language.Says("fodder-not", s[:at[0]]+s[at[1]:]) {
			continue
		}
		return f.As, language.Says("fodder-asked", s)
	}
	return "", false
}
