package read

import (
	"time"

	"bowlwright/bot/read/language"
	"bowlwright/bot/read/span"
	"bowlwright/planner"
)

// DayCount reads a number of days that is whole and not below zero: "4", "4
// days", "a week", "four".
func DayCount(s string) (int, bool) {
	o := orderReader{matcher: newLooseMatcher(s, span.Names{})}
	at := 0
	for o.at(at) == "for" || o.at(at) == "over" || o.at(at) == "x" {
		at++
	}
	if at >= len(o.words) {
		return 0, false
	}
	if w := o.words[at]; w.Number && w.Value == 0 && at+1 == len(o.words) {
		return 0, true
	}
	days, end := o.daysIn(at)
	return days, end == len(o.words) && days > 0 && o.code == ""
}

// DogsText reads a text that names nothing but dogs of the household:
// "Juniper and Pip", "both", "all dogs". all says that every dog is meant.
func DogsText(s string, n span.Names) (ids []string, all, ok bool) {
	o := orderReader{matcher: newLooseMatcher(s, n)}
	at := o.after(0, "for")
	end := o.takeDogs(at)
	return o.Dogs, o.All, end > at && end == len(o.words)
}

// Exchange is two days of a rotation that are to change places, or a day on
// which another recipe is eaten.
type Exchange struct {
	Day    planner.Date
	With   planner.Date // zero where a recipe is named
	Recipe string       // id
}

var exchangeFillers = language.Set("exchange-fillers")

// ExchangeText reads "Thu and Sat", "swap today with Friday", "Thursday:
// rabbit", "rabbit on Thursday". now is the instant that days count from.
func ExchangeText(s string, n span.Names, now time.Time) (Exchange, bool) {
	m := newLooseMatcher(s, n)
	var x Exchange
	if len(m.words) > 16 {
		return x, false
	}
	for at := 0; at < len(m.words); {
		if day, end, _ := m.dateAfter(at-1, now); end > 0 {
			switch {
			case x.Day.IsZero():
				x.Day = day
			case x.With.IsZero():
				x.With = day
			default:
				return Exchange{}, false
			}
			at = end
			continue
		}
		if id, end := m.recipeAt(at); end > 0 {
			if x.Recipe != "" {
				return Exchange{}, false
			}
			x.Recipe, at = id, end
			continue
		}
		if !exchangeFillers[m.at(at)] && m.at(at) != "'s" {
			return Exchange{}, false
		}
		at++
	}
	return x, !x.Day.IsZero() && x.With.IsZero() == (x.Recipe != "")
}
