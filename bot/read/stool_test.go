package read

import (
	"testing"

	"bowlwright/planner"
)

func TestStoolSaid(t *testing.T) {
	for text, want := range map[string]planner.Stool{
		"firm": planner.FirmStool, "Soft.": planner.SoftStool, "stool loose": planner.LooseStool,
		"soft poo today": planner.SoftStool, "her poo is fine": planner.FirmStool, "Poop's a bit runny again": planner.LooseStool,
		"fine": "", "good": "", "runny": "", "soft toy": "", "is her poo soft?": "", "soft cheese": "", "her poo was soft and bloody": "", "": "",
	} {
		got, ok := StoolSaid(text)
		if got != want && ok || ok != (want != "") {
			t.Errorf("StoolSaid(%q) = %q, %v", text, got, ok)
		}
	}
}
