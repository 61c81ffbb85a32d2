package nutrition

import (
	"encoding/json"
	"testing"
)

func TestCompositionIsKeptByKey(t *testing.T) {
	var c Composition
	c[Protein] = Exactly(20)
	c[Calcium] = Between(1, 2, 3)
	c[Iodine] = Exactly(5).Plus(Unknown())
	c[Fat] = Exactly(0)
	b, err := json.Marshal(c)
	if err != nil {
		t.Fatal(err)
	}
	const want = `{"calcium":{"low":1,"mid":2,"high":3},"fat":{"low":0,"mid":0,"high":0},"iodine":{"low":5,"mid":5,"high":5,"open":true},"protein":{"low":20,"mid":20,"high":20}}`
	if string(b) != want {
		t.Errorf("kept as %s, want %s", b, want)
	}
	var got Composition
	if err := json.Unmarshal(b, &got); err != nil || got != c {
		t.Errorf("read back as %+v, %v", got, err)
	}
	if err := json.Unmarshal([]byte(`{"nonsense":{"low":1}}`), &got); err == nil {
		t.Error("an unknown nutrient was taken")
	}
}

func TestRowsAreWritten(t *testing.T) {
	a := Analyse(twelve(t), ProfileByID("aafco-adult"), Basis{})
	words := map[string]bool{"not known": true, "low": true, "enough": true, "high": true, "likely low": true, "likely enough": true}
	for _, r := range a.Rows {
		b, err := json.Marshal(r)
		if err != nil {
			t.Fatalf("%v: %v", r.Requirement.Subject, err)
		}
		var back map[string]any
		if err := json.Unmarshal(b, &back); err != nil {
			t.Fatal(err)
		}
		_, high := back["high"]
		_, most := back["max"]
		if back["subject"] != r.Requirement.Subject.String() || !words[back["verdict"].(string)] || back["low"] != r.Low || high != r.Complete || most != r.HasMax() {
			t.Errorf("%s", b)
		}
	}
	for _, p := range Profiles() {
		if _, err := json.Marshal(p.Requirements); err != nil {
			t.Errorf("%s: %v", p.ID, err)
		}
	}
	if _, err := json.Marshal(a); err != nil {
		t.Errorf("the whole analysis: %v", err)
	}
}
