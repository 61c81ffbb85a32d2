package household

import (
	"cmp"
	"strings"
	"unicode"

	"bowlwright/bot/read"
	"bowlwright/bot/read/span"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
)

// settingsCommand shows the settings, or sets what the rest names.
func settingsCommand(t *talk.Turn, rest string) {
	u, ofUnits := unitsFromWords(rest, t.Home.Units)
	profile := profileNamed(rest)
	zone, err := span.Zone(rest)
	switch {
	case rest == "":
		showSettings(t, "")
	case ofUnits:
		t.Mutate("did.units", "")
		t.Home.Units = u
		showSettings(t, msg("settings.units-set")).Offer(t.UndoButton())
	case profile != "":
		t.Mutate("did.profile", msg("profile."+profile))
		t.Home.Profile = say.Where(profile != "by-dog", profile)
		showSettings(t, msg("settings.profile-set", "profile", profileName(t))).Offer(t.UndoButton())
	case err == nil:
		setZone(t, zone)
	default:
		t.SayMsg("wrong.setting", "text", say.Short(rest))
	}
}

func showSettings(t *talk.Turn, head string) *say.Reply {
	u := t.Home.Units
	units := msg("units.mixed", "food", say.MassUnit(u), "dogs", say.Choose(u.Pounds, "lb", "kg"))
	r := t.Say(say.Para(head), say.Para(msg("settings.show", "units", units, "zone", t.Home.Zone, "time", talk.LocalTime(t),
		"profile", profileName(t), "risk", msg("risk."+say.Choose(t.Home.AtRisk, "yes", "no")))), say.Para(talk.RestText(t)), say.Para(NumbersText(t)))
	r.Offer(t.Button(msg("units.metric"), "settings", "units", "metric"), t.Button(msg("units.imperial"), "settings", "units", "imperial"))
	r.Offer(t.Button(msg("button.zone"), "settings", "zone"), t.Button(msg("button.profile"), "settings", "profiles"))
	r.Offer(t.Button(msg("button.quiet"), "quiet", "ask"), t.Button(msg("button.reminders"), "remind", "list"))
	r.Offer(t.Button(msg("button.numbers"), "number", "ask"))
	return r.Offer(t.Button(msg("button.risk-"+say.Choose(t.Home.AtRisk, "no", "yes")), "settings", "risk", say.Choose(t.Home.AtRisk, "no", "yes")))
}

// profileName is the chosen requirement profile.
func profileName(t *talk.Turn) string {
	return msg("profile." + cmp.Or(t.Home.Profile, "by-dog"))
}

// profileNamed returns the id of the profile that a text names, "by-dog" for
// none of its own, empty where it names no profile.
func profileNamed(s string) string {
	s = strings.ToLower(strings.Join(strings.Fields(s), "-"))
	if s == "by-dog" || s == "by-the-dog" {
		return "by-dog"
	}
	return say.Where(nutrition.ProfileByID(s) != nil, s)
}

// BareZone takes a place typed alone: a zone by its name at any time, a city
// while no place was set yet.
func BareZone(t *talk.Turn, s string) bool {
	if strings.Contains(s, "\n") || t.Home.Zone != talk.DefaultZoneName && !strings.Contains(s, "/") {
		return false
	}
	zone, err := span.Zone(s)
	if err != nil {
		return false
	}
	setZone(t, zone)
	return true
}

func setZone(t *talk.Turn, zone string) {
	t.Mutate("did.zone", zone)
	before := t.Home.Zone
	t.Home.Zone = zone
	r := showSettings(t, msg("settings.zone-set", "zone", zone)).Offer(t.UndoButton())
	askZoneOf(t, r, before)
}

// pressSettings does what a button of the settings asks.
func pressSettings(t *talk.Turn, args []string) {
	switch talk.Arg(args, 0) {
	case "units", "profile":
		settingsCommand(t, talk.Arg(args, 1))
	case "profiles":
		r := t.SayMsg("ask.profile").Offer(t.Button(msg("profile.by-dog"), "settings", "profile", "by-dog"))
		for _, p := range nutrition.Profiles() {
			r.Offer(t.Button(msg("profile."+p.ID), "settings", "profile", p.ID))
		}
	case "risk":
		t.Mutate("did.risk", "")
		t.Home.AtRisk = talk.Arg(args, 1) == "yes"
		showSettings(t, msg("settings.risk-set")).Offer(t.UndoButton())
	case "zone":
		t.Ask("settings", "zone", struct{}{})
		t.SayMsg("ask.zone").Offer(t.StopButton())
	default:
		t.SayMsg("press.stale")
	}
}

// settingsDialogue takes a typed place.
func settingsDialogue(t *talk.Turn, in talk.Answer) {
	if saysLater(in.Text) {
		t.StopDialogue()
		return
	}
	zone, err := span.PlaceIn(in.Value())
	ask := func() {
		t.Ask("settings", "zone", struct{}{})
		t.SayMsg("ask.zone").Offer(t.StopButton())
	}
	switch {
	case err == nil:
		t.EndDialogue()
		setZone(t, zone)
	case !t.Aside(in.Text) && !t.Elsewhere(in.Text, ask):
		t.Say(say.Para(wrongZone(in.Value()))).Offer(t.StopButton())
	}
}

