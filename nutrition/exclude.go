package nutrition

import (
	"slices"
	"strings"
	"unicode"
)

// Excluded reports that one of a carer's words excludes the food: a group
// ("poultry", "fish", "dairy", "grain", "red meat", "raw"), a species
// ("beef", which takes veal with it), or words of its name ("beef heart",
// "potato"). Case, plurals and word order make no difference.
func Excluded(f *Food, words []string) bool {
	for _, w := range words {
		if excludes(f, tokens(w)) {
			return true
		}
	}
	return false
}

// excludes reports that the words, each in the singular, exclude the food.
func excludes(f *Food, words []string) bool {
	if len(words) == 0 {
		return false
	}
	if in, ok := groups[strings.Join(words, " ")]; ok {
		return in(f)
	}
	own := nameWords(f)
	if slices.ContainsFunc(words, denies) { // "duck, no skin" means just that one
		own = tokens(f.Name + " " + f.Key)
	}
	for _, w := range words {
		if !sameSpecies(f, w) && !slices.Contains(own, w) {
			return false
		}
	}
	return true
}

// groups are the words that stand for more than a name or a species.
var groups = map[string]func(*Food) bool{
	"poultry":    tagged(Poultry),
	"bird":       tagged(Poultry),
	"fowl":       tagged(Poultry),
	"red meat":   tagged(RedMeat),
	"game":       tagged(Game),
	"ruminant":   tagged(Ruminant),
	"egg":        tagged(Egg),
	"dairy":      tagged(Dairy),
	"milk":       tagged(Dairy),
	"lactose":    tagged(Dairy),
	"grain":      tagged(Grain),
	"cereal":     tagged(Grain),
	"gluten":     gluten,
	"shellfish":  tagged(Shellfish),
	"seafood":    func(f *Food) bool { return f.Has(Shellfish) || f.Has(Seaweed) || fish(f) },
	"fish":       fish,
	"seaweed":    tagged(Seaweed),
	"bone":       func(f *Food) bool { return f.Has(BoneIn) || f.Bone.Kind != NoBone },
	"raw":        func(f *Food) bool { return f.Has(Raw) && f.Part != Plant },
	"raw meat":   func(f *Food) bool { return f.Has(Raw) && f.Part != Plant },
	"supplement": tagged(Supplement),
	"liver":      func(f *Food) bool { return f.Part == Liver || f.Has(LiverOil) },
	"organ":      offal,
	"organ meat": offal,
	"offal":      offal,
	"vegetable":  func(f *Food) bool { return f.Kind == "vegetable" },
	"fruit":      func(f *Food) bool { return f.Kind == "fruit" },
	"seed":       func(f *Food) bool { return f.Kind == "seed" },
	"nut":        nut,
	"legume":     legume,
	"pulse":      legume,
	"bean":       legume,
	"soy":        soya,
	"soya":       soya,
	"plant":      func(f *Food) bool { return f.Part == Plant },
	"meat":       func(f *Food) bool { return f.Part <= SecretingOrgan },
	"oil":        func(f *Food) bool { return f.Kind == "oil" },
	"starch":     func(f *Food) bool { return f.Kind == "starch" },
	"carb":       func(f *Food) bool { return f.Kind == "starch" },
	"cod liver":  tagged(LiverOil),
	"oily fish":  fish,
	"mushroom":   func(f *Food) bool { return named(f, "mushroom") || named(f, "shiitake") },
	"squash":     func(f *Food) bool { return named(f, "squash") || named(f, "pumpkin") || named(f, "courgette") },
}

func tagged(t Tag) func(*Food) bool { return func(f *Food) bool { return f.Has(t) } }

// fish reports that a food is a fish or made of one, an oil or a capsule. An
// oil that has a species is an animal's, and the table's are of fish.
func fish(f *Food) bool {
	return f.Part == Fish && !f.Has(Shellfish) || f.Species == "fish" || f.Kind == "oil" && f.Species != "" || f.Has(LiverOil) ||
		f.Has(Supplement) && named(f, "fish")
}

