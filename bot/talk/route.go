package talk

import (
	"cmp"
	"slices"
	"strings"
	"unicode/utf8"

	"bowlwright/bot/read"
	"bowlwright/bot/read/foodline"
	"bowlwright/bot/read/span"
	"bowlwright/bot/say"
	"bowlwright/planner"
	"bowlwright/store"
)

// Answer is what came to an open question: something typed, or the value of
// a button.
type Answer struct {
	Text  string // typed; empty where a button was pressed
	Press string // the button's value
}

// Value is what was answered, however it came.
func (a Answer) Value() string { return cmp.Or(a.Press, a.Text) }

func Arg(args []string, i int) string {
	if i < len(args) {
		return args[i]
	}
	return ""
}

// longest is how many characters of a message are read; recipe pastes say what was cut.
const longest = 20000

// route finds who answers the event. If that left a dialogue unfinished, the
// last reply offers to resume it.
func (t *Turn) route() {
	typed, pressed := t.Event.Text, t.Event.Press != ""
	t.find()
	if !pressed {
		t.doRest(t.AsTyped())
	}
	if len(t.Replies) == 0 && typed != "" && t.Event.Press == "" && !t.Leaves && t.Err == nil {
		t.NotUnderstood(typed) // whoever typed something is answered, whatever took it
	}
	t.sayOnce()
	t.keepSaid(typed)
	t.keepAsked(typed)
	t.sayUnused()
	if f := t.reg.Forms[t.Talk.Kind]; t.waits && t.Talk.By != ChangeID(t.Event.ID) && f.Again != nil && t.Talk.Kind != "remind" {
		t.Again(t.briefly(t.Talk.Kind)) // whatever was answered beside it
		t.sayOnce()
	}
	if p := t.Talk.Parked; p != nil && p.Back && t.Talk.Kind == "" && t.loaded.Kind != "" && !t.dropped {
		t.left = false
		t.Resume() // the question that was asked in between is answered
	}
	for i := range t.Replies {
		say.OneVet(&t.Replies[i])
	}
	t.keepLong()
	if t.left && len(t.Replies) > 0 {
		t.Replies[len(t.Replies)-1].Offer(t.Button(msg("button.go-on-parked"), "resume"))
	}
	t.keepOffer()
}

func (t *Turn) find() {
	if t.Event.Press != "" {
		t.routePress()
		return
	}
	if t.repliesTo() {
		return
	}
	if len(t.Event.File) > 0 {
		t.reg.hears.File(t, t.Event.File)
		return
	}
	text := t.Event.Text
	if utf8.RuneCountInString(text) > longest {
		t.SayMsg("trouble.long", "n", longest)
		return
	}
	clean := strings.TrimSpace(read.Without("dictated", span.Clean(text)))
	if clean == "" {
		t.SayMsg("trouble.empty")
		return
	}
	t.leaveStale()
	open := t.Talk.Kind
	verbatim := t.reg.Forms[open].Verbatim
	all := read.Spelled(read.SaidOnce(clean), t.Names())
	if said := read.Without("they-said", all); said != all && !read.Says("names-vet", all) && len(t.Entries(store.EntryQuery{Kinds: []planner.EntryKind{planner.SignSeen, planner.VetSaw}, From: t.Event.At.AddDate(0, 0, -2)})) > 0 {
		all = said
	}
	if verbatim == nil && all != clean {
		t.Event.Text, clean = all, all
	}
	if rest := read.Find("stops-first", clean); rest != "" && open != "" && verbatim == nil { // "Stop. Nube ate 165 g"
		t.StopDialogue()
		t.Event.Text, clean, open = rest, rest, ""
	}
	if of := t.reg.Forms[open].OfOthers; of != nil && !strings.HasPrefix(clean, "/") && of(t, clean) {
		t.takesVerbatim(clean)
		return
	}
	if each := t.apart(clean); len(each) > 1 {
		t.doEach(each)
		return
	}
	talk := t.Talk
	t.findIn(clean)
	if t.lost != "" || t.vague && !t.Changed {
		each := t.partsOf(clean, read.Clauses(clean), surelyElse)
		if sentences := read.SentencesOf(clean); len(sentences) > 1 && !t.vague {
			each = say.Each(sentences, func(s string) []string { return []string{s} })
		}
		if len(each) > 1 {
			t.Talk, t.lost, t.Replies = talk, "", nil
			t.doEach(each)
		}
	}
}

// findIn finds who answers a text, or one of the sentences of a message.
func (t *Turn) findIn(clean string) {
	open := t.Talk.Kind
	verbatim := t.reg.Forms[open].Verbatim
	which := len(t.asksWhich()) > 0 && t.takeOffer(clean) // "her thyroid tablet", which alone may be a sign
	urgent := !which && t.hear(t.reg.hears.First, clean)
	if which || !urgent && (t.allSaid(clean) || t.routeCommand(clean)) {
		return
	}
	if urgent || t.alarmMeant(clean, surelyUrgent) {
		if verbatim != nil && t.Talk.Kind == open {
			verbatim(t, clean)
		}
		return
	}
	if verbatim != nil && t.takesVerbatim(clean) || t.bareFirst(clean) || t.routeDialogue(clean) || t.takeOffer(clean) {
		return
	}
	t.RouteWords(clean)
}

