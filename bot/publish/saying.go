package publish

import (
	"regexp"
	"slices"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"bowlwright/bot/read"
	"bowlwright/bot/read/alarm"
	"bowlwright/bot/read/span"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/bot/urgent"
	"bowlwright/planner"
	"bowlwright/store"
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
	talk.PutAside(t)
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
	named := func(d planner.Dog) bool { return strings.Contains(strings.ToLower(text), strings.ToLower(d.Name)) }
	return !slices.ContainsFunc(t.Home.Dogs, named) && read.Says("others-dogs", text) && !read.Says("own-dog", text)
}

// troubleOf says why a text of so many characters at most cannot go; none is what is
// said where there is no text.
func troubleOf(check func(string, int) string, most int, none string) func(string) string {
	return func(text string) string {
		if text == "" {
			return none
		}
		return check(text, most)
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

// The most characters of a text that is published, and of a line of one: a name,
// a reason (our own choice).
const (
	MostText = 2000
	MostLine = 300
)

// Text is what somebody typed as it may be shown to others: without characters
// that nobody sees or that turn the direction of what follows.
func Text(typed string) string {
	typed = strings.Map(func(r rune) rune {
		if unicode.Is(unicode.Cf, r) && r != '\u200d' { // this one joins emoji
			return -1
		}
		return r
	}, say.Printable(strings.ReplaceAll(typed, "\r\n", "\n")))
	var lines []string
	for line := range strings.SplitSeq(typed, "\n") {
		line = strings.Join(strings.Fields(line), " ")
		if line != "" || len(lines) > 0 && lines[len(lines)-1] != "" {
			lines = append(lines, line)
		}
	}
	return strings.TrimSpace(strings.Join(lines, "\n"))
}

// Line is likewise one line.
func Line(typed string) string { return strings.Join(strings.Fields(Text(typed)), " ") }

// textTrouble says why a text of at most so many characters cannot be
// published; empty where it can.
func textTrouble(text string, most int) string {
	if wrong := plainTrouble(text, most); wrong != "" {
		return wrong
	}
	if claim := read.Claim(text); claim != "" {
		return msg("text.claim", "words", say.Short(claim))
	}
	if no, found := alarm.Unfit(text); found {
		return msg("text.unfit", "name", no.Typed)
	}
	return ""
}

// plainTrouble is likewise of a text that only those see who keep a recipe, or
// its author.
func plainTrouble(text string, most int) string {
	if n := utf8.RuneCountInString(text); n > most {
		return msg("text.long", "n", n, "most", most)
	}
	if link := linked(text); link != "" {
		return msg("text.link", "words", say.Short(link))
	}
	return ""
}

// links are what phones make links of: addresses, names, tags, commands and
// telephone numbers (Telegram's documentation of message entities; the ends of
// addresses are those in common use, no source).
var links = []*regexp.Regexp{
	regexp.MustCompile(`(?i)\b[a-z][a-z0-9+.-]*://\S*`),
	regexp.MustCompile(`(?i)\b(mailto|tel|sms|tg):\S+`),
	regexp.MustCompile(`(?i)[\p{L}\d._%+-]+@[\p{L}\d.-]+\.\p{L}{2,}`),
	regexp.MustCompile(`(?i)\b([\p{L}\d-]+\.)+(com|net|org|info|biz|io|co|me|app|dev|shop|store|online|site|website|xyz|club|top|link|click|page|blog|live|pro|vip|eu|de|uk|us|fr|es|nl|ch|at|pl|be|se|dk|fi|cz|ru|ua|cn|jp|au|nz|ca|ie|pt|gr|tr|ly|gl|gg|tv|cc|ws|pet|vet|dog)\b(/\S*)?`),
	regexp.MustCompile(`(?i)\b([\p{L}\d-]+\.)+\p{L}{2,}/\S*`),
	regexp.MustCompile(`\b\d{1,3}(\.\d{1,3}){3}\b`),
	regexp.MustCompile(`(^|[^\p{L}\d_/])(@[A-Za-z]\w{3,}|#\p{L}\w*|\$[A-Z]{3,8}\b|/[A-Za-z]\w*)`),
	regexp.MustCompile(`\+\d[\d ()-]{6,}\d|\b0\d[\d ()-]{6,}\d`),
	regexp.MustCompile(`\[[^\]]*\]\([^)]*\)|<[^>]+>`),
}

// linked is the first thing in a text that a phone would make a link of; empty
// where there is none.
func linked(text string) string {
	first, at := "", len(text)
	for _, is := range links {
		if found := is.FindStringIndex(text); found != nil && found[0] < at {
			first, at = strings.TrimSpace(text[found[0]:found[1]]), found[0]
		}
	}
	return first
}

// What one household may do in 24 hours, and how many questions one may have
// open with an author (the last is what the project set; the rest is our own
// choice).
const (
	mostPublished = 10
	mostReleases  = 5
	mostQuestions = 10
	mostOpen      = 3
)

// fewest is of how many households an author is told a number at least, so that
// none can be made out (our own choice).
const fewest = 5

const aDay = 24 * time.Hour

// mayPublish reports whether the operator lets this person publish, and says so
// where not.
func mayPublish(t *talk.Turn) bool {
	if t.MayPublish == nil || t.MayPublish(t.Event) {
		return true
	}
	t.EndDialogue()
	t.SayMsg("limit.not-here")
	return false
}

// tooMany says that a household has done as much today as it may, and reports
// whether it has.
func tooMany(t *talk.Turn, done, most int, key string) bool {
	if done < most {
		return false
	}
	t.EndDialogue()
	t.SayMsg(key, "n", most)
	return true
}

// versionsToday counts what the household has published in the last 24 hours, or the
// new versions of it.
func versionsToday(t *talk.Turn, first bool) (n int) {
	all, err := t.Snap.PublishedBy(t.Home.ID) // also what was withdrawn since
	talk.Found(t, err)
	for _, p := range all {
		for i, v := range p.Versions {
			if (i == 0) == first && t.Event.At.Sub(v.At) < aDay {
				n++
			}
		}
	}
	return n
}

// askedToday are the questions that the household has asked authors in the last
// 24 hours.
func askedToday(t *talk.Turn, reading []store.Reader) (n int) {
	for _, r := range reading {
		for _, q := range r.Asked {
			if t.Event.At.Sub(q.At) < aDay {
				n++
			}
		}
	}
	return n
}
