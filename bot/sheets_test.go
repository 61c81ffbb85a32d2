package bot

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"bowlwright/bot/say"
)

// printed is what another reader finds in a PDF, with single spaces.
func printed(t testing.TB, d *say.Document) string {
	t.Helper()
	path, err := exec.LookPath("pdftotext")
	if err != nil {
		t.Skip("pdftotext is not here: apt-get install poppler-utils")
	}
	at := filepath.Join(t.TempDir(), d.Name)
	if err := os.WriteFile(at, d.Data, 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command(path, "-raw", at, "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	return strings.Join(strings.Fields(string(out)), " ")
}

// sheet is the document that somebody gets for what was typed.
func (w *world) sheet(text string) string {
	w.t.Helper()
	for _, r := range w.says("Ines", text) {
		if r.Document != nil {
			return printed(w.t, r.Document)
		}
	}
	w.t.Fatalf("%q: no document", text)
	return ""
}

func (w *world) holds(of, text string, wants ...string) {
	w.t.Helper()
	for _, want := range wants {
		if !strings.Contains(text, want) {
			w.t.Errorf("%s: no %q in\n%s", of, want, text)
		}
	}
}

// The sheets say what the bowl says, and of an ill dog no amount.
func TestSheets(t *testing.T) {
	t.Parallel()
	w := newWorld(t)
	for _, text := range []string{
		"dog Juniper 19.6 kg 4 years spayed moderate 5/9, no chicken, healthy",
		"recipe Turkey and heart\n600 g turkey thigh, no skin\n180 g turkey heart\n30 g lamb liver\n6 g eggshell powder\nfish oil 2 capsules, every 3 days",
		"feed Juniper at 7:30 and 18:00", "remind me to give Juniper vitamin E 200 IU every 3 days at 07:30", "our vet is 0123 456789",
		"Juniper vomited once", "Juniper 19.5",
	} {
		w.says("Ines", text)
		w.at = w.at.Add(time.Minute)
	}
	w.at = w.at.AddDate(0, 0, 7)
	w.says("Ines", "Juniper 19.4")
	bowl := w.says("Ines", "how much for Juniper?")[0]
	table := ""
	for _, b := range bowl.Body {
		if b.Table {
			table = b.Text
		}
	}
	fields := strings.Fields(table[strings.Index(table, "together"):])
	vet := w.sheet("sheet for the vet")
	w.holds("vet", vet, "19.4 kg", "spayed female", "no chicken", "together "+fields[1], "Vitamin E 200 IU", "every 3 days at 07:30", "fish oil 2 capsules",
		"Turkey and heart (kept here since 2 March 2026; no meal was noted)", "Juniper vomited once", "Not known", "iodine", "AAFCO adult maintenance")
	sitter := w.sheet("what does the sitter need to know")
	w.holds("sitter", sitter, "07:30 18:00 a day", "together "+fields[2]+" "+fields[3]+" "+fields[1], "must not have: chicken", "0123 456789", "vitamin E 200 IU",
		"fish oil 2 capsules", "Thaw it in the fridge", "Grapes and raisins", "cooked bones", "emergency clinic")

	w.says("Ines", "Juniper has kidney disease")
	vet, sitter = w.sheet("sheet for the vet"), w.sheet("sitter sheet")
	w.holds("vet of an ill dog", vet, "kidney disease", "recipe as written", "600", "19.4 kg")
	w.holds("sitter of an ill dog", sitter, "kidney disease", "as the vet says", "0123 456789")
	for _, text := range []string{vet, sitter} {
		if strings.Contains(text, "together "+fields[1]) || strings.Contains(text, "07:30 18:00 a day") {
			t.Errorf("an ill dog has amounts:\n%s", text)
		}
	}
}