// repliesTo presses the button of the message that a text replies to, if that
// is one that a reply answers, and gives the text to the question that it asks.
func (t *Turn) repliesTo() bool {
	for _, data := range t.Event.Under {
		parts := strings.Split(data, ":")
		if len(parts) < 3 || parts[0] != t.mark() || t.reg.Replies[parts[1]] == nil {
			continue
		}
		if clean := strings.TrimSpace(span.Clean(t.Event.Text)); clean != "" && t.reg.Replies[parts[1]](t, parts[2:], clean) {
			return true
		}
	}
	return false
}

// RouteWords answers what is neither a command nor an answer to a question: by
// what fits exactly, else by what it very likely means.
func (t *Turn) RouteWords(clean string) {
	if !t.opensAsOne(clean) && t.severalThings(clean) && t.meant(clean) {
		return
	}
	if !t.exact(clean) && (t.reg.hears.Stranger(t, clean) || !t.meant(clean)) {
		t.NotUnderstood(clean)
	}
}

// opensAsOne reports that a text is one recipe, label or dog, whatever its lines may mean
// alone: "recipe Stew: 1 kg thigh, 3 eggs, and eggshell powder 10 g", or the same
// without the word.
func (t *Turn) opensAsOne(s string) bool {
	word, rest := CutWord(s)
	if rest != "" && t.reg.Commands[strings.ToLower(strings.TrimSuffix(word, ":"))].Opens {
		return true
	}
	got := t.RecipeText(s)
	_, _, dogs := read.DogsNamed(got.Name, t.Names())
	return foodline.HasFigures(s) || got.Name != "" && len(dogs) == 0 && len(got.Lines) > 1
}

// exact answers what fits a wording, or a reader of one kind of statement.
func (t *Turn) exact(clean string) bool {
	h := t.reg.hears
	if t.hear(h.News, clean) || !strings.Contains(clean, "\n") && !t.fitsByChance(clean) && Sentence(t, clean) || t.hear(h.Dose, clean) {
		return true
	}
	if isStop(clean) {
		t.StopDialogue()
		return true
	}
	return t.bareCommand(clean) || t.hear(h.Rest, clean)
}

// Exact answers a part of a text that fits a wording.
func Exact(t *Turn, part string) bool { return t.exact(part) }

// fitsByChance reports that a text fits a sentence only since that takes any words
// for a food: "lol ok", "got a pup".
func (t *Turn) fitsByChance(s string) bool {
	got, ok := t.Understand(s)
	if got.Intent == read.Fed && strings.Contains(got.Words, " ") { // "fed Pip at 7, weigh him Sunday"
		says := t.heard(s).Says
		return len(says) > 1 && len(strings.Fields(says[len(says)-1].Text)) > 2
	}
	if !ok || got.Food == "" && !strings.HasPrefix(string(got.Intent), "shop.") {
		return false
	}
	if found := t.Foods.Find(got.Food); found.Food != nil || found.Refused != nil || len(found.Choices) > 0 {
		return false
	}
	kind, _, _ := strings.Cut(string(got.Intent), ".")
	return SaysElse(t, s, kind+".")
}

// SaysElse reports that what was typed very likely says one thing, and that
// neither this nor what else it may well say begins as one of some intents.
func SaysElse(t *Turn, s string, of ...string) bool {
	if t.typed != "" && s == t.Event.Text { // by the program, for what was typed
		return false
	}
	h := t.heard(s)
	return len(h.Says) == 1 && h.Says[0].Readings[0].P >= surelyElse && !slices.ContainsFunc(h.Says[0].Readings, func(r read.Reading) bool {
		return r.P >= mayWell && slices.ContainsFunc(of, func(begin string) bool { return strings.HasPrefix(r.Intent, begin) })
	})
}

// mayWell is how likely a reading is that is not dismissed (our own choice).
const mayWell = 0.02

// routeCommand answers "/name rest"; a name that is no command is said.
func (t *Turn) routeCommand(s string) bool {
	if !strings.HasPrefix(s, "/") {
		return false
	}
	name, rest := CutWord(s[1:])
	name, _, _ = strings.Cut(name, "@")
	if rest == "" && isStop(name) {
		t.StopDialogue()
		return true
	}
	if c, ok := t.reg.Commands[strings.ToLower(name)]; ok {
		c.Do(t, rest)
		return true
	}
	t.SayMsg("trouble.command", "name", "/"+name)
	return true
}

// bareCommand answers a command written without its slash.
func (t *Turn) bareCommand(s string) bool {
	name, rest := CutWord(s)
	name = strings.ToLower(strings.TrimSuffix(name, ":"))
	c, ok := t.reg.Commands[name]
	if !ok || rest != "" && c.Slash || read.Says("tells-of", rest) {
		return false
	}
	c.Do(t, rest)
	return true
}

