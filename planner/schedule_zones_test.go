package planner_test

import (
	"archive/zip"
	"cmp"
	"fmt"
	"io"
	"math/rand/v2"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"bowlwright/planner"
)

// The years that the property test walks through.
var (
	firstTested = time.Date(2024, 1, 1, 0, 0, 0, 0, time.UTC)
	testedDays  = 7*365 + 2 // 2024 to 2030
)

// goZones returns the zones of the database that comes with Go, also where the
// machine has none of its own: those named, else every one. Of zones that are
// the same in every byte, as a city and its old name are, it has the first.
func goZones(t testing.TB, names ...string) []*time.Location {
	t.Helper()
	root, err := exec.Command("go", "env", "GOROOT").Output()
	if err != nil {
		t.Skipf("no Go tree: %v", err)
	}
	archive, err := zip.OpenReader(filepath.Join(strings.TrimSpace(string(root)), "lib", "time", "zoneinfo.zip"))
	if err != nil {
		t.Skipf("the zone database of the Go tree is not there: %v", err)
	}
	defer archive.Close()
	var zones []*time.Location
	had := map[string]bool{}
	for _, file := range archive.File {
		if file.FileInfo().IsDir() || len(names) > 0 && !slices.Contains(names, file.Name) {
			continue
		}
		r, err := file.Open()
		if err != nil {
			t.Fatal(err)
		}
		data, err := io.ReadAll(r)
		if err != nil {
			t.Fatal(err)
		}
		if had[string(data)] {
			continue
		}
		had[string(data)] = true
		loc, err := time.LoadLocationFromTZData(file.Name, data)
		if err != nil {
			t.Fatal(err)
		}
		zones = append(zones, loc)
	}
	if least := cmp.Or(len(names), 300); len(zones) < least {
		t.Fatalf("%d zones only", len(zones))
	}
	return zones
}

// wall is what a clock on the wall shows, in minutes from firstTested as if
// there were no zones.
func wall(t time.Time) int {
	y, m, d := t.Date()
	return int(time.Date(y, m, d, t.Hour(), t.Minute(), 0, 0, time.UTC).Sub(firstTested) / time.Minute)
}

// fire is an instant, in minutes from firstTested, at which the wall first
// showed at least so much.
type fire struct{ at, wall int }

// watch looks at the clock of a zone, minute by minute around every change of
// it, and notes when each time of day of every tested day was first reached.
// Nothing in it knows of offsets or of how a schedule is worked out.
func watch(loc *time.Location, clocks []planner.Clock) []fire {
	const step = 360 // minutes; no zone changes its clock and back in so few
	fires := make([]fire, 0, testedDays*len(clocks))
	day, clock := 0, 0
	show := func(at, shown int) {
		for day < testedDays && day*1440+int(clocks[clock]) <= shown {
			fires = append(fires, fire{at, day*1440 + int(clocks[clock])})
			if clock++; clock == len(clocks) {
				day, clock = day+1, 0
			}
		}
	}
	from := -2 * 1440
	before := wall(firstTested.Add(time.Duration(from) * time.Minute).In(loc))
	for day < testedDays {
		to := from + step
		after := wall(firstTested.Add(time.Duration(to) * time.Minute).In(loc))
		switch {
		case after-before != step:
			for at := from; at < to; at++ {
				show(at, wall(firstTested.Add(time.Duration(at)*time.Minute).In(loc)))
			}
		default:
			for day < testedDays && day*1440+int(clocks[clock]) < after {
				next := day*1440 + int(clocks[clock])
				show(from+max(0, next-before), next)
			}
		}
		from, before = to, after
	}
	return fires
}

// series is a schedule and, told by counting days, the days that it has.
type series struct {
	name     string
	schedule planner.Schedule
	has      func(day int) bool
}

