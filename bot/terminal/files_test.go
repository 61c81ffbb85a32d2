package terminal_test

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"bowlwright/bot"
	"bowlwright/bot/terminal"
	"bowlwright/nutrition"
	"bowlwright/store/bolt"
)

// TestFilesAreSaved writes what a chat on a phone would offer to keep, each
// under a name of its own, and says where; where that cannot be, it says what
// the file is.
func TestFilesAreSaved(t *testing.T) {
	dir := t.TempDir()
	blocked := filepath.Join(dir, "blocked")
	if err := os.WriteFile(blocked, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	s, err := bolt.Open(filepath.Join(dir, "test.db"), bolt.Options{NoSync: true})
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	chat := func(files, script string) string {
		var out bytes.Buffer
		o := terminal.Options{In: terminal.NewScript(strings.NewReader(script)), Out: &out, At: start, Pictures: files}
		if err := terminal.New(bot.NewAssistant(s, nutrition.Default()), s, o).Run(context.Background()); err != nil {
			t.Fatal(err)
		}
		return out.String()
	}
	screen := chat(filepath.Join(dir, "files"), "dog Pip 6.4 kg\nexport Pip's weigh-ins\nexport Pip's weigh-ins\n")
	saved, err := filepath.Glob(filepath.Join(dir, "files", "*-weigh-ins-pip.csv"))
	if err != nil || len(saved) != 2 {
		t.Fatalf("%q, %v on\n%s", saved, err, screen)
	}
	for _, path := range saved {
		data, err := os.ReadFile(path)
		if err != nil || !strings.HasPrefix(string(data), "date,time,dog,kg") || !strings.Contains(screen, "[File saved: "+path+"]") {
			t.Errorf("%s: %q, %v on\n%s", path, data, err, screen)
		}
		if i, err := os.Stat(path); err != nil || i.Mode().Perm() != 0o600 {
			t.Errorf("%s: %v, %v", path, i.Mode(), err)
		}
	}
	if screen := chat(blocked, "export Pip's weigh-ins\n"); !strings.Contains(screen, "[File weigh-ins-pip.csv: 1 weigh-in]") {
		t.Error(screen)
	}
}