// gluten reports that a food has gluten: wheat and barley and what is made of
// them, and oats, which are milled with them.
func gluten(f *Food) bool {
	return !named(f, "oil") && slices.ContainsFunc([]string{"wheat", "wholewheat", "barley", "oat", "couscous", "pasta", "noodle"}, func(w string) bool { return named(f, w) })
}

// nut reports that a food is a nut or what a carer calls one.
func nut(f *Food) bool {
	return slices.ContainsFunc([]string{"nut", "almond", "cashew", "hazelnut", "walnut", "peanut"}, func(w string) bool { return named(f, w) })
}

func legume(f *Food) bool {
	return f.Kind == "legume" || named(f, "peanut") || named(f, "bean") && !named(f, "oil") || named(f, "pea")
}

func soya(f *Food) bool {
	return named(f, "soya") || named(f, "soybean") || named(f, "tofu") || named(f, "edamame")
}

// offal reports that a food is an organ.
func offal(f *Food) bool {
	return f.Part == MuscularOrgan || f.Part == Liver || f.Part == SecretingOrgan
}

// kin are the species words that one word excludes together: another name of
// the animal, or its young.
var kin = map[string][]string{
	"beef":    {"beef", "veal"},
	"cow":     {"beef", "veal", "cow"},
	"veal":    {"veal"},
	"cattle":  {"beef", "veal", "cow"},
	"lamb":    {"lamb", "sheep", "mutton"},
	"mutton":  {"lamb", "sheep", "mutton"},
	"sheep":   {"lamb", "sheep", "mutton"},
	"pork":    {"pork", "boar"},
	"pig":     {"pork", "boar"},
	"hen":     {"chicken", "hen"},
	"deer":    {"deer", "venison", "elk", "moose", "caribou"},
	"venison": {"deer", "venison", "elk", "moose", "caribou"},
}

// sameSpecies reports that the food is of the species that a word names.
func sameSpecies(f *Food, word string) bool {
	species := tokens(f.Species)
	if len(species) == 0 {
		return false
	}
	words := kin[word]
	if words == nil {
		words = []string{word}
	}
	for _, w := range words {
		if slices.Contains(species, w) {
			return true
		}
	}
	return false
}

// nameWords returns the words of a food's name and key, without those that the
// name denies: "no skin".
func nameWords(f *Food) []string {
	var own []string
	words := tokens(f.Name + " " + f.Key)
	for i, w := range words {
		if i > 0 && denies(words[i-1]) {
			continue
		}
		own = append(own, w)
	}
	return own
}

// denies reports that a word of a name says that the next one is not there.
func denies(word string) bool { return word == "no" || word == "without" }

// named reports that the food's name has the word, given in the singular.
func named(f *Food, word string) bool { return slices.Contains(nameWords(f), word) }

// tokens splits a text into its words, in lower case and in the singular.
func tokens(s string) []string {
	words := strings.FieldsFunc(strings.ToLower(s), func(r rune) bool {
		return !unicode.IsLetter(r) && !unicode.IsDigit(r)
	})
	for i, w := range words {
		words[i] = singular(w)
	}
	return words
}

// singular takes the plural ending off an English word. What matters is that
// both sides of a comparison go through it.
func singular(w string) string {
	switch {
	case len(w) <= 3 || !strings.HasSuffix(w, "s") || strings.HasSuffix(w, "ss") || strings.HasSuffix(w, "us"):
		return w
	case strings.HasSuffix(w, "ies"):
		return w[:len(w)-3] + "y"
	case strings.HasSuffix(w, "oes"), strings.HasSuffix(w, "ches"), strings.HasSuffix(w, "shes"):
		return w[:len(w)-2]
	case w == "calves", w == "halves":
		return w[:len(w)-3] + "f"
	}
	return w[:len(w)-1]
}
