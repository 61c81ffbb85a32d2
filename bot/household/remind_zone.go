package household

import (
	"strings"

	"bowlwright/bot/read"
	"bowlwright/bot/read/span"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
)

// askZoneOf asks a household that moved to another zone and has reminders
// whether their times stay those of the old place.
func askZoneOf(t *talk.Turn, out *say.Reply, before string) {
	if before == t.Home.Zone || len(t.Home.Reminders) == 0 {
		return
	}
	if _, ok := planner.LoadZone(before); !ok {
		return
	}
	out.Add(msg("zone.follow", "zone", t.Home.Zone, "before", before))
	out.Offer(t.Button(msg("button.zone-keep", "zone", PlaceOf(before)), "remind", "zone", "keep", before))
}

// PlaceOf is the place in the name of a zone: "Oslo" of "Europe/Oslo".
func PlaceOf(zone string) string {
	return strings.ReplaceAll(zone[strings.LastIndexByte(zone, '/')+1:], "_", " ")
}

// PressZoneOf keeps the times of the reminders by the clock of a zone, or lets
// them follow the household's.
func PressZoneOf(t *talk.Turn, args []string) {
	zone := ""
	switch talk.Arg(args, 0) {
	case "keep":
		zone = talk.Arg(args, 1)
		if _, ok := planner.LoadZone(zone); !ok || zone == "" {
			t.SayMsg("press.stale")
			return
		}
	case "follow":
	default:
		t.SayMsg("press.stale")
		return
	}
	t.Mutate("did.zone-of", "")
	said := t.Home.Zone
	for i := range t.Home.Reminders {
		s := &t.Home.Reminders[i].Schedule
		s.Zone = zone
		if zone == t.Home.Zone {
			s.Zone = ""
		}
	}
	if zone != "" {
		said = zone
	}
	out := t.SayMsg("zone.kept", "zone", said)
	if zone != "" && zone != t.Home.Zone {
		out.Offer(t.Button(msg("button.zone-follow", "zone", PlaceOf(t.Home.Zone)), "remind", "zone", "follow"))
	}
	t.InPlace(out.Offer(t.UndoButton()))
}

// answerZone sets the place that a sentence names, and asks for another where that is
// not known.
func answerZone(t *talk.Turn, s read.Sentence) {
	zone, err := span.PlaceIn(s.Words)
	if err != nil {
		out := t.Say(say.Para(wrongZone(s.Words)))
		if t.Talk.Kind == "" {
			t.Ask("settings", "zone", struct{}{})
			out.Offer(t.StopButton())
		}
		return
	}
	setZone(t, zone)
}

// PlaceMeant answers what very likely tells where somebody lives, and reports whether a
// place is named.
func PlaceMeant(t *talk.Turn, s string) bool {
	_, err := span.PlaceIn(s)
	_, said := span.PlaceSaid(s)
	if said || err == nil {
		answerZone(t, read.Sentence{Words: s})
	}
	return said || err == nil
}

// wrongZone says that a place is not known, with the names that come nearest.
func wrongZone(text string) string {
	text, _ = span.PlaceSaid(text)
	near := span.NearPlaces(text, 3)
	return msg("wrong.zone", "text", say.Short(text)) + say.Where(len(near) > 0, "\n"+msg("wrong.zone-near", "places", say.List(near)))
}
