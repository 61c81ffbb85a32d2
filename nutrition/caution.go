package nutrition

import (
	"slices"
	"strings"
)

// CautionCode says which caution applies; package bot has its words.
type CautionCode string

// The cautions, in the order in which they are told: what concerns the dog,
// what concerns the home, what concerns foods.
const (
	GrowthCaution        CautionCode = "growth"
	ReproductionCaution  CautionCode = "reproduction"
	SeniorCaution        CautionCode = "senior"
	IllnessCaution       CautionCode = "illness"
	HomeAtRiskCaution    CautionCode = "home-at-risk"   // raw meat, and someone frail at home
	RawBoneCaution       CautionCode = "raw-bone"       // any bone that is eaten
	HardBoneCaution      CautionCode = "hard-bone"      // breaks teeth, and may be left
	SmallDogBoneCaution  CautionCode = "small-dog-bone" // any bone for a small dog
	NeckCaution          CautionCode = "neck"           // thyroid gland may be left on it
	RawBoarCaution       CautionCode = "raw-boar"       // Trichinella that survives the cold, Aujeszky's disease
	RawPorkCaution       CautionCode = "raw-pork"       // Aujeszky's disease
	RawOffalCaution      CautionCode = "raw-offal"      // hydatid tapeworm
	RawGameCaution       CautionCode = "raw-game"       // parasites
	RawAnadromousCaution CautionCode = "raw-anadromous" // flukes that carry Neorickettsia
	ThiaminaseCaution    CautionCode = "thiaminase"     // not every day
	LiverShareCaution    CautionCode = "liver-share"    // vitamins A and D add up
	LiverOilCaution      CautionCode = "liver-oil"      // the same
	SeaweedIodineCaution CautionCode = "seaweed-iodine" // iodine by label
	OxalateCaution       CautionCode = "oxalate"        // not for dogs that form stones
	BoneMealCaution      CautionCode = "bone-meal"      // of food grade only
	CookFirstCaution     CautionCode = "cook-first"     // beans, grain, potato and cassava
	StockCaution         CautionCode = "stock"          // made with onion as a rule
	XylitolCaution       CautionCode = "xylitol"        // some brands of nut butter
	SaltCaution          CautionCode = "salt"           // above sodiumSafe
)

// LifeStage is the stage of a dog's life that cautions look at.
type LifeStage string

// The stages; empty where none of them is known to apply.
const (
	PuppyStage    LifeStage = "puppy"
	SeniorStage   LifeStage = "senior"
	PregnantStage LifeStage = "pregnant"
	NursingStage  LifeStage = "nursing"
)

// CautionContext is what cautions depend on beside the foods. Zero fields
// are not known.
type CautionContext struct {
	Stage   LifeStage
	Illness []string // codes of illnesses named in the dog's notes
	AtRisk  bool     // a young child, pregnant, elderly or immune-suppressed person at home
	Weight  Kilograms
	// Analysis, where there is one, shows vitamins A and D above or across
	// their maximum, and sodium above what is safe.
	Analysis *Analysis
}

// Caution is a caution that applies, with the keys of the foods that call for
// it, each once, in the order of the items; none where the dog itself does.
type Caution struct {
	Code  CautionCode
	Foods []string
}

// smallDog is the weight under which a dog gets no large animal's bone, and no
// neck or joint smaller than its muzzle (common practice, no source).
const smallDog Kilograms = 10

// Cautions returns the cautions that apply to a mixture of foods for a dog,
// each once, in the order of the codes above.
func Cautions(items []Item, ctx CautionContext) []Caution {
	var out []Caution
	of := func(code CautionCode, applies bool) {
		if applies {
			out = append(out, Caution{Code: code})
		}
	}
	of(GrowthCaution, ctx.Stage == PuppyStage)
	of(ReproductionCaution, ctx.Stage == PregnantStage || ctx.Stage == NursingStage)
	of(SeniorCaution, ctx.Stage == SeniorStage)
	of(IllnessCaution, len(ctx.Illness) > 0)

	for _, c := range foodCautions {
		if c.when != nil && !c.when(items, &ctx) {
			continue
		}
		if foods := keys(items, c.food); len(foods) > 0 {
			out = append(out, Caution{c.code, foods})
		}
	}
	if muchSodium(ctx.Analysis) {
		out = append(out, Caution{SaltCaution, keys(items, salty)})
	}
	return out
}

// sodiumSafe is the safe upper limit of sodium for dogs, in mg per 1000 kcal:
// 15 g per kg of dry matter at 4000 kcal per kg (NRC 2006, from memory). The
// AAFCO profiles have no maximum.
const sodiumSafe = 3750.0

// muchSodium reports that sodium is, or may be, above what is safe.
func muchSodium(a *Analysis) bool {
	return a != nil && a.Energy.Mid > 0 && a.Totals.Values[Sodium].High > sodiumSafe/ProfileKcal*a.Energy.Mid
}

// salty reports that a food alone has more sodium than is safe for its energy.
func salty(f *Food) bool {
	return f.Per100[Sodium].High > sodiumSafe/ProfileKcal*f.Per100[Energy].Mid
}

