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
