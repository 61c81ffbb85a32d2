package terminal_test

import (
	"bytes"
	"slices"
	"strings"
	"testing"

	"bowlwright/bot"
	"bowlwright/bot/terminal"
	"bowlwright/nutrition"
	"bowlwright/store/storetest"
)

// TestSessionTellsOfAPressThatFindsNothing presses by number and by label, and
// what is on no button.
func TestSessionTellsOfAPressThatFindsNothing(t *testing.T) {
	var out bytes.Buffer
	var missed []string
	script := "#Edit\ndog Pip 6.4 kg\n#edit\n#Weight\n6.6\n#1\n#Weigh\n#99\n"
	o := terminal.Options{
		In: terminal.NewScript(strings.NewReader(script)), Out: &out, At: start,
		Missed: func(line string) { missed = append(missed, line) },
	}
	s := storetest.NewMemory()
	if err := terminal.New(bot.NewAssistant(s, nutrition.Default()), s, o).Run(t.Context()); err != nil {
		t.Fatal(err)
	}
	if want := []string{"#Edit", "#Weigh", "#99"}; !slices.Equal(missed, want) {
		t.Errorf("missed %q, want %q in:\n%s", missed, want, out.String())
	}
	for _, want := range []string{"There's no button to press yet.", "There's no button 99;", `There's no button "Weigh";`} {
		if !strings.Contains(out.String(), want) {
			t.Errorf("%q is not said in:\n%s", want, out.String())
		}
	}
}
