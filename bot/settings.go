package bot

import (
	"strings"
	"time"

	"bowlwright/bot/read"
	"bowlwright/nutrition"
)

// settingsCommand shows the settings, or sets what the rest names.
func (t *turn) settingsCommand(rest string) {
	if rest == "" {
		t.showSettings("")
		return
	}
	if u, ok := unitsFromWords(rest, t.home.Units); ok {
		t.setUnits(func() { t.home.Units = u })
		return
	}
	if id := profileNamed(rest); id != "" {
		t.setProfile(id)
		return
	}
	if zone, err := read.Zone(rest); err == nil {
		t.setZone(zone)
		return
	}
	t.sayMsg("wrong.setting", "text", short(rest))
}

func (t *turn) showSettings(head string) *Reply {
	u := t.home.Units
	units := msg("units.mixed", "food", choose(u.Ounces, "oz", "g"), "dogs", choose(u.Pounds, "lb", "kg"))
	r := t.say(para(head), para(msg("settings.show", "units", units, "zone", t.home.Zone, "time", t.localTime(),
		"profile", t.profileName(), "risk", msg("risk."+choose(t.home.AtRisk, "yes", "no")))), para(t.restText()), para(t.numbersText()))
	r.offer(t.button(msg("units.metric"), "settings", "units", "metric"), t.button(msg("units.imperial"), "settings", "units", "imperial"))
	r.offer(t.button(msg("button.zone"), "settings", "zone"), t.button(msg("button.profile"), "settings", "profiles"))
	r.offer(t.button(msg("button.quiet"), "quiet", "ask"), t.button(msg("button.reminders"), "remind", "list"))
	r.offer(t.button(msg("button.numbers"), "number", "ask"))
	return r.offer(t.button(msg("button.risk-"+choose(t.home.AtRisk, "no", "yes")), "settings", "risk", choose(t.home.AtRisk, "no", "yes")))
}

// profileName is the chosen requirement profile.
func (t *turn) profileName() string {
	if t.home.Profile == "" {
		return msg("profile.by-dog")
	}
	return msg("profile." + t.home.Profile)
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

func (t *turn) setProfile(id string) {
	t.mutate("did.profile", msg("profile."+id))
	t.home.Profile = id
	if id == "by-dog" {
		t.home.Profile = ""
	}
	t.showSettings(msg("settings.profile-set", "profile", t.profileName())).offer(t.undoButton())
}

func (t *turn) askProfile() {
	r := t.sayMsg("ask.profile")
	r.offer(t.button(msg("profile.by-dog"), "settings", "profile", "by-dog"))
	for _, p := range nutrition.Profiles() {
		r.offer(t.button(msg("profile."+p.ID), "settings", "profile", p.ID))
	}
}

func (t *turn) setRisk(at bool) {
	t.mutate("did.risk", "")
	t.home.AtRisk = at
	t.showSettings(msg("settings.risk-set")).offer(t.undoButton())
}

func choose(b bool, yes, no string) string {
	if b {
		return yes
	}
	return no
}

// localTime is the time of the event on the household's clock.
func (t *turn) localTime() string {
	zone, err := time.LoadLocation(t.home.Zone)
	if err != nil {
		zone = time.UTC
	}
	return t.event.At.In(zone).Format("15:04")
}

func (t *turn) setUnits(set func()) {
	t.mutate("did.units", "")
	set()
	t.showSettings(msg("settings.units-set")).offer(t.undoButton())
}

// bareZone takes a place typed alone: a zone by its name at any time, a city
// while no place was set yet.
func (t *turn) bareZone(s string) bool {
	if strings.Contains(s, "\n") || t.home.Zone != defaultZoneName && !strings.Contains(s, "/") {
		return false
	}
	zone, err := read.Zone(s)
	if err != nil {
		return false
	}
	t.setZone(zone)
	return true
}

func (t *turn) setZone(zone string) {
	t.mutate("did.zone", zone)
	before := t.home.Zone
	t.home.Zone = zone
	r := t.showSettings(msg("settings.zone-set", "zone", zone)).offer(t.undoButton())
	t.askZoneOf(r, before)
}

// pressSettings does what a button of the settings asks.
func (t *turn) pressSettings(args []string) {
	switch arg(args, 0) {
	case "units":
		if u, ok := unitsFromWords(arg(args, 1), t.home.Units); ok {
			t.setUnits(func() { t.home.Units = u })
			return
		}
		t.sayMsg("press.stale")
	case "profiles":
		t.askProfile()
	case "profile":
		if id := profileNamed(arg(args, 1)); id != "" {
			t.setProfile(id)
			return
		}
		t.sayMsg("press.stale")
	case "risk":
		t.setRisk(arg(args, 1) == "yes")
	case "zone":
		t.ask("settings", "zone", struct{}{})
		t.sayMsg("ask.zone").offer(t.stopButton())
	default:
		t.sayMsg("press.stale")
	}
}

// settingsDialogue takes a typed place.
func (t *turn) settingsDialogue(in answer) {
	zone, err := read.Zone(in.value())
	if err != nil {
		t.say(para(wrongZone(in.value())))
		return
	}
	t.endDialogue()
	t.setZone(zone)
}
