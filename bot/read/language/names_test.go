package language

import (
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// asked is a list, kind or pattern that a program asks for by its name.
var asked = regexp.MustCompile(`\b(?:language|read)\.(In|Set|List|Phrases|Said|SaidKind|Kinds\[[\w.]+\]|Says|Find|Match|Pattern|Without|Sayings|Likely)[([]"([^"]+)"`)

// TestNames holds that each list and pattern that is asked for is there, and that each
// that is there is asked for.
func TestNames(t *testing.T) {
	var all strings.Builder
	err := filepath.WalkDir("../../..", func(path string, d fs.DirEntry, err error) error {
		if err != nil || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return err
		}
		code, err := os.ReadFile(path)
		all.Write(code)
		for _, m := range asked.FindAllSubmatch(code, -1) {
			how, name := string(m[1]), string(m[2])
			found := lists[name] != nil
			switch {
			case how == "Says" || how == "Find" || how == "Match" || how == "Pattern" || how == "Without" || how == "Sayings" || how == "Likely":
				found = Sayings[name] != nil
			case how == "SaidKind" || strings.HasPrefix(how, "Kinds"):
				found = kinds[name] != nil
			}
			if !found {
				t.Errorf("%s asks for %s, which is not there", path, name)
			}
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	for name := range lists {
		kind, _, _ := strings.Cut(name, ":")
		if !strings.Contains(all.String(), `"`+name+`"`) && !strings.Contains(all.String(), `"`+kind+`"`) {
			t.Errorf("nobody asks for %s of lists.txt", name)
		}
	}
	for name := range Sayings {
		if !strings.Contains(all.String(), `"`+name+`"`) {
			t.Errorf("nobody asks for %s of said.txt", name)
		}
	}
}
