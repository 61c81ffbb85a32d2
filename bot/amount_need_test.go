package bot

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// TestNeedOnlyProposes: what a dog is fed is the amount in force. The equation
// is asked to propose, by the files of the daily amount alone.
func TestNeedOnlyProposes(t *testing.T) {
	files, err := filepath.Glob("*/*.go")
	if err != nil || len(files) < 50 {
		t.Fatal(len(files), err)
	}
	proposes := map[string]bool{"weighing/amount.go": true, "weighing/amount_stage.go": true, "weighing/kcal.go": true, "dogs/text.go": true}
	for _, file := range files {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if strings.Contains(string(text), "planner."+"NeedOf(") && !proposes[file] && !strings.HasSuffix(file, "_test.go") {
			t.Errorf("%s asks the equation what a dog is fed; ask planner.AmountOf", file)
		}
	}
}
