package publish

import (
	"cmp"
	"crypto/rand"
	"slices"
	"strings"

	"bowlwright/bot/read"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
	"bowlwright/store"
)

// mostQuestion is how many characters a question and an answer may have (our own
// choice).
const mostQuestion = 1000

// asks reports that a reader may ask the author.
func asks(p *store.Published, r store.Reader) bool {
	return p.Asking && p.Person != "" && !r.NoAsks && p.Withdrawn.At.IsZero()
}

func askButton(t *talk.Turn, p *store.Published) say.Button {
	return t.Button(msg("button.ask-author"), "ask", "write", p.Token)
}

// askTheAuthor begins a question about a recipe that the household keeps.
func askTheAuthor(t *talk.Turn, r *planner.Recipe, _ read.Sentence) {
	if r.From.Token == "" {
		t.SayMsg("ask.own-recipe", "recipe", r.Name)
		return
	}
	askQuestion(t, &saying{Token: r.From.Token})
}

// askable is what may be asked about; where it may not, it says why.
func askable(t *talk.Turn, token string) (p store.Published, r store.Reader, ok bool) {
	p, err := t.Snap.Published(token)
	if talk.Found(t, err) {
		r, ok = readerOf(t, token)
	}
	reading, err := t.Snap.Reading(t.Home.ID)
	talk.Found(t, err)
	switch {
	case !ok:
		t.SayMsg("press.gone")
	case !asks(&p, r):
		t.SayMsg("ask.closed")
	case len(open(r)) >= mostOpen:
		t.SayMsg("ask.open", "n", mostOpen)
	case tooMany(t, askedToday(t, reading), mostQuestions, "limit.questions"):
	default:
		return p, r, true
	}
	t.EndDialogue()
	return p, r, false
}

// readerOf is the household as a reader of what a token opens; ok is false where
// it is none.
func readerOf(t *talk.Turn, token string) (r store.Reader, ok bool) {
	r, ok, err := store.ReaderOf(t.Snap, token, t.Home.ID)
	talk.Found(t, err)
	return r, ok
}

// open are the questions of a reader that are not ended.
func open(r store.Reader) []store.Asked {
	return slices.DeleteFunc(slices.Clone(r.Asked), func(q store.Asked) bool { return q.Ended })
}

func askQuestion(t *talk.Turn, d *saying) {
	p, _, ok := askable(t, d.Token)
	if !ok {
		return
	}
	t.Ask("ask", "text", d)
	t.SayMsg("ask.what", "author", authorOf(&p.Published), "what", p.Title).Offer(t.StopButton())
}

// takeQuestion sends a question on. One that names a sign or a danger is
// answered here first: an author's answer may come tomorrow or never.
func takeQuestion(t *talk.Turn, d *saying, typed string) string {
	text := Text(typed)
	if wrong := troubleOf(plainTrouble, mostQuestion, msg("text.empty"))(text); wrong != "" {
		return wrong
	}
	p, r, ok := askable(t, d.Token)
	if !ok {
		return ""
	}
	held := typed == d.Text
	t.EndDialogue()
	if !held && answeredHere(t, typed) {
		holdBack(t, "ask", *d, typed)
		return ""
	}
	sendQuestion(t, p, r, text)
	return ""
}

func sendQuestion(t *talk.Turn, p store.Published, r store.Reader, text string) {
	// Ten characters are 50 bits: our own choice.
	q := store.Asked{ID: strings.ToLower(rand.Text()[:10]), Chat: t.Event.Chat, Person: t.Event.Person, Text: text, At: t.Event.At.UTC()}
	change(t, r, true, func(r *store.Reader) { r.Asked = append(current(t, r.Asked), q) })
	question := say.Reply{Body: []say.Block{say.Para(msg("ask.asks", "what", p.Title)), say.Whole(text), say.Para(msg("ask.how-to-answer"))}}
	toAuthor(t, &p, q, question, "answer", "end", "none")
	t.SayMsg("ask.sent", "author", authorOf(&p.Published)).
		Offer(t.Button(msg("button.show-name"), "ask", "name", p.Token, q.ID), t.Button(msg("button.end-asking"), "ask", "over", p.Token, q.ID))
}

// authorOf is the name under which something was published, a word for it where
// it is gone.
func authorOf(p *planner.Published) string { return cmp.Or(p.Author, msg("author.gone")) }

