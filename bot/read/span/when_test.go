package span

import (
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"

	"bowlwright/planner"
)

// whenNow is Monday 2 March 2026, 07:45.
var whenNow = time.Date(2026, 3, 2, 7, 45, 0, 0, time.UTC)

// showWhen prints what was read in a short notation.
func showWhen(w When, err error) string {
	var p Problem
	if errors.As(err, &p) {
		return "! " + string(p.Code) + " " + p.Part
	}
	var out []string
	add := func(format string, args ...any) { out = append(out, fmt.Sprintf(format, args...)) }
	if w.Repeats {
		switch c := w.Cadence; {
		case c.EveryDays > 0:
			add("every%d", c.EveryDays)
		case c.PerWeek > 0:
			add("perweek%d", c.PerWeek)
		case len(c.Weekdays) > 0:
			days := ""
			for _, d := range c.Weekdays {
				days += d.String()[:2]
			}
			add("%s", days)
		default:
			add("daily")
		}
	}
	if w.Monthly {
		add("monthly%d", w.MonthDay)
	}
	if w.PerDay > 1 {
		add("x%d", w.PerDay)
	}
	for _, c := range w.Times {
		add("%v", c)
	}
	if w.Meal != "" {
		add("meal-%s", w.Meal)
	}
	if !w.On.IsZero() {
		add("on %v", w.On)
	}
	if !w.At.IsZero() {
		add("at %s", w.At.Format("2006-01-02T15:04"))
	}
	if !w.From.IsZero() {
		add("from %v", w.From)
	}
	if !w.Until.IsZero() {
		add("until %v", w.Until)
	}
	if w.Days > 0 {
		add("for %d", w.Days)
	}
	if w.Note != "" {
		add("(%s)", w.Note)
	}
	if w.Rest != "" {
		add("| %s", w.Rest)
	}
	return strings.Join(out, " ")
}

