package nutrition

import (
	"encoding/json"
	"testing"
)

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
