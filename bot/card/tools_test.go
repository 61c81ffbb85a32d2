package card

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"bowlwright/planner"
)

// run gives a file to a tool of another maker and returns what that reads in it.
// Without the tool the test is skipped.
func run(t *testing.T, tool, debian string, file []byte, name string, args ...string) string {
	t.Helper()
	path, err := exec.LookPath(tool)
	if err != nil {
		t.Skipf("%s is not here: apt-get install %s", tool, debian)
	}
	at := filepath.Join(t.TempDir(), name)
	if err := os.WriteFile(at, file, 0o600); err != nil {
		t.Fatal(err)
	}
	for i, a := range args {
		args[i] = strings.ReplaceAll(a, "FILE", at)
	}
	out, err := exec.Command(path, args...).Output()
	if err != nil {
		t.Fatalf("%s: %v", tool, err)
	}
	return string(out)
}

const link = "https://t.me/bowlwright_bot?start=p_AbCdEfGhIjKlMnOpQrStUvWx0123456789"

// A card's QR code is read back by zbar.
func TestQRReadBack(t *testing.T) {
	t.Parallel()
	card, err := cardOf(t, turkey, planner.Units{}, Publication{Link: link}).PNG()
	if err != nil {
		t.Fatal(err)
	}
	if got := strings.TrimSpace(run(t, "zbarimg", "zbar-tools", card, "code.png", "-q", "--raw", "FILE")); got != link {
		t.Errorf("zbar reads %q, want %q", got, link)
	}
	if len(modules(strings.Repeat("a", 5000))) > 0 {
		t.Error("a link of 5000 bytes has a QR code")
	}
}

// Paper says the same figures as the program, on one page, in any letters.
func TestPaperReadBack(t *testing.T) {
	t.Parallel()
	long := lamb + strings.Repeat("\n12 g carrot, cooked", 12)
	for _, c := range []struct {
		text string
		u    planner.Units
	}{{turkey, planner.Units{}}, {turkey, planner.Units{Ounces: true, Pounds: true}}, {lamb, planner.Units{}}, {typed, planner.Units{}}, {long, planner.Units{}}} {
		card := cardOf(t, c.text, c.u, Publication{About: strings.Repeat("Every word of it counts. ", 20)})
		for _, on := range []Paper{A4, Letter} {
			pdf, err := card.PDF(on)
			if err != nil {
				t.Fatal(err)
			}
			text := run(t, "pdftotext", "poppler-utils", pdf, "card.pdf", "-raw", "FILE", "-")
			if pages := strings.Count(text, "\f"); pages != 1 {
				t.Errorf("%s on %s: %d pages", card.Name, on, pages)
			}
			said := strings.Join(strings.Fields(strings.ReplaceAll(text, unbroken, " ")), " ")
			for _, row := range card.drawn.Blocks[1].Table.Rows[len(card.sums.Lines):] {
				if want := strings.Join(row[1:], " "); !strings.Contains(said, strings.Join(strings.Fields(want), " ")) {
					t.Errorf("%s on %s: no %q in\n%s", card.Name, on, want, text)
				}
			}
			name := strings.Join(strings.Fields(strings.ReplaceAll(card.Name, "🐇", "")), " ")
			for _, want := range []string{name, "For healthy adult dogs only"} {
				if !strings.Contains(said, want) {
					t.Errorf("%s on %s: no %q in\n%s", card.Name, on, want, text)
				}
			}
		}
	}
}
