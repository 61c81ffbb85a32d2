package rank

import (
	"bytes"
	"slices"
	"testing"
	"testing/fstest"
)

func TestTokens(t *testing.T) {
	var got []string
	for _, tok := range Tokens("he's 19.5kg, fed at 7:30!") {
		got = append(got, tok.Text)
	}
	if want := []string{"hes", "19.5", "kg", ",", "fed", "at", "7:30", "!"}; !slices.Equal(got, want) {
		t.Errorf("got %q", got)
	}
}

// TestMend mends a word to one of the lexicon, and leaves names and what is too
// far from any.
func TestMend(t *testing.T) {
	sp := &Speller{lex: lexicon(t)}
	for typed, want := range map[string]string{"vomitt": "vomit", "vomti": "vomit", "vmoit": "vomit", "vomut": "vomit", "xylophone": "xylophone", "vom": "vom"} {
		if got := sp.mend(typed); got != want {
			t.Errorf("%s: %s, want %s", typed, got, want)
		}
	}
}

func lexicon(t *testing.T) *Lexicon {
	lex, err := ReadLexicon(fstest.MapFS{"signs.txt": {Data: []byte("# signs\nvomit\nthrew up\n")}, "meals.txt": {Data: []byte("breakfast\ndinner\n")}})
	if err != nil {
		t.Fatal(err)
	}
	return lex
}

// TestTrained trains on a few wordings and reads others: words it knows by
// their kind alone, an answer only where a question is open, and the same after
// it was saved.
func TestTrained(t *testing.T) {
	var all []Wording
	add := func(open, text string, intents ...string) {
		w := Wording{ID: string(rune('p'+len(all)%2)) + "-1", Input: Input{Text: text, Open: open, Dogs: []string{"Pip"}}}
		for _, i := range intents {
			w.Says = append(w.Says, Said{Intent: i})
		}
		all = append(all, w)
	}
	for range 6 {
		add("", "pip threw up", "signs")
		add("", "she threw up again", "signs")
		add("", "fed pip breakfast", "fed")
		add("", "gave him breakfast", "fed")
		add("dog.name", "pip", "answer")
		add("dog.name", "call him breakfast", "answer")
		add("", "fed pip breakfast and she threw up", "fed", "signs")
	}
	m, err := Train(Trained{Wordings: all, Lexicon: lexicon(t), Plan: Plan{Fewest: 2, Penalty: 0.03, Rounds: 20}})
	if err != nil {
		t.Fatal(err)
	}
	var file bytes.Buffer
	if err := m.Save(&file); err != nil {
		t.Fatal(err)
	}
	loaded, err := Load(&file, lexicon(t))
	if err != nil {
		t.Fatal(err)
	}
	for _, m := range []*Model{m, loaded} {
		for _, c := range []struct{ open, text, want string }{
			{"", "vomit", "signs"}, {"", "gave pip dinner", "fed"}, {"dog.name", "pip", "answer"}, {"", "call him pip", "fed"},
		} {
			got := m.Rank(&Input{Text: c.text, Dogs: []string{"Pip"}, Open: c.open})[0].Intent
			if c.open == "" && got == "answer" || c.text != "call him pip" && got != c.want {
				t.Errorf("%q with %q open: %s, want %s", c.text, c.open, got, c.want)
			}
		}
	}
}