// replyToQuestion takes what is written in reply to a reader's question, or to
// its answer.
func replyToQuestion(t *talk.Turn, args []string, text string) bool {
	d := saying{Token: talk.Arg(args, 1), Question: talk.Arg(args, 2)}
	ask, take, kind := askAnswer, takeAnswer, "answer"
	switch talk.Arg(args, 0) {
	case "answer":
	case "more":
		ask, take, kind = askQuestion, takeQuestion, "ask"
	default:
		return false
	}
	t.Ask(kind, "text", d)
	form(kind, ask, take).Take(t, talk.Answer{Text: text})
	return true
}

// current are the questions that are open, or count still for their day.
func current(t *talk.Turn, all []store.Asked) []store.Asked {
	return slices.DeleteFunc(slices.Clone(all), func(q store.Asked) bool { return q.Ended && t.Event.At.Sub(q.At) >= aDay })
}

// toAuthor says something in the author's own chats, with what she can do about
// a question.
func toAuthor(t *talk.Turn, p *store.Published, q store.Asked, out say.Reply, verbs ...string) {
	members, err := t.Snap.Members(p.Household)
	talk.Found(t, err)
	out.Offer(say.Each(verbs, func(verb string) say.Button {
		return talk.ButtonOf(p.Household, msg("button.question-"+verb), "ask", verb, p.Token, q.ID)
	})...)
	hers := slices.DeleteFunc(slices.Clone(members), func(m store.Member) bool { return m.Person != p.Person })
	if len(hers) == 0 { // she published in a group
		hers = slices.DeleteFunc(members, func(m store.Member) bool { return m.Person != "" })
	}
	t.Tell(hers, out)
}

// toReader says something in the chat that a question came from.
func toReader(t *talk.Turn, r store.Reader, q store.Asked, out say.Reply) {
	home, err := t.Snap.Member(q.Chat, q.Person)
	if store.IsNotFound(err) {
		home, err = t.Snap.Member(q.Chat, "") // a group
	}
	if !talk.Found(t, err) || home != r.Household {
		return // who asked has left
	}
	t.Tell([]store.Member{{Chat: q.Chat, Person: q.Person}}, out)
}

// pressAsk does what a button about a question asks.
func pressAsk(t *talk.Turn, args []string) {
	verb, token, id := talk.Arg(args, 0), talk.Arg(args, 1), talk.Arg(args, 2)
	switch verb {
	case "write", "more":
		askQuestion(t, &saying{Token: token})
	case "name", "over":
		aboutMine(t, verb, token, id)
	case "answer":
		askAnswer(t, &saying{Token: token, Question: id})
	case "end", "none":
		endTheirs(t, verb, token, id)
	case "allow", "refuse":
		if p := mineOf(t, token); p != nil {
			setAsking(t, *p, verb == "allow")
		}
	default:
		t.SayMsg("press.stale")
	}
}

// aboutMine tells an author who asks, or ends a question, as its reader wants.
func aboutMine(t *talk.Turn, verb, token, id string) {
	p, err := t.Snap.Published(token)
	talk.Found(t, err)
	r, ok := readerOf(t, token)
	i := slices.IndexFunc(r.Asked, func(q store.Asked) bool { return q.ID == id && !q.Ended })
	if !ok || i < 0 {
		t.SayMsg("ask.over-already").InPlace = t.Event.Message
		return
	}
	change(t, r, true, func(r *store.Reader) {
		r.Asked[i].Named, r.Asked[i].Ended = verb == "name" || r.Asked[i].Named, verb == "over"
	})
	q := r.Asked[i]
	if verb == "name" {
		name := talk.NameOf(t, t.Event.Person)
		toAuthor(t, &p, q, say.Reply{Body: []say.Block{say.Para(msg("ask.is-named", "name", Line(name), "what", p.Title)), say.Para(quoted(q))}}, "answer", "end")
		t.SayMsg("ask.named", "name", name).Offer(t.Button(msg("button.end-asking"), "ask", "over", token, id)).InPlace = t.Event.Message
		return
	}
	toAuthor(t, &p, q, say.Reply{Body: []say.Block{say.Para(msg("ask.reader-ended", "what", p.Title)), say.Para(quoted(q))}})
	t.SayMsg("ask.ended").InPlace = t.Event.Message
}