// foodCautions are the cautions that foods call for.
var foodCautions = []struct {
	code CautionCode
	food func(*Food) bool
	when func([]Item, *CautionContext) bool // nil: always
}{
	{HomeAtRiskCaution, RawAnimal, func(_ []Item, c *CautionContext) bool { return c.AtRisk }},
	{RawBoneCaution, bony, nil},
	{HardBoneCaution, HardBone, nil},
	{SmallDogBoneCaution, bony, func(_ []Item, c *CautionContext) bool { return c.Weight > 0 && c.Weight < smallDog }},
	{NeckCaution, neck, nil},
	{RawBoarCaution, func(f *Food) bool { return f.Has(Raw) && boar(f) }, nil},
	{RawPorkCaution, func(f *Food) bool { return f.Has(Pork|Raw) && !boar(f) }, nil},
	{RawOffalCaution, func(f *Food) bool { return f.Has(Raw) && hydatid(f) && !boar(f) }, nil},
	{RawGameCaution, func(f *Food) bool { return f.Has(Game|Raw) && !hydatid(f) && !boar(f) }, nil},
	{RawAnadromousCaution, tagged(Anadromous | Raw), nil},
	{ThiaminaseCaution, tagged(Thiaminase | Raw), nil},
	{LiverShareCaution, func(f *Food) bool { return f.Part == Liver }, muchLiver},
	{LiverOilCaution, tagged(LiverOil), nil},
	{SeaweedIodineCaution, tagged(Seaweed), nil},
	{OxalateCaution, tagged(Oxalate), nil},
	{BoneMealCaution, func(f *Food) bool { return f.Key == "bone-meal" }, nil},
	{CookFirstCaution, tagged(CookFirst), nil},
	{StockCaution, func(f *Food) bool { return says(f, "stock", "broth") }, nil},
	{XylitolCaution, func(f *Food) bool { return f.Key == "peanut-butter" }, nil},
}

// CopperLiver reports that a food is a ruminant's liver, which is the richest in
// copper.
func CopperLiver(f *Food) bool { return f.Part == Liver && f.Has(Ruminant) }

// bony reports that a food carries bone that is meant to be eaten. Canned
// fish has soft bone that needs no caution.
func bony(f *Food) bool {
	return (f.Has(BoneIn) || f.Bone.Kind != NoBone) && !f.Has(Canned)
}

// hardBones are the cuts whose bone breaks teeth and may be left, so its
// calcium counts only if it is ground: legs that bear weight and ribs of cattle
// (common practice, no source).
var hardBones = []string{"beef rib", "beef back rib", "beef short rib", "veal rib", "shank", "pork foot", "turkey leg", "turkey drumstick", "knuckle", "marrow"}

// HardBone reports that a food carries bone that many dogs leave or break
// their teeth on.
func HardBone(f *Food) bool { return bony(f) && says(f, hardBones...) }

// LargeBone reports that a food carries the bone of a mammal larger than a
// rabbit, which is not offered where a carer has not chosen it.
func (f *Food) LargeBone() bool { return f.Bone.Kind == MammalBone && !sameSpecies(f, "rabbit") }

// neck reports that a food may have thyroid gland left on it.
func neck(f *Food) bool {
	return f.Has(Raw) && says(f, "neck", "gullet", "trachea", "windpipe", "larynx", "head meat")
}

// boar reports that a food is of wild pig or bear: in those the cold kills
// neither Trichinella nor, reliably, the virus of Aujeszky's disease.
func boar(f *Food) bool { return says(f, "boar", "feral pig", "bear") }

// hydatid reports that a food is an organ of an animal that may carry the
// hydatid tapeworm: sheep, goat and game.
func hydatid(f *Food) bool {
	return groups["offal"](f) && (sameSpecies(f, "lamb") || sameSpecies(f, "sheep") || sameSpecies(f, "goat") || f.Has(Game))
}

// says reports that the name of a food has one of some words, whole.
func says(f *Food, words ...string) bool {
	name := " " + strings.NewReplacer(",", " ", "(", " ", ")", " ").Replace(strings.ToLower(f.Name)) + " "
	return slices.ContainsFunc(words, func(w string) bool { return strings.Contains(name, " "+w+" ") })
}

// RawAnimal reports that a food is a raw food of animal origin.
func RawAnimal(f *Food) bool {
	return f.Has(Raw) && !f.Has(Supplement) && !f.Has(Seaweed) &&
		(f.Part <= Fish || f.Has(Egg) || f.Has(Dairy))
}

// muchLiver reports that liver is above its usual share, or that vitamin A or
// D passes its maximum or may do so.
func muchLiver(items []Item, ctx *CautionContext) bool {
	for _, o := range SharesOf(items).Off() {
		if o.Band == LiverBand && o.Verdict == High {
			return true
		}
	}
	if ctx.Analysis == nil {
		return false
	}
	for i := range ctx.Analysis.Rows {
		r := &ctx.Analysis.Rows[i]
		s := r.Requirement.Subject
		if (s == VitaminA || s == Subject(VitaminD)) && (r.Verdict.TooMuch() || r.StraddlesMax) {
			return true
		}
	}
	return false
}

// keys returns the keys of the foods that have a property, each once.
func keys(items []Item, has func(*Food) bool) []string {
	var out []string
	for _, it := range items {
		if it.Food != nil && it.Grams > 0 && !slices.Contains(out, it.Food.Key) && has(it.Food) {
			out = append(out, it.Food.Key)
		}
	}
	return out
}
