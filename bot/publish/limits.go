package publish

import (
	"time"

	"bowlwright/bot/talk"
	"bowlwright/store"
)

// What one household may do in 24 hours, and how many questions one may have
// open with an author (the last is what the project set; the rest is our own
// choice).
const (
	mostPublished = 10
	mostReleases  = 5
	mostQuestions = 10
	mostOpen      = 3
)

// fewest is of how many households an author is told a number at least, so that
// none can be made out (our own choice).
const fewest = 5

const aDay = 24 * time.Hour

// mayPublish reports whether the operator lets this person publish, and says so
// where not.
func mayPublish(t *talk.Turn) bool {
	if t.MayPublish == nil || t.MayPublish(t.Event) {
		return true
	}
	t.EndDialogue()
	t.SayMsg("limit.not-here")
	return false
}

// tooMany says that a household has done as much today as it may, and reports
// whether it has.
func tooMany(t *talk.Turn, done, most int, key string) bool {
	if done < most {
		return false
	}
	t.EndDialogue()
	t.SayMsg(key, "n", most)
	return true
}

// publishedToday and releasesToday count what the household has published, and
// the new versions of it, in the last 24 hours.
func publishedToday(t *talk.Turn) int { return versionsToday(t, true) }

func releasesToday(t *talk.Turn) int { return versionsToday(t, false) }

func versionsToday(t *talk.Turn, first bool) (n int) {
	all, err := t.Snap.PublishedBy(t.Home.ID) // also what was withdrawn since
	talk.Found(t, err)
	for _, p := range all {
		for i, v := range p.Versions {
			if (i == 0) == first && t.Event.At.Sub(v.At) < aDay {
				n++
			}
		}
	}
	return n
}

// askedToday are the questions that the household has asked authors in the last
// 24 hours.
func askedToday(t *talk.Turn, reading []store.Reader) (n int) {
	for _, r := range reading {
		for _, q := range r.Asked {
			if t.Event.At.Sub(q.At) < aDay {
				n++
			}
		}
	}
	return n
}
