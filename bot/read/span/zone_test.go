package span

import (
	"strings"
	"testing"
	"time"
)

func TestZone(t *testing.T) {
	for place, want := range map[string]string{
		"Europe/Oslo": "Europe/Oslo", "europe/oslo": "Europe/Oslo", "Oslo": "Europe/Oslo", " oslo ": "Europe/Oslo",
		"Berlin": "Europe/Berlin", "New York": "America/New_York", "new york": "America/New_York", "America/New York": "America/New_York",
		"São Paulo": "America/Sao_Paulo", "Norway": "Europe/Oslo", "München": "Europe/Berlin", "munich": "Europe/Berlin",
		"Buenos Aires": "America/Argentina/Buenos_Aires", "UTC": "UTC", "utc": "UTC", "UK": "Europe/London",
		"Kolkata": "Asia/Kolkata", "South Korea": "Asia/Seoul", "St. Louis": "America/Chicago", "Auckland": "Pacific/Auckland",
		"Cote d'Ivoire": "Africa/Abidjan", "Asia/Calcutta": "Asia/Calcutta", "Perth": "Australia/Perth", "Lisbon": "Europe/Lisbon",
	} {
		if got, err := Zone(place); err != nil || got != want {
			t.Errorf("%q: got %q, %v, want %q", place, got, err, want)
		}
	}
	// Countries with several zones, places of several countries, and what is
	// none must not be guessed.
	for _, place := range []string{"", "Atlantis", "United States", "Georgia", "Congo", "Birmingham", "12", "Europe/", "/", "EST", strings.Repeat("Oslo ", 100)} {
		if got, err := Zone(place); err == nil {
			t.Errorf("%q: got %q", place, got)
		} else if p, ok := err.(Problem); !ok || p.Code != UnknownPlace {
			t.Errorf("%q: error %v", place, err)
		}
	}
}

// TestPlaceIn finds places in a few words, and guesses none of two.
func TestPlaceIn(t *testing.T) {
	for text, want := range map[string]string{
		"Lisbon portugal": "Europe/Lisbon", "same as london": "Europe/London", "birmingham uk": "Europe/London", "near Oban": "Europe/London",
		"somewhere in Ohio": "America/New_York", "Berlin, Germany": "Europe/Berlin",
		"birmingham": "", "Dublin Ohio": "", "why do you ask": "", "I would rather not say where Norway": "",
	} {
		if got, _ := PlaceIn(text); got != want {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
}

// TestZonesLoad checks the whole list against the zone database.
func TestZonesLoad(t *testing.T) {
	for place, zone := range zones() {
		if _, err := time.LoadLocation(zone); err != nil {
			t.Errorf("%s: %v", place, err)
		}
	}
	if len(zones()) < 800 {
		t.Errorf("only %d places", len(zones()))
	}
}