// TestWhenText holds wordings against what the calendar says: 2 March 2026 is
// a Monday.
func TestWhenText(t *testing.T) {
	rows := [][2]string{
		{"give Juniper vitamin E 200 IU every 3 days at 07:30", "every3 07:30 | give Juniper vitamin E 200 IU"},
		{"every 3 days at 07:30 give Juniper vitamin E 200 IU", "every3 07:30 | give Juniper vitamin E 200 IU"},
		{"vet on Friday 10:00", "10:00 on 2026-03-06 | vet"},
		{"vet Friday at 10", "10:00 on 2026-03-06 | vet"},
		{"vet on Friday 6 March 10am", "10:00 on 2026-03-06 | vet"},
		{"vet tomorrow 9.15 am", "09:15 on 2026-03-03 | vet"},
		{"vet Friday 10", "10:00 on 2026-03-06 | vet"},
		{"vet on 6 March 10", "10:00 on 2026-03-06 | vet"},
		{"Friday 10 capsules", "on 2026-03-06 | 10 capsules"},
		{"vet next Monday at 0930", "09:30 on 2026-03-09 | vet"},
		{"vet today at 7.30 p.m.", "19:30 on 2026-03-02 | vet"},
		{"call the vet tomorrow morning", "08:00 on 2026-03-03 | call the vet"},
		{"thaw 500 g turkey tonight", "19:00 on 2026-03-02 | thaw 500 g turkey"},
		{"worming in 3 months", "on 2026-05-31 | worming"},
		{"turn the oven off in 20 minutes", "at 2026-03-02T08:05 | turn the oven off"},
		{"vet in a week at 9", "09:00 on 2026-03-09 | vet"},
		{"twice in a fortnight", "every7"},
		{"in 2 hours check Pip", "at 2026-03-02T09:45 | check Pip"},
		{"Juniper on Sundays at 9", "Su 09:00 | Juniper"},
		{"every Sunday at 9 am", "Su 09:00"},
		{"every day at 8 fish oil", "daily 08:00 | fish oil"},
		{"weigh Pip at 8 kg", "| weigh Pip at 8 kg"},
		{"worm Pip at 8 weeks", "| worm Pip at 8 weeks"},
		{"drops every morning and evening", "daily 08:00 19:00 | drops"},
		{"drops every evening and morning", "daily 19:00 08:00 | drops"},
		{"drops every morning and a bath", "daily 08:00 | drops and a bath"},
		{"1st of month at 9 worm Pip", "monthly1 09:00 | worm Pip"},
		{"worm tablet every 1st of the month at 9", "monthly1 09:00 | worm tablet"},
		{"every other Sunday at 9", "every14 09:00 on 2026-03-08"},
		{"on Mon, Wed, Fri with breakfast", "MoWeFr meal-first"},
		{"Mondays and Thursdays with her first meal", "MoTh meal-first"},
		{"daily with dinner", "daily meal-last"},
		{"every day with every meal", "daily meal-each"},
		{"twice a week", "perweek2"},
		{"3 times a week at 18:00", "perweek3 18:00"},
		{"twice a day at 8 and 20", "daily x2 08:00 20:00"},
		{"monthly on the 1st", "monthly1"},
		{"on the 15th of each month at 9", "monthly15 09:00"},
		{"every month on the 31st", "monthly31"},
		{"on the first of the month", "monthly1"},
		{"on the fifteenth of every month at 9", "monthly15 09:00"},
		{"open the second bag on the third of every month", "monthly3 | open the second bag"},
		{"monthly with her first meal", "monthly0 meal-first"},
		{"monthly", "monthly0"},
		{"once a month", "monthly0"},
		{"every 2 days for 10 days", "every2 for 10"},
		{"daily for two weeks with food", "daily meal-first for 14"},
		{"every 3 days until 4 April", "every3 until 2026-04-04"},
		{"daily until April 4th, 2027", "daily until 2027-04-04"},
		{"weekly from Friday at 8", "every7 08:00 from 2026-03-06"},
		{"every 3 days starting tomorrow", "every3 from 2026-03-03"},
		{"until Monday", "until 2026-03-09"},
		{"until tomorrow", "until 2026-03-03"},
		{"Juniper from 3 to 10 April (kennel)", "from 2026-04-03 until 2026-04-10 (kennel) | Juniper"},
		{"from 3 April to 10 April", "from 2026-04-03 until 2026-04-10"},
		{"away 3 to 10 April, no meals", "from 2026-04-03 until 2026-04-10 | away no meals"},
		{"3-10 April", "from 2026-04-03 until 2026-04-10"},
		{"from 28 to 3 April", "from 2026-03-28 until 2026-04-03"},
		{"from 28 December to 3 January", "from 2026-12-28 until 2027-01-03"},
		{"from Sunday to Tuesday", "from 2026-03-08 until 2026-03-10"},
		{"pause sun-tue", "on 2026-03-08 until 2026-03-10 | pause"},
		{"from 2026-04-03 to 2026-04-10", "from 2026-04-03 until 2026-04-10"},
		{"until 4.4.2026", "until 2026-04-04"},
		{"until 25/4", "until 2026-04-25"},
		{"until the end of March", "until 2026-03-31"},
		{"until the 4th", "until 2026-03-04"},
		{"until the 1st", "until 2026-04-01"},
		{"on 29 February", "on 2028-02-29"},
		{"on 1 March", "on 2027-03-01"},
		{"22:00 to 07:00", "22:00 07:00"},
		{"from 10 pm to 7 am", "22:00 07:00"},
		{"hours 22.00-24:00", "! bad-time 24:00"},
		{"Juniper at 7:30 and 18:00", "07:30 18:00 | Juniper"},
		{"Juniper at 7, 12.30 and 6 pm", "07:00 12:30 18:00 | Juniper"},
		{"at noon", "12:00"},
		{"call Tomas tomorrow at nine", "! unclear-time at nine"},
		{"call Tomas tomorrow at nine in the morning", "09:00 on 2026-03-03 | call Tomas"},
		{"call Tomas tomorrow evening at nine", "21:00 on 2026-03-03 | call Tomas"},
		{"call Tomas tomorrow evening at 9", "21:00 on 2026-03-03 | call Tomas"},
		{"call Tomas at half past nine tonight", "21:30 on 2026-03-02 | call Tomas"},
		{"vet on Friday at a quarter to eight pm", "19:45 on 2026-03-06 | vet"},
		{"drops at quarter to 20", "19:45 | drops"},
		{"drops at ten past six in the evening", "18:10 | drops"},
		{"drops at ten to seven in the evening", "18:50 | drops"},
		{"drops at seven thirty in the morning and half past five in the afternoon", "07:30 17:30 | drops"},
		{"drops half past nine every evening", "daily 21:30 | drops"},
		{"drops daily at half past nine pm", "daily 21:30 | drops"},
		{"drops at eight o'clock", "! unclear-time at eight o'clock"},
		{"drops 9 in the evening", "21:00 | drops"},
		{"drops at 8", "08:00 | drops"},
		{"drops at twelve at night", "00:00 | drops"},
		{"dinner at six", "18:00 | dinner"},
		{"defrost every other Sunday at 10", "every14 10:00 on 2026-03-08 | defrost"},
		{"feed at half 8", "! unclear-time at half 8"}, {"feed at half 8 and 6", "08:30 18:00 | feed"},
		{"oil with dinner at half five", "17:30 meal-last | oil"}, {"oil 7.30 every morning", "daily 07:30 | oil"},
		{"half 8 of the food", "| half 8 of the food"},
		{"fish oil in the mornings", "daily 08:00 | fish oil"},
		{"fish oil Mondays in the mornings", "Mo 08:00 | fish oil"},
		{"two capsules in the morning and one in the evening", "08:00 | two capsules and one"},
		{"give one in the morning", "08:00 | give one"},
		{"half a tablet at 8", "08:00 | half a tablet"},
		{"a quarter of a tablet at 8", "08:00 | a quarter of a tablet"},
		{"remind 10 past the hour", "| remind 10 past the hour"},
		{"from ten in the evening to seven in the morning", "22:00 07:00"},
		{"at nine pm and at two capsules", "21:00 | and at two capsules"},
		{"at 25:70", "! bad-time 25:70"},
		{"at 25", "! bad-time 25"},
		{"7:5", "! bad-time 7:5"},
		{"at 13 am", "! bad-time 13 am"},
		{"on 31 April", "! bad-date 31 April"},
		{"until 30 February", "! bad-date 30 February"},
		{"on 1 March 2026", "! past-date 1 March 2026"},
		{"until 2025-04-04", "! past-date 2025-04-04"},
		{"until 4/5/2026", "! ambiguous-date 4/5/2026"},
		{"every 0 days", "! bad-cadence every 0 days"},
		{"every 10000 days at 8", "! bad-cadence every 10000 days"},
		{"10 times a week", "! bad-cadence 10 times a week"},
		{"from 10 April 2026 to 3 April 2026", "! bad-span from 10 April 2026 to 3 April 2026"},
		{"give 1/2 tablet zinc 15 mg at 8", "08:00 | give 1/2 tablet zinc 15 mg"},
		{"Juniper and Pip", "| Juniper and Pip"},
		{"", ""},
	}
	for _, r := range rows {
		if got := showWhen(WhenText(r[0], whenNow)); got != r[1] {
			t.Errorf("%q:\n got %s\nwant %s", r[0], got, r[1])
		}
	}
}

