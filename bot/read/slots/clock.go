package slots

import (
	"fmt"
	"slices"
	"strings"

	"bowlwright/bot/read/span"
	"bowlwright/planner"
)

// clockFrom reads the time of day that begins at a place.
func (s *Found) clockFrom(i int, bare bool) (c clock, ok bool) {
	t := &s.Tokens[i]
	if len(t.Text) > 2 && s.staysAt(i) && !s.Any(i+1, ":") {
		return c, false
	}
	if n := span.DigitsOf(t.Text); t.Kind == span.NumberToken && len(t.Text) == 4 && n >= 0 && n/100 < 24 && n%100 < 60 && s.Word(i+1) != "-" {
		return clock{planner.At(n/100, n%100), t.Text[0] != '0' && n < 1300, i, i + 1}, true
	}
	w := &span.WhenReader{Lexed: &span.Lexed{Text: s.Text, Tokens: s.Tokens}}
	at, end := w.ClockAt(i, bare || s.is(i-1, "clock-leads") || s.Any(i+1, "h"))
	if end == 0 || s.Any(i+1, "h") && end == i+2 && at < planner.At(span.LeastBareHour, 0) { // "1h" is how long
		return c, false
	}
	if w.Code == span.UnclearTime {
		return clock{at, true, i, end}, true
	}
	typed := strings.ToLower(s.Span(i, end))
	sure := at >= planner.At(13, 0) || s.Any(i+1, "h") || typed[0] == '0' || typed == "noon" || typed == "midday" || typed == "midnight" || strings.HasSuffix(typed, "m") || strings.HasSuffix(typed, "morning")
	return clock{at, !sure, i, end}, w.Code == ""
}

// clocks are the times of day of a text; none where one is not understood.
func (s *Found) clocks(bare bool) (all []clock) {
	for i := 0; i < len(s.Tokens); i++ {
		if s.taken[i] || slices.ContainsFunc(s.quantities, func(q quantity) bool { return q.from <= i && i < q.to && q.kind != span.ByCount }) { // with its unit
			continue
		}
		c, ok := s.clockFrom(i, bare)
		switch {
		case ok && (s.Any(i-1, "not") || s.Any(i-2, "not") && s.is(i-1, "clock-leads")):
			i = c.to - 1
		case ok:
			all = append(all, c)
			i = c.to - 1
		case bare && s.Tokens[i].Kind == span.NumberToken, s.Word(i) == "half" && i+1 < len(s.Tokens) && (span.HourWords(s.Word(i+1)) > 0 || s.Tokens[i+1].Kind == span.NumberToken), s.is(i-1, "clock-leads") && span.HourWords(s.Word(i)) > 0:
			return nil
		}
	}
	return all
}

// time is the time of day, or several. One that may be of the morning or the
// evening counts where the meal, or the time before it, tells which.
func (s *Found) time(intent string) string {
	clocks, hint := s.clocks(intent == "feedtimes.set" || intent == "remind.set"), s.half()
	noon := planner.At(12, 0)
	var said []string
	if len(clocks) > 1 && intent != "feedtimes.set" && intent != "remind.set" {
		return ""
	}
	for i := range clocks {
		c := &clocks[i]
		if s.Any(c.to, "and", "&", "-", ",", "/") && i == len(clocks)-1 && c.to+1 < len(s.Tokens) && (s.Tokens[c.to+1].Kind == span.NumberToken || span.HourWords(s.Word(c.to+1)) > 0) {
			return "" // another time that is not understood
		}
		minutes := int(c.at)%60 != 0
		switch {
		case !c.doubtful:
		case intent == "remind.set" && len(clocks) == 2 && i == 1 && clocks[0].at >= planner.At(20, 0):
		case len(clocks) > 1 && hint == "pm" || intent == "later" && s.c.Now.IsZero():
			return ""
		case len(clocks) > 1 && i > 0:
			if c.at < noon && (clocks[i-1].at >= c.at || intent == "feedtimes.set" && clocks[i-1].at > c.at-planner.At(4, 0)) {
				c.at += noon
			}
		case len(clocks) > 1 && (c.at < planner.At(5, 0) || c.at < planner.At(6, 0) && !clocks[1].doubtful && clocks[1].at < noon):
			return ""
		case len(clocks) > 1:
		case intent == "remind.add" && (s.has(bySpan) || s.isPart(c.to)):
			return ""
		case intent == "remind.add" && c.at < planner.At(7, 0):
			c.at += noon
		case intent == "remind.add":
		case intent == "fed.log" && !s.c.Now.IsZero() && hint == "":
			if now := planner.At(s.c.Now.Hour(), s.c.Now.Minute()); c.at > now {
				return ""
			} else if c.at+noon <= now {
				c.at += noon
			}
		case intent == "later":
			if now := planner.At(s.c.Now.Hour(), s.c.Now.Minute()); c.at < noon && c.at <= now {
				c.at += noon
			}
		case hint == "pm" && c.at < noon, hint == "noon" && c.at < planner.At(5, 0):
			c.at += noon
		case hint == "am" || hint == "noon", minutes && hint == "" && c.at >= planner.At(6, 0):
		default:
			return ""
		}
		if i > 0 && c.at <= clocks[i-1].at && intent == "feedtimes.set" {
			return ""
		}
		said = append(said, fmt.Sprintf("%02d:%02d", int(c.at)/60%24, int(c.at)%60))
	}
	if intent == "remind.set" {
		switch {
		case len(said) == 2 && clocks[1].from == clocks[0].to+1 && s.Any(clocks[0].to, "to", "-", "–", "and", "until", "till", "til"):
			return strings.Join(said, "-")
		case len(said) != 1, s.Any(clocks[0].from-1, "not", "of"), s.saysAny("before", "after", "between", "until", "till", "til", "from", "and") >= 0:
			return ""
		}
	}
	return strings.Join(said, ", ")
}

// half is the half of the day that the meals and parts of the day named lie
// in: "am", "noon", "pm", "both", empty where there are none.
func (s *Found) half() (hint string) {
	for i := range s.Tokens {
		w := s.Word(i)
		h := span.HalfOf(w)
		switch {
		case w == "noon" || w == "midday" || span.MealsByName[w].Name == "lunch":
			h = "noon"
		case h == "night":
			h = "pm"
		}
		if h != "" && !s.taken[i] && w != "nights" { // who works on nights
			if hint != "" && hint != h {
				return "both"
			}
			hint = h
		}
	}
	return hint
}
