package foodline

import (
	"testing"
)

func TestDoses(t *testing.T) {
	checkLines(t, [][2]string{
		{"vitamin E 200 IU every 3 days", "dose vitamin-e vitamin-e=200, every 3 days"},
		{"vit E 200iu every third day", "dose vitamin-e vitamin-e=200, every 3 days"},
		{"Vitamin E, 200 I.U., every other day", "dose vitamin-e vitamin-e=200, every 2 days"},
		{"200 IU of vitamin E weekly", "dose vitamin-e vitamin-e=200, every 7 days"},
		{"vitamin E 268 mg daily", "which-e: vitamin E 268 mg daily"}, // of synthetic it is a third less
		{"vitamin E 268 mg natural, daily", "dose vitamin-e vitamin-e=399.32, daily"},
		{"d-alpha vitamin E 100 mg daily", "dose vitamin-e vitamin-e=149, daily"},
		{"vitamin E 100 mg (dl-alpha) daily", "dose vitamin-e vitamin-e=100, daily"},
		{"synthetic vitamin E 100 mg daily", "dose vitamin-e vitamin-e=100, daily"},
		{"dl-alpha-tocopherol acetate 100 mg", "dose vitamin-e vitamin-e=100, daily"},
		{"vitamin E 400 IU (268 mg) daily", "dose vitamin-e vitamin-e=400, daily"},
		{"vitamin D3 25 µg daily", "dose vitamin-d vitamin-d=1000, daily"},
		{"vitamin E capsule 400 IU twice a week", "dose vitamin-e 1×capsule vitamin-e=400, 2 times a week"},
		{"2 capsules vitamin E 100 IU", "dose vitamin-e 2×capsule vitamin-e=200, daily"},
		{"2 400 IU vitamin E capsules a week", "dose vitamin-e 2×capsule vitamin-e=800, every 7 days"},
		{"2 x 400 IU vitamin E", "dose vitamin-e 2× vitamin-e=800, daily"},
		{"2 capsules vitamin E, 400 IU in all", "dose vitamin-e 2×capsule vitamin-e=400, daily"},
		{"vitamin E 400 IU per capsule, 2 capsules", "dose vitamin-e 2×capsule vitamin-e=800, daily"},
		{"1 fish oil capsule 1000 mg daily", "dose fish-oil-capsule 1×capsule 1g, daily"},
		{"1 omega-3 capsule 1000 mg daily", "dose fish-oil-capsule 1×capsule 1g, daily"},
		{"2 capsules fish oil a day", "dose fish-oil-capsule 2×capsule 2g, daily"},
		{"1 capsule fish oil twice a day with food", "dose fish-oil-capsule 2×capsule 2g, daily"},
		{"1 fish oil capsule, 500 mg EPA per capsule", "dose fish-oil-capsule 1×capsule 1g epa=0.5, daily"},
		{"2 fish oil capsules (180 mg EPA, 120 mg DHA each)", "dose fish-oil-capsule 2×capsule 2g epa=0.36 dha=0.24, daily"},
		{"fish oil 1000 mg EPA 180 mg DHA 120 mg daily", "dose fish-oil-capsule 1g epa=0.18 dha=0.12, daily"},
		{"10 drops vitamin D 1000 IU", "each-or-all: drop"}, // ten times as much, if in each
		{"10 drops vitamin D 1000 IU in all", "dose vitamin-d 10×drop vitamin-d=1000, daily"},
		{"10 drops vitamin D 100 IU, each", "dose vitamin-d 10×drop vitamin-d=1000, daily"},
		{"vitamin E 1.000 IU", "bad-number: 1.000 IU"}, // a thousand, to many
		{"copper 2", "no-unit: copper 2"},
		{"vitamin A 3000 mcg", "dose vitamin-a retinoids=9990, daily"},
		{"zinc 20 mg per 5 g", "label-only: zinc 20 mg per 5 g"},
		{"10 drops vitamin D, 100 IU each", "dose vitamin-d 10×drop vitamin-d=1000, daily"},
		{"10 drops vitamin D, 100 IU per drop", "dose vitamin-d 10×drop vitamin-d=1000, daily"},
		{"0.5 ml vitamin D 400 IU", "dose vitamin-d 0.5×ml vitamin-d=400, daily"},
		{"1 kelp tablet 150 mcg iodine daily", "dose kelp-powder 1×tablet iodine=150, daily"},
		{"1 tsp kelp powder every 2 days (600 mcg iodine per g)", "dose kelp-powder 2.5g iodine=1500, every 2 days"},
		{"5 g eggshell powder daily", "dose eggshell-powder 5g, daily"},
		{"eggshell powder 5 g", "eggshell-powder 5g"},
		{"zinc 15 mg on Mondays and Thursdays", "dose zinc zinc=15, on Monday and Thursday"},
		{"zinc 15 mg mon, wed, fri", "dose zinc zinc=15, on Monday and Wednesday and Friday"},
		{"choline 0.5 g", "dose choline choline=500, daily"},
		{"iodine supplement (potassium iodide) 225 µg daily", "dose iodine iodine=225, daily"},
		{"1 vitamin E daily", "dose vitamin-e 1×, daily"},
		{"zinc 15 mg per 1000 kcal", "dose zinc zinc=15 per1000, daily"},
		{"zinc 15 mg/1,000 kcal", "dose zinc zinc=15 per1000, daily"},
		{"5 g kelp powder for each 1000 calories", "dose kelp-powder 5g per1000, daily"},
		{"1 tablet b-complex (10 mg thiamin, 5 mg riboflavin)", "dose b-complex 1×tablet thiamin=10 riboflavin=5, daily"},
		// Food that is not for every day cannot be an ingredient of a day.
		{"2 eggs a week", "dose egg 100g, every 7 days"},
		{"100 g beef liver twice a week", "dose beef-liver 100g, 2 times a week"},
	})
}
