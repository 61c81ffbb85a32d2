package terminal_test

import (
	"os"
	"slices"
	"strings"
	"testing"
)

// TestReadme holds that the conversation on the front page is the one that
// testdata/readme.chat gives. Its lines stand there in order; only "..." may
// stand for some that are left out.
func TestReadme(t *testing.T) {
	readme, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	golden, err := os.ReadFile("testdata/readme.golden")
	if err != nil {
		t.Fatal(err)
	}
	_, shown, ok := strings.Cut(string(readme), "```text\n")
	shown, _, closed := strings.Cut(shown, "```")
	if !ok || !closed {
		t.Fatal("README.md has no conversation between ```text and ```")
	}
	rest := strings.Split(string(golden), "\n")
	skipped := true // what comes before the first line is left out
	for line := range strings.Lines(shown) {
		line = strings.TrimSuffix(line, "\n")
		if line == "..." {
			skipped = true
			continue
		}
		at := slices.Index(rest, line)
		if at < 0 || (at > 0 && !skipped && strings.Join(rest[:at], "") != "") {
			t.Fatalf("README.md has %q where the program says %q", line, rest[0])
		}
		rest, skipped = rest[at+1:], false
	}
}
