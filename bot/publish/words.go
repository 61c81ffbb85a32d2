package publish

import (
	"cmp"
	"math"
	"strconv"
	"strings"

	"bowlwright/bot/read"
	"bowlwright/bot/read/alarm"
	"bowlwright/bot/read/span"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
)

// The most characters of whom something is for, of a plan's title, and of a name
// that an author chooses (our own choice).
const (
	mostFor   = 200
	mostTitle = 60
	mostPen   = 40
)

// draft is what is about to be published.
type draft struct {
	Recipe   string `json:"recipe,omitempty"`
	Rotation string `json:"rotation,omitempty"`
	Topper   bool   `json:"topper,omitempty"`
	Title    string `json:"title,omitempty"` // of a plan; a recipe has a name
	Days     int    `json:"days,omitempty"`  // of a plan: over which a dog is brought to it
	About    string `json:"about,omitempty"`
	ForWhom  string `json:"for,omitempty"`
	Pen      string `json:"pen,omitempty"`
}

// textSteps are what is asked of an author, in order.
func textSteps() []talk.Step[draft] {
	return []talk.Step[draft]{
		{Name: "title", Ask: askTitle, Take: takes(mostTitle, func(d *draft) *string { return &d.Title }), Free: true, Repeats: true},
		{Name: "days", Ask: askDays, Take: takeDays, Repeats: true},
		{Name: "about", Ask: askAbout, Take: takes(MostText, func(d *draft) *string { return &d.About }), Free: true, Repeats: true},
		{Name: "for", Ask: askFor, Take: takes(mostFor, func(d *draft) *string { return &d.ForWhom }), Free: true, Repeats: true},
		{Name: "pen", Ask: askPen, Take: takes(mostPen, func(d *draft) *string { return &d.Pen }), Free: true, Repeats: true},
	}
}

// takes reads a text into a field of a draft.
func takes(most int, field func(*draft) *string) func(*talk.Turn, *draft, talk.Answer) string {
	return func(t *talk.Turn, d *draft, in talk.Answer) string {
		s := Text(in.Value())
		if in.Press == "" && (read.Says("asks-back", s) || talk.IsNo(s)) {
			return msg("publish.asked")
		}
		if wrong := textTrouble(s, most); wrong != "" {
			return wrong
		}
		if s == "" || most != MostText && strings.Contains(s, "\n") {
			return msg("text.none")
		}
		into := field(d)
		s = cmp.Or(read.Pattern("opening").ReplaceAllString(s, ""), s)
		if into == &d.Pen {
			s = cmp.Or(read.Pattern("call-me").ReplaceAllString(s, ""), s)
		}
		if into == &d.ForWhom && strings.EqualFold(s[:min(4, len(s))], "for ") { // as the question begins
			s = say.Capital(s[4:])
		}
		if into == &d.ForWhom {
			s = strings.TrimRight(s, " .") // a full stop follows it
			if wrong := notMadeFor(t, d, s); wrong != "" {
				return wrong
			}
		}
		*into = s
		return ""
	}
}

// notMadeFor says why a version cannot be said to be for such dogs.
func notMadeFor(t *talk.Turn, d *draft, whom string) string {
	v, _ := frozen(t, *d)
	if words := read.NotMadeFor(whom, v != nil && strings.Contains(v.Profile, "growth")); words != "" {
		return msg("text.not-for", "words", say.Short(words))
	}
	return ""
}

func askTitle(t *talk.Turn, d *draft) {
	t.Ask("publish", "title", d)
	parts := titleOf(t, *d)
	t.SayMsg("publish.ask-title").Offer(t.Answer(parts, "title", parts), t.StopButton())
}

func askDays(t *talk.Turn, d *draft) {
	t.Ask("publish", "days", d)
	out := t.SayMsg("publish.ask-days", "least", planner.LeastSteps, "most", planner.MostSteps)
	for _, n := range []int{planner.LeastSteps, switchDays, planner.MostSteps} {
		out.Offer(t.Answer(strconv.Itoa(n), "days", strconv.Itoa(n)))
	}
	out.Offer(t.StopButton())
}

