package balance

import (
	"testing"

	"bowlwright/nutrition"
	"bowlwright/planner"
)

// TestHouseRecipesMeetTheirProfile holds every recipe that comes with the
// program to the profile that it claims, by the program's own analysis, and
// lists what is not known of each.
func TestHouseRecipesMeetTheirProfile(t *testing.T) {
	recipes := houseRecipes()
	if len(recipes) != 6 {
		t.Fatalf("%d recipes, want 6", len(recipes))
	}
	for _, r := range recipes {
		t.Run(r.Name, func(t *testing.T) {
			m, err := planner.MixtureOf(r, nutrition.Default(), 0)
			if err != nil {
				t.Fatal(err)
			}
			a := nutrition.Analyse(m, nutrition.ProfileByID(houseProfile), nutrition.Basis{})
			for i := range a.Rows {
				row := &a.Rows[i]
				// The source has no arachidonic acid, EPA and DHA of rabbit.
				if row.Requirement.Subject == nutrition.OmegaRatio && r.Name == "Rabbit and kale" && row.Verdict == nutrition.NotKnown {
					continue
				}
				if row.Verdict != nutrition.Enough {
					t.Errorf("%s is %s: %.4g-%.4g of %.4g-%.4g", row.Requirement.Subject, row.Verdict, row.Low, row.High, row.Min, row.Max)
				}
				if len(row.UnknownFrom) > 0 {
					t.Logf("%s: at least %.4g %s; no figure for %d of %d foods", row.Requirement.Subject, row.Low,
						row.Requirement.Subject.Unit(), len(row.UnknownFrom), len(m.Items))
				}
			}
			for _, o := range a.Shares.Off() {
				if (o.Band == nutrition.LiverBand || o.Band == nutrition.PlantBand || o.Band == nutrition.BoneBand) && o.Verdict == nutrition.High {
					t.Errorf("share of %s is %.3f, usual up to %.2f", o.Band, o.Share.Mid, o.High)
				}
			}
		})
	}
}
