package household

import (
	"cmp"
	"strings"

	"bowlwright/bot/read/span"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
)

// settingsCommand shows the settings, or sets what the rest names.
func settingsCommand(t *talk.Turn, rest string) {
	if rest == "" {
		showSettings(t, "")
		return
	}
	if u, ok := unitsFromWords(rest, t.Home.Units); ok {
		setUnits(t, func() { t.Home.Units = u })
		return
	}
	if id := profileNamed(rest); id != "" {
		setProfile(t, id)
		return
	}
	if zone, err := span.Zone(rest); err == nil {
		setZone(t, zone)
		return
	}
	t.SayMsg("wrong.setting", "text", say.Short(rest))
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
	if p := nutrition.ProfileByID(s); p != nil {
		return p.ID
	}
	return ""
}

func setProfile(t *talk.Turn, id string) {
	t.Mutate("did.profile", msg("profile."+id))
	t.Home.Profile = id
	if id == "by-dog" {
		t.Home.Profile = ""
	}
	showSettings(t, msg("settings.profile-set", "profile", profileName(t))).Offer(t.UndoButton())
}

func askProfile(t *talk.Turn) {
	r := t.SayMsg("ask.profile")
	r.Offer(t.Button(msg("profile.by-dog"), "settings", "profile", "by-dog"))
	for _, p := range nutrition.Profiles() {
		r.Offer(t.Button(msg("profile."+p.ID), "settings", "profile", p.ID))
	}
}

func setUnits(t *talk.Turn, set func()) {
	t.Mutate("did.units", "")
	set()
	showSettings(t, msg("settings.units-set")).Offer(t.UndoButton())
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
	case "units":
		if u, ok := unitsFromWords(talk.Arg(args, 1), t.Home.Units); ok {
			setUnits(t, func() { t.Home.Units = u })
			return
		}
		t.SayMsg("press.stale")
	case "profiles":
		askProfile(t)
	case "profile":
		if id := profileNamed(talk.Arg(args, 1)); id != "" {
			setProfile(t, id)
			return
		}
		t.SayMsg("press.stale")
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
	if err != nil {
		if !t.Aside(in.Text) {
			t.Say(say.Para(wrongZone(in.Value()))).Offer(t.StopButton())
		}
		return
	}
	t.EndDialogue()
	setZone(t, zone)
}
