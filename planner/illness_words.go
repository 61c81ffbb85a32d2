package planner

import (
	"strings"
)

// The words of a carer's notes that Illness goes by. All are common veterinary
// and plain usage, no source.

// term is a word or a part of one that names a condition.
type term struct{ text, code string }

// organs name a condition where nothing says that the organ is well or food.
var organs = map[string]string{
	"kidney": Kidney, "kidneys": Kidney, "liver": LiverIllness, "livers": LiverIllness,
	"gallbladder": LiverIllness, "pancreas": Pancreas, "heart": Heart, "hearts": Heart, "bladder": BladderStones,
}

// wholeTerms are too short, or too near to other words, to be beginnings.
var wholeTerms = map[string]string{
	"renal": Kidney, "ckd": Kidney, "crf": Kidney, "aki": Kidney, "pln": Kidney, "fanconi": Kidney,
	"shunt": LiverIllness, "portosystemic": LiverIllness, "jaundice": LiverIllness, "mucocele": LiverIllness,
	"epi": Pancreas,
	"dcm": Heart, "hcm": Heart, "mmvd": Heart, "mvd": Heart, "chf": Heart, "murmur": Heart, "murmurs": Heart, "mitral": Heart,
	"stone": BladderStones, "stones": BladderStones, "crystals": BladderStones, "struvite": BladderStones,
	"oxalate": BladderStones, "oxalates": BladderStones, "urate": BladderStones, "urates": BladderStones, "cystine": BladderStones,
	"chemo": Cancer, "tumor": Cancer, "tumors": Cancer, "tumour": Cancer, "tumours": Cancer,
	"atopy": Allergy, "elimination": Allergy,
	"keppra": Nerves, "kbr": Nerves, "vetmedin": Heart, "apoquel": Allergy, "soloxine": Hormones, "forthyron": Hormones, "vetoryl": Hormones,
	"imha": Immune, "imtp": Immune, "impa": Immune, "lupus": Immune, "leishmania": Immune,
}

// stems are beginnings of words.
var stems = []term{
	{"nephr", Kidney}, {"glomerul", Kidney}, {"azot", Kidney}, {"uraem", Kidney}, {"urem", Kidney}, {"proteinuri", Kidney},
	{"hepat", LiverIllness}, {"cirrho", LiverIllness}, {"cholesta", LiverIllness}, {"cholang", LiverIllness},
	{"pancrea", Pancreas},
	{"diabet", Diabetes}, {"insulin", Diabetes},
	{"cardia", Heart}, {"cardio", Heart}, {"arrhythm", Heart}, {"endocardi", Heart},
	{"urolith", BladderStones}, {"calcul", BladderStones},
	{"cancer", Cancer}, {"lymphom", Cancer}, {"leuk", Cancer}, {"melanom", Cancer}, {"neoplas", Cancer}, {"metasta", Cancer},
	{"malignan", Cancer}, {"oncolog", Cancer}, {"chemother", Cancer}, {"mastocyt", Cancer},
	{"allerg", Allergy}, {"atopic", Allergy}, {"intoleran", Allergy}, {"hypersensitiv", Allergy}, {"oclacitinib", Allergy},
	{"pimobend", Heart}, {"benazepr", Heart}, {"enalapr", Heart}, {"digoxin", Heart},
	{"thyro", Hormones}, {"hypothyr", Hormones}, {"hyperthyr", Hormones}, {"levothyro", Hormones}, {"cushing", Hormones}, {"addison", Hormones}, {"trilostan", Hormones},
	{"epilep", Nerves}, {"bromid", Nerves}, {"phenobarb", Nerves}, {"levetirac", Nerves}, {"imepito", Nerves}, {"primidon", Nerves}, {"anticonvuls", Nerves},
	{"diuretic", Medicine}, {"furosem", Medicine}, {"frusem", Medicine}, {"torasem", Medicine}, {"spironol", Medicine},
	{"budesonid", Immune}, {"methylpred", Immune}, {"hydrocort", Immune}, {"triamcin", Immune},
	{"immun", Immune}, {"autoimmun", Immune}, {"steroid", Immune}, {"corticoster", Immune}, {"cortison", Immune}, {"prednis", Immune},
	{"dexamethas", Immune}, {"cyclospor", Immune}, {"ciclospor", Immune}, {"azathiop", Immune}, {"mycophenol", Immune}, {"leflunom", Immune},
}

// endings are ends of words: haemangiosarcoma, adenocarcinoma, cardiomyopathy.
var endings = []term{{"sarcoma", Cancer}, {"carcinoma", Cancer}, {"blastoma", Cancer}}

// misspelt are the words that are also known with one slip of the finger.
var misspelt = []term{
	{"kidney", Kidney}, {"kidneys", Kidney}, {"hepatitis", LiverIllness}, {"pancreatitis", Pancreas},
	{"diabetes", Diabetes}, {"diabetic", Diabetes}, {"struvite", BladderStones}, {"lymphoma", Cancer},
	{"allergy", Allergy}, {"allergic", Allergy}, {"allergies", Allergy}, {"steroids", Immune}, {"prednisolone", Immune},
}

const shortestMisspelt = 6 // letters

func set(words string) map[string]bool {
	m := map[string]bool{}
	for _, w := range strings.Fields(words) {
		m[w] = true
	}
	return m
}

var (
	// denials deny what directly follows.
	denials = set("no not never without none neither nor non free isn't hasn't doesn't don't didn't wasn't can't cannot denies")

	// troubles are the words for what an organ has.
	troubles = set(`trouble troubles disease diseases problem problems issue issues failure insufficiency condition conditions
		illness illnesses complaint complaints disorder disorders damage failing enlarged stones crystals murmur infection
		attack attacks defect weakness tumour tumor cancer shunt high elevated raised bad poor weak chronic acute`)

	// passing are words across which a denial holds on.
	passing = set(`or and nor any known of sign signs history current currently present previous obvious other evidence symptoms
		diagnosed diagnosis suspected a an the his her its their with from has have had is are be been being got ever yet
		on to for in food foods environmental seasonal former more test tests tested`)

	// wellWords say that an organ is well.
	wellWords = set("fine ok okay normal healthy good well great strong clear perfect sound excellent")

	// eatenBefore and eatenAfter are words next to an organ that is food.
	eatenBefore = set(`beef ox calf veal lamb sheep mutton pork pig pig's chicken turkey duck goose rabbit venison deer goat
		horse bison elk poultry raw cooked dried freeze fresh minced loves love likes like eats eat enjoys gets prefers hates refuses
		dislikes adores fed feed feeding`)
	eatenAfter  = set("treat treats snack snacks cubes paste cake jerky biscuits")
	stoneEaters = set("eats eat ate eating swallows swallowed chews chewing licks")
)
