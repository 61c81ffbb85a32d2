package export

import (
	"strings"
	"testing"
	"unicode/utf8"

	"bowlwright/bot/say"
	"bowlwright/bot/talk"
)

// TestCSVText guards what a spreadsheet takes for a formula (OWASP, CSV
// injection) and leaves the rest as it was typed.
func TestCSVText(t *testing.T) {
	for text, want := range map[string]string{
		"": "", "Juniper": "Juniper", "half a biscuit - stale": "half a biscuit - stale", "a=b": "a=b", "'tis": "'tis",
		"=1+1": "'=1+1", `=HYPERLINK("http://x")`: `'=HYPERLINK("http://x")`, "+49": "'+49", "-2 biscuits": "'-2 biscuits",
		"@SUM(A1)": "'@SUM(A1)", "\t=1": "'\t=1", "\r=1": "'\r=1", "\n=1": "'\n=1", "  =1": "'  =1", "\u00a0=1": "'\u00a0=1", "＝1": "'＝1",
	} {
		if got := csvText(text); got != want {
			t.Errorf("%q becomes %q, want %q", text, got, want)
		}
	}
}

func TestCSVNumber(t *testing.T) {
	for _, c := range []struct {
		x        float64
		decimals int
		want     string
	}{
		{19.4, 3, "19.4"}, {19.277_674, 3, "19.278"}, {0, 3, ""}, {0.0001, 3, ""}, {1_234_567, 0, "1234567"}, {1e21, 1, "1000000000000000000000"}, {40, 1, "40"},
	} {
		if got := csvNumber(c.x, c.decimals); got != c.want {
			t.Errorf("%g is %q, want %q", c.x, got, c.want)
		}
	}
}

// TestFileName makes names that lead nowhere else and differ, be it on a
// system for which case makes no difference.
func TestFileName(t *testing.T) {
	used := map[string]bool{}
	for i, c := range []struct{ name, want string }{
		{"Turkey and heart", "recipe-turkey-and-heart.txt"}, {"TURKEY  and/heart!", "recipe-turkey-and-heart-r1.txt"},
		{"../../etc/passwd", "recipe-etc-passwd.txt"}, {`C:\nul`, "recipe-c-nul.txt"}, {"🐕", "recipe-r4.txt"}, {"..", "recipe-r5.txt"},
		{"Frühstück №2", "recipe-frühstück-2.txt"}, {"\u202etxt.exe\x00", "recipe-txt-exe.txt"},
		{strings.Repeat("ä ", 100), "recipe-" + strings.Repeat("ä-", 19) + "ä.txt"},
	} {
		got := fileName(used, "recipe", c.name, "r"+string(rune('0'+i)), ".txt")
		if got != c.want || !utf8.ValidString(got) {
			t.Errorf("%q is in %q, want %q", c.name, got, c.want)
		}
	}
}

func TestTooLargeToSend(t *testing.T) {
	data := make([]byte, say.LargestDocument+1)
	d := say.Document{Name: "a.zip", Data: data[:say.LargestDocument]}
	if r := sayDocument((&talk.Turn{}), "Here", d); r.Document == nil || r.Body[0].Text != "Here" {
		t.Errorf("%+v", r.Body)
	}
	d.Data = data
	if r := sayDocument((&talk.Turn{}), "Here", d); r.Document != nil || !strings.Contains(r.Body[0].Text, "51 MB; the most I can send is 50 MB") {
		t.Errorf("%+v", r.Body)
	}
}