func testedSeries() []series {
	date := func(day int) time.Time { return firstTested.AddDate(0, 0, day) }
	anchor := planner.Date{Year: 2024, Month: 1, Day: 3}
	return []series{
		{"every day", planner.Schedule{EveryDays: 1, Anchor: anchor}, func(day int) bool { return day >= 2 }},
		{"every 3 days", planner.Schedule{EveryDays: 3, Anchor: anchor}, func(day int) bool { return day >= 2 && day%3 == 2 }},
		{"Sundays and Wednesdays", planner.Schedule{Weekdays: []time.Weekday{0, 3}, Anchor: anchor},
			func(day int) bool { return day >= 2 && (day%7 == 2 || day%7 == 6) }}, // 2024 began on a Monday
		{"the 31st or the last", planner.Schedule{MonthDay: 31, Anchor: anchor},
			func(day int) bool { return date(day+1).Day() == 1 }},
	}
}

// In every zone, on every day of seven years: each of a series' times comes
// exactly once, at the first minute at which the clock on the wall has
// reached it, and nothing else comes. A sample has the odd zones and some
// of the others.
func TestEveryZone(t *testing.T) {
	clocks := []planner.Clock{planner.At(0, 0), planner.At(1, 45), planner.At(2, 30), planner.At(23, 30)}
	zones := goZones(t)
	every := len(zones) / planner.Sampled(len(zones), 30)
	for i, loc := range zones {
		if i%every > 0 && !slices.Contains(oddZones, loc.String()) {
			continue
		}
		fires := watch(loc, clocks)
		for _, s := range testedSeries() {
			s.schedule.Times = clocks
			if err := follows(s.schedule.In(loc), s.has, fires); err != nil {
				t.Errorf("%s, %s: %v", loc, s.name, err)
			}
		}
	}
}

// oddZones change their clocks at midnight, by half an hour, in Ramadan, on
// short notice, or had a day too few; and some that everybody knows.
var oddZones = []string{
	"Africa/Cairo", "Africa/Casablanca", "America/Havana", "America/Nuuk", "America/Santiago", "America/St_Johns",
	"Asia/Beirut", "Asia/Kathmandu", "Australia/Lord_Howe", "Europe/Berlin", "Pacific/Apia", "UTC",
}

// follows checks a timetable against what was seen.
func follows(table planner.Timetable, has func(day int) bool, fires []fire) error {
	at := firstTested.AddDate(0, 0, -3)
	for i, f := range fires {
		if !has(f.wall / 1440) {
			continue
		}
		if next := i + 1; next < len(fires) && fires[next].at == f.at && has(fires[next].wall/1440) {
			continue // of two in the same minute the later remains
		}
		m, ok := table.NextMoment(at)
		want := firstTested.Add(time.Duration(f.at) * time.Minute)
		shown := firstTested.Add(time.Duration(f.wall) * time.Minute)
		if !ok || !m.At.Equal(want) || m.Date != planner.DateOf(shown) || m.Clock != planner.ClockOf(shown) {
			return fmt.Errorf("after %v: got %v for %v %v, want %v for %v", at, m.At, m.Date, m.Clock, want, shown)
		}
		at = m.At
	}
	return nil
}

// From any instant, Next is the first of the instants that the clock showed.
func TestNextFromAnywhere(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	clocks := []planner.Clock{planner.At(0, 30), planner.At(12, 0)}
	s := planner.Schedule{EveryDays: 1, Anchor: planner.Date{Year: 2024, Month: 1, Day: 1}, Times: clocks}
	for _, loc := range goZones(t, oddZones...) {
		fires := watch(loc, clocks)
		for range 500 {
			after := r.IntN((testedDays - 3) * 1440)
			i, _ := slices.BinarySearchFunc(fires, after+1, func(f fire, at int) int { return f.at - at })
			want := firstTested.Add(time.Duration(fires[i].at) * time.Minute)
			if got := s.In(loc).Next(firstTested.Add(time.Duration(after) * time.Minute)); !got.Equal(want) {
				t.Fatalf("%s: after minute %d got %v, want %v", loc, after, got, want)
			}
		}
	}
}