func TestClocks(t *testing.T) {
	rows := [][2]string{
		{"7:30", "[07:30]"}, {"7.30", "[07:30]"}, {"0730", "[07:30]"}, {"730", "[07:30]"}, {"7", "[07:00]"}, {"19:00", "[19:00]"},
		{"7:30 pm", "[19:30]"}, {"7.30pm", "[19:30]"}, {"12 am", "[00:00]"}, {"12pm", "[12:00]"}, {"at 9", "[09:00]"}, {"noon", "[12:00]"},
		{"7 and 18", "[07:00 18:00]"}, {"18:00, 7:30", "[18:00 07:30]"}, {"22:00-07:00", "[22:00 07:00]"}, {"9 o'clock", "[09:00]"},
		{"half past nine in the evening", "[21:30]"}, {"quarter to eight am", "[07:45]"}, {"at eight", "! unclear-time"}, {"midday", "[12:00]"},
		{"seven in the morning and six in the evening", "[07:00 18:00]"}, {"ten to seven", "! unclear-time"}, {"8 in the evening", "[20:00]"},
		{"25:70", "! bad-time"}, {"7:60", "! bad-time"}, {"24:00", "! bad-time"}, {"99", "! bad-time"},
		{"soon", "! no-time"}, {"7 apples", "! no-time"}, {"", "! empty"}, {"7:30 soon", "! no-time"},
	}
	for _, r := range rows {
		c, err := Clocks(r[0])
		got := fmt.Sprint(c)
		var p Problem
		if errors.As(err, &p) {
			got = "! " + string(p.Code)
		}
		if got != r[1] {
			t.Errorf("%q: %s, want %s", r[0], got, r[1])
		}
	}
}

