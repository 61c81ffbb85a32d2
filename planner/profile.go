package planner

import (
	"strings"
	"time"

	"bowlwright/nutrition"
)

// The profiles that are used where none is chosen.
const (
	defaultProfile     = "aafco-adult"
	growthProfileAAFCO = "aafco-growth"
	earlyGrowthProfile = "fediaf-growth-early" // and reproduction
	lateGrowthProfile  = "fediaf-growth-late"
)

// earlyGrowthDays is the age, 14 weeks, up to which FEDIAF's profile for
// early growth holds.
const earlyGrowthDays = 14 * 7

// stillGrowing is the share of its expected adult weight under which a dog of
// unknown age counts as growing (common practice, no source).
const stillGrowing = 0.9

// ProfileFor returns the identifier of the requirement profile that a dog is
// held to, and the expected adult weight that some of its limits depend on, 0
// where that is not known. chosen is the household's choice, empty for none.
//
// Growth and reproduction have tighter limits than any adult's, so a puppy and
// a pregnant or nursing dog are held to a growth profile whatever adult profile
// was chosen: AAFCO's if the choice was one of AAFCO's, else FEDIAF's for the
// age. NRC's growth tables are not held here. A growth profile that was chosen
// for an adult stays.
func ProfileFor(d Dog, now time.Time, chosen string) (id string, adultWeight nutrition.Kilograms) {
	p := nutrition.ProfileByID(chosen)
	breeding := d.Breeding()
	switch {
	case !breeding && !Growing(d, now):
		if p == nil {
			return defaultProfile, d.AdultWeight
		}
		return chosen, d.AdultWeight
	case p != nil && strings.HasPrefix(chosen, "aafco"):
		return growthProfileAAFCO, adultWeightOf(d, breeding)
	case breeding || early(d, now):
		return earlyGrowthProfile, adultWeightOf(d, breeding)
	}
	return lateGrowthProfile, d.AdultWeight
}

// RequirementsFor returns the profile of ProfileFor with the limits for the
// dog's adult weight; the strictest where that is not known.
func RequirementsFor(d Dog, now time.Time, chosen string) *nutrition.Profile {
	id, adult := ProfileFor(d, now, chosen)
	return nutrition.ProfileByID(id).ForAdultWeight(adult)
}

// Growing reports that a dog is a puppy, or of unknown age and well below the
// weight that it is expected to reach.
func Growing(d Dog, now time.Time) bool {
	if d.AgeWanted() {
		return true
	}
	if _, known := d.AgeAt(now); !known {
		return d.AdultWeight > 0 && d.Weight < stillGrowing*d.AdultWeight
	}
	return d.StageAt(now) == Puppy
}

// early reports that a dog is under 14 weeks old.
func early(d Dog, now time.Time) bool {
	return !d.Born.IsZero() && now.Sub(d.Born) < earlyGrowthDays*24*time.Hour
}

// adultWeightOf returns the weight that limits for growth depend on. A dam is
// grown, but what she eats makes puppies of about her size.
func adultWeightOf(d Dog, breeding bool) nutrition.Kilograms {
	if d.AdultWeight == 0 && breeding {
		return d.Weight
	}
	return d.AdultWeight
}