func AskUnits(t *talk.Turn, _ *planner.Dog) {
	t.SayMsg("ask.units").Offer(t.Answer(msg("units.metric"), "units", "metric"),
		t.Answer(msg("units.imperial"), "units", "imperial"))
}

func TakeUnits(t *talk.Turn, d *planner.Dog, in talk.Answer) string {
	u, ok := unitsFromWords(in.Value(), t.Home.Units)
	if metric, ok := DogsWeight(d, in.Text, planner.Units{}); ok { // "8 kg" tells both
		if pounds, _ := DogsWeight(d, in.Text, planner.Units{Pounds: true}); pounds == metric {
			d.Weight = metric
			AdoptHome(t, in.Text)
			t.Changed = true
			return ""
		}
	}
	if !ok && !talk.IsNotSure(in.Text) {
		return msg("wrong.units")
	}
	t.Home.Units, t.Changed = u, true
	return ""
}

// unitsFromWords reads which units a person wants; words that name only one
// kind ("ounces") leave the other as it was.
func unitsFromWords(s string, now planner.Units) (planner.Units, bool) {
	hit := false
	for _, w := range strings.FieldsFunc(strings.ToLower(s), func(r rune) bool { return strings.ContainsRune(" ,+&/.;", r) }) {
		switch read.SaidKind("unit-said", w) {
		case "metric":
			now, hit = planner.Units{}, true
		case "imperial":
			now, hit = planner.Units{Ounces: true, Pounds: true}, true
		case "g":
			now.Ounces, hit = false, true
		case "oz":
			now.Ounces, hit = true, true
		case "kg":
			now.Pounds, hit = false, true
		case "lb":
			now.Pounds, hit = true, true
		}
	}
	return now, hit
}

// DogsWeight reads a weight, with the dog's name beside it or without.
func DogsWeight(d *planner.Dog, s string, u planner.Units) (nutrition.Kilograms, bool) {
	if w, err := span.BodyWeight(s, u); err == nil {
		return w, true
	}
	names := span.Names{Dogs: []span.Named{{ID: "x", Name: d.Name}}}
	w, _, ok := read.NamedWeight(d.Name+" "+s, names, u)
	if !ok {
		w, _, ok = read.NamedWeight(s, names, u)
	}
	return w, ok
}

func AskPlace(t *talk.Turn, _ *planner.Dog) {
	t.SayMsg("ask.place").Offer(t.Answer(msg("button.later"), "place", "skip"))
}

func TakePlace(t *talk.Turn, _ *planner.Dog, in talk.Answer) string {
	if in.Press == "skip" || saysLater(in.Text) {
		return ""
	}
	zone, err := span.PlaceIn(in.Value())
	if err != nil {
		return wrongZone(in.Value())
	}
	t.Home.Zone, t.Changed = zone, true
	return ""
}

// saysLater reports that no place is to be told now.
func saysLater(s string) bool {
	return talk.IsNotSure(s) || strings.EqualFold(strings.Trim(s, " .!"), msg("button.later"))
}

// PlaceHeard says the place that was taken from what was told of a dog, or from the answer to
// where it lives.
func PlaceHeard(t *talk.Turn) string {
	answer, _, _ := strings.Cut(t.Event.Text, ". ")
	answered, _ := span.PlaceIn(answer)
	zone := cmp.Or(span.PlaceTold(t.Event.Text), answered)
	return say.Where(zone != "" && zone == t.Home.Zone, msg("place.heard", "place", PlaceOf(zone)))
}

// AdoptHome takes the household's place from what is told of its first dog, and
// pounds for its units where the dog is described in them.
func AdoptHome(t *talk.Turn, line string) {
	if len(t.Home.Dogs) > 0 {
		return
	}
	if zone := span.PlaceTold(line); zone != "" && t.Home.Zone == talk.DefaultZoneName {
		t.Home.Zone, t.Changed = zone, true
	}
	for _, w := range strings.FieldsFunc(strings.ToLower(line), func(r rune) bool { return !unicode.IsLetter(r) }) {
		if read.SaidKind("unit-said", w) == "lb" {
			t.Home.Units, t.Changed = planner.Units{Ounces: true, Pounds: true}, true
			return
		}
	}
}

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
	zone := t.Home.Zone
	if talk.Arg(args, 0) == "keep" {
		zone = talk.Arg(args, 1)
	}
	if _, ok := planner.LoadZone(zone); talk.Stale(t, !ok || zone == "") {
		return
	}
	t.Mutate("did.zone-of", "")
	for i := range t.Home.Reminders {
		t.Home.Reminders[i].Schedule.Zone = say.Where(zone != t.Home.Zone, zone)
	}
	out := t.SayMsg("zone.kept", "zone", zone)
	if zone != t.Home.Zone {
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