func TestDate(t *testing.T) {
	rows := [][2]string{
		{"Monday", "2026-03-02"}, {"friday", "2026-03-06"}, {"tomorrow", "2026-03-03"}, {"4 april", "2026-04-04"}, {"in 3 days", "2026-03-05"},
		{"until Friday", "2026-03-06"}, {"on the 4th", "2026-03-04"}, {"next week", "2026-03-09"}, {"for 10 days", "2026-03-12"},
		{"4.4.", "2026-04-04"}, {"4/4", "2026-04-04"}, {"yesterday", "! no-date"}, {"2020-01-01", "! past-date"}, {"Fridays", "! no-date"}, {"", "! no-date"},
	}
	for _, r := range rows {
		d, err := Date(r[0], whenNow)
		got := d.String()
		var p Problem
		if errors.As(err, &p) {
			got = "! " + string(p.Code)
		}
		if got != r[1] {
			t.Errorf("%q: %s, want %s", r[0], got, r[1])
		}
	}
}

// FuzzWhenText checks that any text gives a day of the calendar and a time of
// the day or a problem, and that every time is told back the same.
func FuzzWhenText(f *testing.F) {
	for _, s := range []string{"every 3 days at 07:30", "from 3 to 10 April (kennel)", "7.30pm", "on 1/2", "4.4.", "the", "every month on the 31st"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		w, err := WhenText(s, whenNow)
		if err != nil {
			return
		}
		for _, c := range w.Times {
			again, err := Clocks(c.String())
			if c < 0 || c >= 24*60 || err != nil || len(again) != 1 || again[0] != c {
				t.Errorf("%q: time %d", s, c)
			}
		}
		for _, d := range []planner.Date{w.On, w.From, w.Until} {
			if d.IsZero() {
				continue
			}
			if back, err := planner.ParseDate(d.String()); err != nil || back != d || d.Before(planner.DateOf(whenNow)) && d != w.From {
				t.Errorf("%q: day %v %v", s, d, err)
			}
		}
	})
}

// TestBindNames holds a dog that is called like a day or a month apart from the day.
func TestBindNames(t *testing.T) {
	n := Names{Dogs: []Named{{ID: "1", Name: "Friday"}, {ID: "2", Name: "May"}, {ID: "3", Name: "Pip"}}, Recipes: []Named{{ID: "4", Name: "Sunday pot"}, {ID: "5", Name: "mon"}}}
	for text, want := range map[string]string{
		"fed Pip Sunday pot": "fed Pip Sundaypot", "Friday left half": "FridayFriday left half", "weigh May tomorrow": "weigh MayMay tomorrow",
		"Pip ate on Friday": "Pip ate on Friday", "vet May 4": "vet May 4", "May 9 kg": "MayMay 9 kg", "zinc mon wed Friday": "zinc mon wed Friday",
	} {
		bound, apart := BindNames(text, n)
		if bound != want || apart(bound) != text {
			t.Errorf("%q: %q, %q", text, bound, apart(bound))
		}
	}
}
