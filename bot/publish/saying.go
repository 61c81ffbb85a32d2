package publish

import (
	"strings"

	"bowlwright/bot/read"
	"bowlwright/bot/read/alarm"
	"bowlwright/bot/read/span"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/bot/urgent"
)

// saying is the draft of a text that goes to others: why something changed or is
// withdrawn, a question to an author, or the answer to one.
type saying struct {
	Token    string `json:"token"`
	Question string `json:"question,omitempty"` // id of the one that is answered
	// Text is what was typed and not sent yet: what others would read is shown
	// first, or an emergency was heard in it and answered.
	Text string `json:"text,omitempty"`
}

// form is a form of one text, taken as it is typed. take returns what is wrong
// with it, empty where it was taken.
func form(kind string, ask func(*talk.Turn, *saying), take func(t *talk.Turn, d *saying, text string) string) talk.Form {
	try := func(t *talk.Turn, d *saying, text string) {
		if wrong := take(t, d, text); wrong != "" {
			t.Ask(kind, "text", d)
			t.Say(say.Para(wrong)).Offer(t.StopButton())
		}
	}
	return talk.Form{
		Free: []string{"text"}, Verbatim: holds(kind),
		Again: talk.WithDraft(func(t *talk.Turn, d saying) { ask(t, &d) }),
		Take: talk.TakeDraft(func(t *talk.Turn, d saying, in talk.Answer) {
			switch {
			case in.Press == "send":
				try(t, &d, d.Text)
			case in.Press == "write":
				d.Text = ""
				ask(t, &d)
			case kind == "answer" && forMe(t, in.Text):
				offerHeld(t, kind, d, in.Text, t.SayMsg("saying.held"))
			default:
				try(t, &d, in.Text)
			}
		}),
	}
}

// forMe reports that a text may be meant for the bot: a question, or what it
// understands by itself.
func forMe(t *talk.Turn, text string) bool {
	_, understood := t.Understand(text)
	return understood || strings.HasSuffix(strings.TrimSpace(text), "?")
}

// reason is a form of one line that goes to all who keep something: it is shown
// as they will read it, and goes when that is confirmed.
type reason struct {
	kind    string
	ask     func(*talk.Turn, *saying)
	trouble func(why string) string
	asked   string // what is said to a question
	head    string // what stands before the line as others will read it
	button  string // by which it goes
	do      func(t *talk.Turn, d *saying)
}

func (r reason) form() talk.Form {
	again := func(t *talk.Turn, d saying) {
		if d.Text == "" {
			r.ask(t, &d)
		} else {
			r.show(t, d)
		}
	}
	return talk.Form{
		Free: []string{"text"}, Again: talk.WithDraft(again), OfOthers: ofReaders, Verbatim: holds(r.kind),
		Take: talk.TakeDraft(func(t *talk.Turn, d saying, in talk.Answer) {
			said := strings.ToLower(strings.Trim(in.Text, " .!"))
			bare := strings.TrimLeft(strings.TrimPrefix(said, "yes"), " ,")
			sent := in.Press == "send" || in.Press == "" && (talk.IsYes(said) || bare == strings.ToLower(r.button))
			switch {
			case sent && d.Text != "" && r.trouble(Line(d.Text)) == "":
				d.Text = Line(d.Text)
				r.do(t, &d)
			case in.Press == "write", said == strings.ToLower(msg("button.other-words")):
				d.Text = ""
				r.ask(t, &d)
			case talk.IsNo(said):
				t.StopDialogue()
			case in.Press == "" && elsewhere(t, in.Text):
			case sent || in.Press != "" || read.Says("asks-back", in.Text):
				again(t, d)
				t.LastReply().Begin(r.asked)
			default:
				if wrong := r.trouble(Line(in.Text)); wrong != "" {
					t.Say(say.Para(wrong)).Offer(t.StopButton())
					return
				}
				d.Text = Line(in.Text)
				r.show(t, d)
			}
		}),
	}
}

// ofDesk is what an author asks of what is published, which is no reason.
var ofDesk = map[read.Intent]bool{read.ListPublished: true, read.StopPublished: true, read.Withdraw: true, read.Figures: true, read.AllowAsking: true, read.RefuseAsking: true}

// elsewhere answers what was typed where it asks something else of what is
// published, and reports whether it did. The question waits.
func elsewhere(t *talk.Turn, text string) bool {
	s, ok := t.Understand(text)
	if !ok || !ofDesk[s.Intent] {
		return false
	}
	t.PutAside()
	t.GoTo(s)
	return true
}

// show shows the line as others will read it.
func (r reason) show(t *talk.Turn, d saying) {
	if mineOf(t, d.Token) == nil {
		return
	}
	t.Ask(r.kind, "text", d)
	t.Say(say.Para(r.head), say.Whole(msg("ask.quote", "text", d.Text)), say.Para(ownDogText(t, d.Text))).
		Offer(t.Answer(r.button, "text", "send"), t.Answer(msg("button.other-words"), "text", "write"), t.StopButton())
}

// ownDogText says what to do should an emergency in a text for others be one of
// the author's own dog; empty where none is heard in it.
func ownDogText(t *talk.Turn, text string) string {
	return say.Where(t.Alarm(text).Level >= alarm.VetToday, msg("saying.own-dog"))
}

// ofReaders reports that what was typed where words for others are asked for
// tells of dogs of others, and of none here.
func ofReaders(t *talk.Turn, text string) bool {
	if !talk.AnswersFreely(t) {
		return false
	}
	for i := range t.Home.Dogs {
		if strings.Contains(strings.ToLower(text), strings.ToLower(t.Home.Dogs[i].Name)) {
			return false
		}
	}
	return read.OfOthersDogs(text)
}

// lineTrouble says why a reason cannot go.
func lineTrouble(check func(string, int) string) func(string) string {
	return func(why string) string {
		if why == "" {
			return msg("text.none")
		}
		return check(why, MostLine)
	}
}

// holds holds back a text in which an emergency was heard and answered.
func holds(kind string) func(*talk.Turn, string) {
	return func(t *talk.Turn, text string) {
		var d saying
		t.Draft(&d)
		holdBack(t, kind, d, text)
	}
}

// holdBack says that a text was not sent, and offers to send it all the same.
func holdBack(t *talk.Turn, kind string, d saying, text string) {
	offerHeld(t, kind, d, text, t.LastReply().Add(msg("saying.held")))
}

func offerHeld(t *talk.Turn, kind string, d saying, text string, out *say.Reply) {
	d.Text = text
	t.Ask(kind, "text", d)
	out.Offer(t.Answer(msg("button.send"), "text", "send"), t.Answer(msg("button.write-again"), "text", "write"), t.StopButton())
}

// answeredHere answers a question that names a sign or a danger.
func answeredHere(t *talk.Turn, text string) bool {
	clean := strings.TrimSpace(span.Clean(text))
	return urgent.Urgent(t, clean) || urgent.DangerAsked(t, clean) || urgent.WatchSign(t, clean)
}
