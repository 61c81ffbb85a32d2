package telegram

import "testing"

func TestOptions(t *testing.T) {
	t.Parallel()
	for text, may := range map[string]bool{
		"Juniper weighs 19.6 kg, 0.2 more.\nWas 19.4. 445 kcal.": false,
		"1.5 x 2.25 = 3.375... and so on. Yes.":                  false,
		"see https://localhost":                                  true,
		"see meat.example":                                       true,
		"see 192.0.2.7":                                          true,
		"fünf.örtlich":                                           true,
		"例。中国":                                                   true,
		"":                                                       false,
		"ends with a dot.":                                       false,
	} {
		if got := noPreview(text) != nil; got != may {
			t.Errorf("%q may have a link: %v", text, got)
		}
	}
	for text, mode := range map[string]string{"19.6 kg": "", "<b>x</b>": "HTML", "salt &amp; oil": "HTML", "&#34;x": "HTML"} {
		if got := string(parseMode(text)); got != mode {
			t.Errorf("%q is read as %q", text, got)
		}
	}
}
