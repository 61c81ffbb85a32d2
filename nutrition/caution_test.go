package nutrition

import (
	"slices"
	"testing"
)

// codes returns the codes of cautions.
func codes(cs []Caution) []CautionCode {
	var out []CautionCode
	for _, c := range cs {
		out = append(out, c.Code)
	}
	return out
}

func TestCautions(t *testing.T) {
	for _, c := range []struct {
		name  string
		parts []any
		ctx   CautionContext
		want  []CautionCode
	}{
		{"boneless cooked", []any{"egg-boiled", 50, "kale-cooked", 20}, CautionContext{AtRisk: true}, nil},
		{"raw meat at home with a child", []any{"turkey-thigh-skinless", 500, "kale", 20}, CautionContext{AtRisk: true}, []CautionCode{HomeAtRiskCaution}},
		{"raw meat", []any{"turkey-thigh-skinless", 500}, CautionContext{}, nil},
		{"raw plants only", []any{"kale", 20}, CautionContext{AtRisk: true}, nil},
		{"bone", []any{"chicken-wing", 200}, CautionContext{Weight: 10}, []CautionCode{RawBoneCaution}},
		{"bone, small dog", []any{"chicken-wing", 200}, CautionContext{Weight: 6.4}, []CautionCode{RawBoneCaution, SmallDogBoneCaution}},
		{"hard bone", []any{"lamb-shank", 200}, CautionContext{}, []CautionCode{RawBoneCaution, HardBoneCaution}},
		{"neck", []any{"turkey-neck", 200}, CautionContext{}, []CautionCode{RawBoneCaution, NeckCaution}},
		{"wild boar", []any{"wild-boar", 60}, CautionContext{}, []CautionCode{RawBoarCaution}},
		{"organs of sheep", []any{"lamb-liver", 5, "lamb-heart", 95}, CautionContext{}, []CautionCode{RawOffalCaution}},
		{"bone meal", []any{"bone-meal", 5}, CautionContext{}, []CautionCode{BoneMealCaution}},
		{"large bone, small dog", []any{"lamb-rib", 200}, CautionContext{Weight: 6.4}, []CautionCode{RawBoneCaution, SmallDogBoneCaution}},
		{"large bone, large dog", []any{"lamb-rib", 200}, CautionContext{Weight: 34.8}, []CautionCode{RawBoneCaution}},
		{"large bone, weight not known", []any{"lamb-rib", 200}, CautionContext{}, []CautionCode{RawBoneCaution}},
		{"soft bone of canned fish", []any{"sardine-tomato", 60}, CautionContext{}, nil},
		{"raw salmon", []any{"salmon-coho", 60}, CautionContext{}, []CautionCode{RawAnadromousCaution}},
		{"canned salmon", []any{"salmon-pink-canned", 60}, CautionContext{}, nil},
		{"raw pork", []any{"pork-heart", 60}, CautionContext{}, []CautionCode{RawPorkCaution}},
		{"game", []any{"venison", 60}, CautionContext{}, []CautionCode{RawGameCaution}},
		{"raw herring", []any{"herring-atlantic", 60}, CautionContext{}, []CautionCode{ThiaminaseCaution}},
		{"usual liver", []any{"beef-ground-90", 950, "beef-liver", 50}, CautionContext{}, nil},
		{"much liver", []any{"beef-ground-90", 900, "beef-liver", 100}, CautionContext{}, []CautionCode{LiverShareCaution}},
		{"cod-liver oil", []any{"cod-liver-oil", 2}, CautionContext{}, []CautionCode{LiverOilCaution}},
		{"seaweed", []any{"kelp", 2}, CautionContext{AtRisk: true}, []CautionCode{SeaweedIodineCaution}},
		{"dry beans", []any{"kidney-bean-dry", 2}, CautionContext{}, []CautionCode{CookFirstCaution}},
		{"a stock", []any{"stock-chicken", 2}, CautionContext{}, []CautionCode{StockCaution}},
		{"peanut butter", []any{"peanut-butter", 2}, CautionContext{}, []CautionCode{XylitolCaution}},
		{"oxalate", []any{"spinach", 2}, CautionContext{}, []CautionCode{OxalateCaution}},
		{"puppy", nil, CautionContext{Stage: PuppyStage}, []CautionCode{GrowthCaution}},
		{"nursing", nil, CautionContext{Stage: NursingStage}, []CautionCode{ReproductionCaution}},
		{"senior with bad kidneys", []any{"venison", 1}, CautionContext{Stage: SeniorStage, Illness: []string{"kidney"}}, []CautionCode{SeniorCaution, IllnessCaution, RawGameCaution}},
		{"none of it", []any{"venison", 0}, CautionContext{}, nil},
	} {
		m := mixtureOf(t, c.parts...)
		if got := codes(Cautions(m.Items, c.ctx)); !slices.Equal(got, c.want) {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
}

func TestCautionsNameTheirFoodsOnce(t *testing.T) {
	m := mixtureOf(t, "venison", 10, "elk", 10, "venison", 20)
	got := Cautions(m.Items, CautionContext{})
	if len(got) != 1 || !slices.Equal(got[0].Foods, []string{"venison", "elk"}) {
		t.Errorf("%+v", got)
	}
}

func TestCautionsOfFoodsThatTheTableLacks(t *testing.T) {
	canned := made("canned", nil)
	canned.Tags = Canned | BoneIn
	ham := made("ham", nil)
	ham.Tags = Pork | Cooked
	rabbit := *Default().Food("rabbit-whole-dressed")
	items := []Item{{Food: canned, Grams: 1}, {Food: ham, Grams: 1}, {Grams: 5}}
	if got := Cautions(items, CautionContext{Weight: 3, AtRisk: true}); len(got) != 0 {
		t.Errorf("%+v", got)
	}
	got := codes(Cautions([]Item{{Food: &rabbit, Grams: 1}}, CautionContext{Weight: 3}))
	if !slices.Equal(got, []CautionCode{RawBoneCaution, SmallDogBoneCaution}) {
		t.Errorf("a rabbit's bones, small dog: %v", got)
	}
}

func TestLiverCautionByVitaminA(t *testing.T) {
	// 5 % of beef liver is a usual share; where the analysis passes a maximum
	// of vitamin A or D all the same, it is told.
	m := mixtureOf(t, "beef-ground-95", 950, "beef-liver", 50)
	a := Analyse(m, ProfileByID("aafco-adult"), Basis{})
	if got := Cautions(m.Items, CautionContext{Analysis: &a}); len(got) != 0 {
		t.Errorf("%v at %v", codes(got), rowOf(t, &a, VitaminA).Value)
	}
	m.Extras = []Extra{{Name: "drops", Nutrient: VitaminD, PerDay: 5000}}
	a = Analyse(m, ProfileByID("aafco-adult"), Basis{})
	if got := codes(Cautions(m.Items, CautionContext{Analysis: &a})); !slices.Equal(got, []CautionCode{LiverShareCaution}) {
		t.Errorf("%v", got)
	}
	// A range that reaches over the maximum counts too.
	liver := made("liver", map[Nutrient]Value{VitaminD: Between(10, 50, 500)})
	liver.Part = Liver
	items := []Item{{Food: made("meat", nil), Grams: 950}, {Food: liver, Grams: 50}}
	a = Analysis{Rows: []Row{{Requirement: Requirement{Subject: Subject(VitaminD)}, StraddlesMax: true}}}
	if got := codes(Cautions(items, CautionContext{Analysis: &a})); !slices.Equal(got, []CautionCode{LiverShareCaution}) {
		t.Errorf("%v", got)
	}
}

func TestSaltCaution(t *testing.T) {
	// 1 g of salt has 0.393 g of sodium (by the weights of the atoms), so that
	// 1000 kcal with 0.5 g of it from meat stay below 3.75 g up to 8.2 g of salt.
	meat := made("meat", map[Nutrient]Value{Sodium: Exactly(50)})
	salt := made("salt", map[Nutrient]Value{Sodium: Exactly(39_340), Energy: Exactly(0)})
	for grams, want := range map[Grams]bool{0: false, 8: false, 8.4: true} {
		m := Mixture{Items: []Item{{Food: meat, Grams: 1000}, {Food: salt, Grams: grams}}}
		a := Analyse(m, ProfileByID("aafco-adult"), Basis{})
		got := Cautions(m.Items, CautionContext{Analysis: &a})
		if told := len(got) == 1 && got[0].Code == SaltCaution && slices.Equal(got[0].Foods, []string{"salt"}); told != want || !want && len(got) > 0 {
			t.Errorf("%v g: %+v", grams, got)
		}
	}
	// Of an extra there is no food to name, but it is told.
	m := Mixture{Items: []Item{{Food: meat, Grams: 1000}}, Extras: []Extra{{Nutrient: Sodium, PerDay: 4000}}}
	a := Analyse(m, ProfileByID("aafco-adult"), Basis{})
	if got := Cautions(m.Items, CautionContext{Analysis: &a}); len(got) != 1 || got[0].Code != SaltCaution || got[0].Foods != nil {
		t.Errorf("an extra: %+v", got)
	}
}

func TestExcluded(t *testing.T) {
	for _, c := range []struct {
		word    string
		in, out []string
	}{
		{"poultry", []string{"chicken-wing", "turkey-heart", "quail-whole", "duck-liver", "chicken-skin"}, []string{"egg", "beef-heart"}},
		{"Chicken", []string{"chicken-wing", "chicken-liver", "chicken-skin", "cornish-hen"}, []string{"turkey-wing", "egg", "egg-yolk"}},
		{"beef", []string{"beef-heart", "beef-suet", "veal-liver"}, []string{"yogurt-whole", "lamb-heart", "bison-ground"}},
		{"fish", []string{"cod", "sardine-oil", "cod-liver-oil", "salmon-oil", "fish-oil-capsule"}, []string{"mussel", "olive-oil", "flax-oil"}},
		{"seafood", []string{"cod", "mussel", "kelp"}, []string{"egg"}},
		{"shellfish", []string{"mussel", "clam"}, []string{"cod"}},
		{"eggs", []string{"egg", "egg-quail", "egg-yolk"}, []string{"quail-whole"}},
		{"dairy", []string{"yogurt-whole", "goat-milk", "cottage-cheese"}, []string{"goat", "egg"}},
		{"grains", []string{"rice-brown-cooked", "oats-cooked"}, []string{"potato-boiled"}},
		{"gluten", []string{"barley-cooked", "wheat-germ", "pasta-dry", "couscous-cooked", "egg-noodle-cooked", "bread-wholewheat", "oats-dry"},
			[]string{"rice-white-cooked", "wheat-germ-oil", "buckwheat-cooked", "tapioca-dry"}},
		{"nuts", []string{"almond", "walnut", "peanut-butter", "brazil-nut"}, []string{"sesame", "coconut"}},
		{"soya", []string{"tofu-firm", "soybean-cooked", "edamame-cooked", "soybean-oil"}, []string{"pea"}},
		{"legumes", []string{"lentil-dry", "pea", "green-bean", "peanut-butter", "tofu-soft"}, []string{"pear", "peach"}},
		{"milk", []string{"butter", "cheddar", "egg-scrambled", "milk-skim"}, []string{"egg", "coconut"}},
		{"egg", []string{"egg-noodle-cooked", "egg-whole-dry", "egg-goose"}, []string{"pasta-cooked"}},
		{"chicken", []string{"stock-chicken", "chicken-fat", "hen-stewing-whole"}, []string{"stock-beef", "egg"}},
		{"pork", []string{"lard", "gelatin-dry", "pork-ear"}, []string{"beef-tallow"}},
		{"fish", []string{"stock-fish", "menhaden-oil", "anchovy-canned"}, []string{"shrimp"}},
		{"pork", []string{"pork-heart", "pork-leaf-fat", "wild-boar"}, []string{"beef-heart"}},
		{"lamb", []string{"lamb-heart", "lamb-rib"}, []string{"beef-heart", "goat"}},
		{"turkey thighs", []string{"turkey-thigh-skinless"}, []string{"turkey-heart", "chicken-thigh-skinless"}},
		{"hearts", []string{"beef-heart", "chicken-heart"}, []string{"beef-liver"}},
		{"liver", []string{"beef-liver", "cod-liver-oil"}, []string{"beef-heart"}},
		{"skin", []string{"duck-skin", "chicken-skin"}, []string{"duck-skinless", "chicken-thigh-skinless"}},
		{"bones", []string{"chicken-wing", "lamb-rib"}, []string{"chicken-thigh-skinless", "eggshell-powder"}},
		{"blueberries", []string{"blueberry"}, []string{"blackberry"}},
		{"potatoes", []string{"potato-boiled", "sweet-potato-boiled"}, []string{"pumpkin-cooked"}},
		{"venison", []string{"venison", "venison-ground"}, []string{"beef-heart"}},
		{"salmon", []string{"salmon-coho", "salmon-oil"}, []string{"cod"}},
		{"", nil, []string{"egg", "cod"}},
		{" ,. ", nil, []string{"egg", "cod"}},
		{"unicorn", nil, []string{"egg", "cod"}},
	} {
		words := []string{"nothing there is", c.word}
		for _, key := range c.in {
			if f := Default().Food(key); f == nil || !Excluded(f, words) {
				t.Errorf("%q leaves %s in", c.word, key)
			}
		}
		for _, key := range c.out {
			if f := Default().Food(key); f == nil || Excluded(f, words) {
				t.Errorf("%q takes %s out", c.word, key)
			}
		}
	}
	for _, f := range Default().Foods() {
		if !Excluded(f, []string{f.Name}) {
			t.Errorf("%q does not exclude itself", f.Name)
		}
	}
	if Excluded(Default().Food("egg"), nil) {
		t.Error("no words exclude nothing")
	}
}