// quoted is a question as its answer repeats it.
func quoted(q store.Asked) string { return msg("ask.quote", "text", say.Short(q.Text)) }

// change changes a reader, unless that was done elsewhere meanwhile.
func change(t *talk.Turn, r store.Reader, known bool, do func(*store.Reader)) {
	was := store.ReaderIs(r)
	if was.Asked = slices.Clone(r.Asked); !known {
		was = store.ReaderIs{Token: r.Token, Household: r.Household}
	}
	t.Expect(was)
	do(&r)
	t.Write(store.PutReader(r))
}

// theirs is a question that a reader asked about something of the household's;
// where it is over it says so.
func theirs(t *talk.Turn, token, id string) (p store.Published, r store.Reader, i int) {
	i = -1
	mine := mineOf(t, token)
	if mine == nil {
		return p, r, i
	}
	eachReader(t, token, func(one store.Reader) {
		if at := slices.IndexFunc(one.Asked, func(q store.Asked) bool { return q.ID == id && !q.Ended }); at >= 0 {
			r, i = one, at
		}
	})
	if i < 0 {
		t.EndDialogue()
		t.SayMsg("ask.over-already")
	}
	return *mine, r, i
}

func askAnswer(t *talk.Turn, d *saying) {
	p, r, i := theirs(t, d.Token, d.Question)
	if i < 0 {
		return
	}
	t.Ask("answer", "text", d)
	t.SayMsg("ask.answer", "what", p.Title, "question", quoted(r.Asked[i])).Offer(t.StopButton())
}

// takeAnswer sends an author's answer to who asked.
func takeAnswer(t *talk.Turn, d *saying, typed string) string {
	text := Text(typed)
	if wrong := troubleOf(textTrouble, mostQuestion, msg("text.empty"))(text); wrong != "" {
		return wrong
	}
	p, r, i := theirs(t, d.Token, d.Question)
	if i < 0 {
		return ""
	}
	t.EndDialogue()
	q := r.Asked[i]
	out := say.Reply{Body: []say.Block{say.Para(msg("ask.answers", "author", authorOf(&p.Published), "what", p.Title, "question", quoted(q))), say.Whole(text), say.Para(msg("ask.answer-is-hers"))}}
	out.Offer(talk.ButtonOf(r.Household, msg("button.ask-more"), "ask", "more", p.Token), talk.ButtonOf(r.Household, msg("button.end-asking"), "ask", "over", p.Token, q.ID))
	toReader(t, r, q, out)
	t.SayMsg("ask.answered").Offer(t.Button(msg("button.question-answer"), "ask", "answer", p.Token, q.ID), t.Button(msg("button.question-end"), "ask", "end", p.Token, q.ID),
		t.Button(msg("button.question-none"), "ask", "none", p.Token, q.ID))
	return ""
}

// endTheirs ends a reader's question, or all of the reader's for good.
func endTheirs(t *talk.Turn, verb, token, id string) {
	p, r, i := theirs(t, token, id)
	if i < 0 {
		return
	}
	q := r.Asked[i]
	change(t, r, true, func(r *store.Reader) {
		r.Asked[i].Ended = true
		if r.NoAsks = verb == "none"; r.NoAsks {
			for i := range r.Asked {
				r.Asked[i].Ended = true
			}
		}
	})
	toReader(t, r, q, say.Reply{Body: []say.Block{say.Para(msg("ask.author-ended", "author", authorOf(&p.Published), "what", p.Title)), say.Para(quoted(q))}})
	t.SayMsg("ask.ended").InPlace = t.Event.Message
}

// setAsking lets readers ask the author, or not any more.
func setAsking(t *talk.Turn, p store.Published, on bool) {
	put(t, &p, func() {
		if p.Asking = on; on {
			p.Person = t.Event.Person // whose chat they come to
		}
	})
	t.Say(say.Para(say.Choose(on, msg("ask.on", "what", p.Title), msg("ask.off", "what", p.Title)))).Offer(askingButton(t, p))
}

func askingButton(t *talk.Turn, p store.Published) say.Button {
	if p.Asking {
		return t.Button(msg("button.no-asking"), "ask", "refuse", p.Token)
	}
	return t.Button(msg("button.let-ask"), "ask", "allow", p.Token)
}
