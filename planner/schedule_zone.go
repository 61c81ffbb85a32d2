package planner

import (
	"sync"
	"time"
	_ "time/tzdata"
)

// zones keeps the zones that were asked for: reading one takes longer than
// everything else that is done with it.
var zones sync.Map // of *time.Location by name

// LoadZone returns a zone by its IANA name, and whether there is one. The
// zone of the machine ("Local", "") is none.
func LoadZone(name string) (*time.Location, bool) {
	if name == "" || name == "Local" {
		return nil, false
	}
	if loc, ok := zones.Load(name); ok {
		return loc.(*time.Location), true
	}
	loc, err := time.LoadLocation(name)
	if err != nil {
		return nil, false
	}
	zones.Store(name, loc)
	return loc, true
}

// Location returns the household's zone, UTC where it has none that is known.
func (h *Household) Location() *time.Location {
	if loc, ok := LoadZone(h.Zone); ok {
		return loc
	}
	return time.UTC
}

// Instant returns when a clock on the wall of a zone first shows a time of
// day, or what comes after it: a time that is skipped in spring is the first
// instant after the gap, one that occurs twice in autumn is the first of the
// two, a day that a zone leaves out is the first instant of the next. Of two
// times on the wall, the later is never the earlier instant.
//
// It is the smallest t for which t plus the zone's offset at t is not below
// the time on the wall, found period of offset by period from before every
// offset there is; time.Date does not say which side of a gap or of a
// repetition it returns.
func Instant(d Date, c Clock, loc *time.Location) time.Time {
	at, _ := instant(d, c, loc)
	return at
}

// instant is Instant, and whether the wall shows that very time then.
func instant(d Date, c Clock, loc *time.Location) (at time.Time, shown bool) {
	wall := time.Date(d.Year, d.Month, d.Day, 0, int(c), 0, 0, time.UTC)
	t := wall.Add(-widestOffset)
	for {
		in := t.In(loc)
		_, offset := in.Zone()
		at := wall.Add(-time.Duration(offset) * time.Second)
		shown := !at.Before(t)
		if !shown {
			at = t
		}
		_, end := in.ZoneBounds()
		if !end.IsZero() && !end.After(t) {
			// Beyond the last transition listed, Go gives bounds by the year
			// and has the year end after 365 days.
			end = time.Date(t.UTC().Year()+1, time.January, 1, 0, 0, 0, 0, time.UTC)
		}
		if end.IsZero() || at.Before(end) {
			return at.UTC(), shown
		}
		t = end
	}
}

// widestOffset is more than any zone was ever from UTC: the zone database
// knows offsets up to 16 hours, its rules allow 25.
const widestOffset = 26 * time.Hour
