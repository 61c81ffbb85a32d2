package bot

import "bowlwright/bot/read"

// courtesy answers what asks and tells nothing: a greeting with the day where
// there is one to tell, thanks in a word.
func (t *turn) courtesy(s string) bool {
	switch read.CourtesyOf(s) {
	case read.Greeting:
		if t.newcomer || len(t.home.Dogs) == 0 {
			t.hello()
			return true
		}
		t.today()
	case read.Thanks:
		t.sayMsg("courtesy.thanks")
	case read.YesOrNo:
		t.sayMsg("courtesy.yes-or-no").offer(t.button(msg("button.today"), "today"), t.button(msg("button.help"), "help"))
	default:
		return false
	}
	return true
}