// CutWord splits the first word, up to a space or a line end, from the rest.
func CutWord(s string) (word, rest string) {
	i := strings.IndexAny(s, " \t\n")
	if i < 0 {
		return s, ""
	}
	return s[:i], strings.TrimSpace(s[i:])
}

// routeDialogue gives what was typed to the dialogue under way. The dialogue
// decides first; what it cannot use is answered as a sentence if it is one, and
// the open question stays.
func (t *Turn) routeDialogue(s string) bool {
	f, ok := t.reg.Forms[t.Talk.Kind]
	if !ok {
		return false
	}
	if isStop(s) {
		t.StopDialogue()
		return true
	}
	// "dog Rex 10 kg" begins a dog whatever is open; where any words are an
	// answer, only with a figure, and of something else.
	word, rest := CutWord(s)
	word = strings.ToLower(strings.TrimSuffix(word, ":"))
	if begins := !AnswersFreely(t) || word != t.Talk.Kind && strings.ContainsAny(rest, "0123456789"); rest != "" && begins && t.reg.Commands[word].Opens {
		before := t.openNow()
		done := t.bareCommand(s)
		if t.Talk.Kind == "" && before.Kind != word && t.reg.Forms[before.Kind].Brief != nil && !t.dropped { // what was open goes on
			t.Talk.Kind, t.Talk.Step, t.Talk.Draft = before.Kind, before.Step, before.Draft
			t.Again(t.briefly(before.Kind))
		}
		return done
	}
	if !t.typedAnswer(s) && !t.halfOfAnswer(s) && !t.digresses(s) {
		f.Take(t, Answer{Text: s})
	}
	return true
}

// AnswersFreely reports whether the answer to the open question is kept as
// typed.
func AnswersFreely(t *Turn) bool {
	return slices.Contains(t.reg.Forms[t.Talk.Kind].Free, t.Talk.Step)
}

// takesVerbatim gives all that was typed to the open question.
func (t *Turn) takesVerbatim(s string) bool {
	if isStop(s) {
		t.StopDialogue()
	} else {
		t.reg.Forms[t.Talk.Kind].Take(t, Answer{Text: s})
	}
	return true
}

// StopDialogue ends the dialogue under way; what was typed into it can be
// resumed.
func (t *Turn) StopDialogue() {
	if t.Talk.Kind == "" {
		t.SayMsg("dialogue.none")
		return
	}
	waits := t.Talk.Parked != nil && t.Talk.Parked.Back
	t.stayLeft()
	kept, stays := t.park(), ""
	if kept {
		t.Talk.Parked.Stopped = true
	}
	if left := t.reg.Forms[t.Talk.Kind].Left; left != nil {
		stays = left(t)
	}
	t.EndDialogue()
	r := t.Say(say.Para(cmp.Or(stays, msg("dialogue.stopped"))))
	if kept || waits {
		r.Offer(t.Button(msg("button.go-on"), "resume"))
	}
}

// Resume takes up the dialogue that was left unfinished.
func (t *Turn) Resume() {
	p := t.Talk.Parked
	if p == nil {
		t.SayMsg("dialogue.nothing-parked")
		return
	}
	t.Talk.Parked = nil
	t.Talk.Kind, t.Talk.Step, t.Talk.Draft = p.Kind, p.Step, p.Draft
	t.AskAgain()
}

// AskAgain repeats the open question of the dialogue under way.
func (t *Turn) AskAgain() {
	t.waits = false
	if f := t.reg.Forms[t.Talk.Kind]; f.Again != nil {
		f.Again(t)
		return
	}
	t.EndDialogue()
	t.SayMsg("dialogue.nothing-parked")
}

// routePress checks that the button belongs to this household and calls its
// verb.
func (t *Turn) routePress() {
	parts := strings.Split(t.Event.Press, ":")
	if len(parts) < 2 || parts[0] != t.mark() {
		t.SayMsg("press.foreign")
		return
	}
	do, ok := t.reg.Presses[parts[1]]
	if Stale(t, !ok) {
		return
	}
	if t.Talk.Kind == "sure" && parts[1] != "answer" && parts[1] != "all" { // it was tapped, or something else was
		t.EndDialogue()
	}
	do(t, parts[2:])
	if settling[parts[1]] && len(t.Replies) > 0 {
		t.Replies[0].Settles = t.Replies[0].InPlace != ""
	}
}

// settling are the verbs of buttons under what fell due: an answer replaces the
// reminder even if other messages have come since.
var settling = map[string]bool{"due": true, "stool": true}

// pressAnswer gives a button's value to the dialogue whose open question the
// button belongs to.
func (t *Turn) pressAnswer(args []string) {
	f, ok := t.reg.Forms[t.Talk.Kind]
	if Stale(t, !ok || len(args) < 2 || args[0] != t.Talk.Step) {
		return
	}
	f.Take(t, Answer{Press: strings.Join(args[1:], ":")})
	if len(t.Replies) > 0 {
		t.Replies[0].InPlace = t.Event.Message
	}
}