func takeDays(_ *talk.Turn, d *draft, in talk.Answer) string {
	n, err := span.Number(strings.TrimSpace(strings.TrimRight(strings.ToLower(strings.TrimSpace(in.Value())), "days .!")))
	if err != nil || n != math.Trunc(n) || n < planner.LeastSteps || n > planner.MostSteps {
		return msg("publish.wrong-days", "least", planner.LeastSteps, "most", planner.MostSteps)
	}
	d.Days = int(n)
	return ""
}

func askAbout(t *talk.Turn, d *draft) {
	t.Ask("publish", "about", d)
	t.SayMsg("publish.ask-about", "what", titleOf(t, *d), "most", MostText).Offer(t.StopButton())
}

func askFor(t *talk.Turn, d *draft) {
	t.Ask("publish", "for", d)
	t.SayMsg("publish.ask-for").Offer(t.Answer(msg("button.for-adults"), "for", msg("button.for-adults")), t.StopButton())
}

func askPen(t *talk.Turn, d *draft) {
	t.Ask("publish", "pen", d)
	t.SayMsg("publish.ask-pen").Offer(t.StopButton())
}

// takeText takes an author's answer.
func takeText(t *talk.Turn, d draft, in talk.Answer) {
	if t.Talk.Step == "sure" {
		takeSure(t, d, in)
		return
	}
	if in.Press == "" && asksSeen(in.Text) {
		talk.Wrong(t, msg("publish.asked"), func() { nextText(t, d) })
		return
	}
	steps := textSteps()
	s := talk.StepNamed(steps, t.Talk.Step)
	if s == nil {
		return
	}
	s.Free = s.Free && !ofPublishing(t, in.Text) // nothing else is looked for in it
	if s.Heard(t, &d, in) {
		nextText(t, d)
	}
	t.LastReply().Add(ownDogText(t, in.Text))
}

// asksSeen reports that somebody asks who will see what is published: of its
// readers, not of the carers.
func asksSeen(text string) bool { return read.Says("asks-back", text) && read.Says("asks-seen", text) }

// ofPublishing reports that what was typed belongs to what is being published,
// whatever else it might be.
func ofPublishing(t *talk.Turn, text string) bool {
	return asksSeen(text) || ofReaders(t, text) || talk.AnswersFreely(t) && tellsReaders(t, text)
}

// tellsReaders reports that some words can be nothing but what readers are told:
// they ask nothing, are no order to the program, and name no sign or danger.
func tellsReaders(t *talk.Turn, text string) bool {
	_, order := t.Understand(text)
	a := t.Alarm(text)
	return len(strings.Fields(text)) > 3 && !order && !read.Says("asks-back", text) && a.Level == alarm.Calm && a.Eaten == nil && a.Asked == nil && a.Food == nil && !a.Cry
}

// nextText asks what is still missing, and shows what will be seen where
// nothing is.
func nextText(t *talk.Turn, d draft) {
	switch {
	case titleOf(t, d) == "":
		t.Gone()
	case d.Rotation != "" && d.Title == "":
		askTitle(t, &d)
	case d.Rotation != "" && d.Days == 0:
		askDays(t, &d)
	case d.About == "":
		askAbout(t, &d)
	case d.ForWhom == "":
		askFor(t, &d)
	case d.Pen == "":
		askPen(t, &d)
	default:
		preview(t, d)
	}
}

// takeSure takes the answer to what will be seen.
func takeSure(t *talk.Turn, d draft, in talk.Answer) {
	switch said := strings.ToLower(in.Value()); {
	case said == "yes" || talk.IsYes(said) || said == "publish":
		publish(t, d)
	case said == "text":
		d.Title, d.Days, d.About, d.ForWhom, d.Pen = "", 0, "", "", ""
		nextText(t, d)
	case talk.IsNo(said):
		t.StopDialogue()
	case asksSeen(in.Text):
		offerSure(t, t.SayMsg("publish.asked-sure"))
	case t.Asked(in.Text):
	case read.Says("asks-back", in.Text):
		offerSure(t, t.SayMsg("publish.asked-sure"))
	default:
		preview(t, d)
	}
}
