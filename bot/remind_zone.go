package bot

import (
	"strings"

	"bowlwright/bot/read"
	"bowlwright/planner"
)

// askZoneOf asks, where the household has moved to another zone and has
// reminders, whether their times stay those of the place before.
func (t *turn) askZoneOf(out *Reply, before string) {
	if before == t.home.Zone || len(t.home.Reminders) == 0 {
		return
	}
	if _, ok := planner.LoadZone(before); !ok {
		return
	}
	out.Body = append(out.Body, para(msg("zone.follow", "zone", t.home.Zone, "before", before)))
	out.offer(t.button(msg("button.zone-keep", "zone", placeOf(before)), "remind", "zone", "keep", before))
}

// placeOf is the place in the name of a zone: "Oslo" of "Europe/Oslo".
func placeOf(zone string) string {
	return strings.ReplaceAll(zone[strings.LastIndexByte(zone, '/')+1:], "_", " ")
}

// pressZoneOf keeps the times of the reminders by the clock of a zone, or lets
// them follow the household's.
func (t *turn) pressZoneOf(args []string) {
	zone := ""
	switch arg(args, 0) {
	case "keep":
		zone = arg(args, 1)
		if _, ok := planner.LoadZone(zone); !ok || zone == "" {
			t.sayMsg("press.stale")
			return
		}
	case "follow":
	default:
		t.sayMsg("press.stale")
		return
	}
	t.mutate("did.zone-of", "")
	said := t.home.Zone
	for i := range t.home.Reminders {
		s := &t.home.Reminders[i].Schedule
		s.Zone = zone
		if zone == t.home.Zone {
			s.Zone = ""
		}
	}
	if zone != "" {
		said = zone
	}
	out := t.sayMsg("zone.kept", "zone", said)
	if zone != "" && zone != t.home.Zone {
		out.offer(t.button(msg("button.zone-follow", "zone", placeOf(t.home.Zone)), "remind", "zone", "follow"))
	}
	t.inPlace(out.offer(t.undoButton()))
}

// answerZone sets the place that a sentence names.
func (t *turn) answerZone(s read.Sentence) {
	zone, err := read.Zone(s.Words)
	if err != nil {
		t.say(para(wrongZone(s.Words)))
		return
	}
	t.setZone(zone)
}

// wrongZone says that a place is not known, with the names that come nearest.
func wrongZone(text string) string {
	near := read.NearPlaces(text, 3)
	if len(near) == 0 {
		return msg("wrong.zone", "text", short(text))
	}
	return msg("wrong.zone", "text", short(text)) + "\n" + msg("wrong.zone-near", "places", list(near))
}
