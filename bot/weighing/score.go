package weighing

import (
	"cmp"
	"math"
	"slices"
	"strconv"
	"strings"

	"bowlwright/bot/dogs"
	"bowlwright/bot/read"
	"bowlwright/bot/read/span"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
	"bowlwright/planner/judge"
	"bowlwright/store"
)

// SaidBeside keeps the weight that a text tells beside something else, of the one dog
// that is spoken of.
func SaidBeside(t *talk.Turn, s string) bool {
	kg := read.Find("weight-beside", strings.ToLower(s))
	_, _, named := talk.DogsIn(t, s)
	d := talk.TalkedOf(t)
	if len(named) == 1 {
		d = named[0]
	}
	if kg == "" || d == nil || t.Talk.Kind != "" || len(named) > 1 {
		return false
	}
	return WeighWords(t, d.Name+" "+kg)
}

// weightAsked shows a dog's weights, after the one that the question tells: "weighed her at
// the vets 13.6, has she lost?".
func weightAsked(t *talk.Turn, d *planner.Dog) {
	if !SaidBeside(t, t.AsTyped()) {
		showWeights(t, d)
	}
}

// BareWeight takes a message that is nothing but a weight as a weigh-in.
func BareWeight(t *talk.Turn, s string) bool {
	w, err := span.BodyWeight(read.LastWeight(s, t.Names(), t.Home.Units, t.Event.At), t.Home.Units)
	if err != nil || len(t.Home.Dogs) == 0 || strings.Contains(s, "/") {
		return false
	}
	weighSome(t, weighed{weight: w})
	return true
}

func setCondition(t *talk.Turn, d *planner.Dog, s read.Sentence) {
	changed := *d
	changed.Condition = s.Condition
	if err := changed.Validate(t.Event.At); err != nil {
		t.Say(say.Para(msg("wrong.condition")))
		return
	}
	if changed.Condition == d.Condition && d.Condition > 0 { // looked at anew, and the same
		recordScore(t, d, changed.Condition, false)
		return
	}
	dogs.ChangeDog(t, d.ID, changed)
}

// askScore asks for the body condition, with a line for each point. Where a
// carer is not sure, three plain questions lead to it.
func askScore(t *talk.Turn, d *planner.Dog) {
	t.Talk.Dog = d.ID
	dogs.SayConditions(t, d, func(n string) say.Button { return t.Button(n, "weigh", "scored", d.ID, n) }).
		Offer(t.Button(msg("button.three-questions"), "score", d.ID))
}

// ScoreWords takes a figure for the body condition that is asked for, or of which the
// text speaks, and asks which where it gives two. It reports whether a text was that.
func ScoreWords(t *talk.Turn, s string) bool {
	_, _, named := talk.DogsIn(t, s)
	d := talk.TheDog(t)
	if len(named) == 1 {
		d = named[0]
	}
	asked := slices.ContainsFunc(t.Offered("weigh"), func(args []string) bool { return args[0] == "scored" })
	score, or := read.ScoreSaid(talk.WithoutDogs(t, s))
	if d == nil || score == 0 || or == 0 && !asked || !asked && !read.Says("of-condition", s) {
		return false
	}
	if or == 0 {
		recordScore(t, d, score, false)
		return true
	}
	out := t.SayMsg("score.or", "dog", d.Name, "n", score, "or", or)
	for _, n := range []string{strconv.Itoa(score), strconv.Itoa(or)} {
		out.Offer(t.Button(n, "weigh", "scored", d.ID, n))
	}
	return true
}

// pressScore begins the three questions.
func pressScore(t *talk.Turn, args []string) {
	if talk.Gone(t, t.Dog(talk.Arg(args, 0)) == nil) {
		return
	}
	threeQuestions().ask(t, chosen{Dog: args[0]})
}

// scorePoints are the answers to the three questions and the points that each
// stands for. The points are those of the lines of the nine-point scale in which
// such ribs, waist and tuck stand (WSAVA body condition chart, from memory).
var scorePoints = []struct {
	name, words string
	points      [4]float64
}{
	{"ribs", "seen easy fat hard", [4]float64{2, 4.5, 6.5, 8.5}},
	{"waist", "deep clear slight none", [4]float64{3, 4.75, 6.5, 8.25}},
	{"tuck", "deep clear slight none", [4]float64{3, 4.75, 6.5, 8.25}},
}

// ribsWeigh is how much the ribs count beside waist and tuck: what is felt
// says more than what is seen under a coat (our own choice).
const ribsWeigh = 2

// threeQuestions lead to a dog's body condition.
func threeQuestions() *choices {
	c := &choices{kind: "score", done: func(t *talk.Turn, d *planner.Dog, words []string) { recordScore(t, d, ScoreOf(words...), true) }}
	for _, q := range scorePoints {
		c.choose(q.name, strings.Fields(q.words)...)
	}
	return c
}

// ScoreOf is the body condition that the answers about ribs, waist and tuck lead
// to, 0 where one is none.
func ScoreOf(answers ...string) int {
	sum, weight := 0.0, 0.0
	for i, word := range answers {
		at := slices.Index(strings.Fields(scorePoints[i].words), word)
		if at < 0 {
			return 0
		}
		f := 1.0
		if i == 0 {
			f = ribsWeigh
		}
		sum, weight = sum+f*scorePoints[i].points[at], weight+f
	}
	return int(math.Round(sum / weight))
}

// recordScore enters a body condition.
func recordScore(t *talk.Turn, d *planner.Dog, score int, workedOut bool) {
	changed := *d
	changed.Condition = score
	if err := changed.Validate(t.Event.At); err != nil || score < 1 {
		t.Say(say.Para(msg("wrong.condition")))
		return
	}
	before := d.Condition
	t.Mutate("did.scored", d.Name)
	d.Condition = score
	t.Note(planner.Entry{Kind: planner.Scored, Dog: d.ID, Score: score})
	defer goalAfterScore(t, d) // its question comes after what the score says
	head := say.JoinParas(msg("score.done", "dog", d.Name, "score", score, "line", msg("condition."+strconv.Itoa(score))), say.Where(workedOut, msg("score.worked-out")))
	was := say.Where(before > 0 && before != score, msg("score.was", "score", before))
	n := planner.AmountOf(*d, t.Event.At)
	t.InPlace(t.Say(say.Para(head), say.Para(was), say.Para(dogs.NeedText(t, *d, n)), say.Whole(dogs.GateText(*d, n))).
		Offer(t.UndoButton(), t.Button(msg("button.trend"), "weigh", "trend", d.ID)))
}

// sayScoreDue asks for the body conditions that are due.
func sayScoreDue(t *talk.Turn, r *planner.Reminder, o planner.Occurrence) {
	if asked := dogs.AskedOf(t, r); len(asked) > 0 {
		t.Say(say.Para(msg("score.due", "dogs", talk.NamesOf(asked))), say.Para(talk.LateText(t, o))).
			Rows(3, say.Each(asked, func(d *planner.Dog) say.Button { return t.Button(d.Name, "weigh", "score", d.ID) })...).
			Offer(talk.DueButton(t, msg("button.later"), "later", o))
	}
}

// choices are questions about a dog, one after another, each answered by one of
// its buttons.
type choices struct {
	kind  string // of the form; its messages begin with it
	steps []talk.Step[chosen]
	done  func(t *talk.Turn, d *planner.Dog, words []string)
}

// chosen is the answers so far, one word each.
type chosen struct {
	Dog   string   `json:"dog"`
	Words []string `json:"words,omitempty"`
}

// choose adds a question with the words of its answers.
func (c *choices) choose(name string, words ...string) {
	key := c.kind + "." + name
	c.steps = append(c.steps, talk.Step[chosen]{Name: name, Repeats: true,
		Ask: func(t *talk.Turn, of *chosen) {
			r := t.SayMsg(key, "dog", t.Dog(of.Dog).Name)
			for _, w := range words {
				r.Offer(t.Answer(msg(key+"-"+w), name, w))
			}
		},
		Take: func(_ *talk.Turn, of *chosen, in talk.Answer) string {
			for _, w := range words {
				if in.Press == w || in.Press == "" && strings.EqualFold(strings.TrimSpace(in.Text), msg(key+"-"+w)) {
					of.Words = append(of.Words, w)
					return ""
				}
			}
			return msg(c.kind + ".choose")
		}})
}

// ask asks the first question without an answer, or takes the answers.
func (c *choices) ask(t *talk.Turn, of chosen) {
	if n := len(of.Words); n < len(c.steps) {
		t.Ask(c.kind, c.steps[n].Name, of)
		c.steps[n].Ask(t, &of)
		return
	}
	t.EndDialogue()
	c.done(t, t.Dog(of.Dog), of.Words)
}

// take takes an answer.
func (c *choices) take(t *talk.Turn, of chosen, in talk.Answer) {
	if t.Dog(of.Dog) == nil || len(of.Words) >= len(c.steps) {
		t.Gone()
		return
	}
	if c.steps[len(of.Words)].Heard(t, &of, in) {
		c.ask(t, of)
	}
}

// fourQuestions come before a dog is fed more.
func fourQuestions() *choices {
	c := &choices{kind: "four", done: noteFour}
	c.choose("bowl", "yes", "no")
	c.choose("signs", "no", "yes")
	c.choose("hungry", "no", "yes")
	c.choose("reason", "work", "season", "scale", "none")
	return c
}

// fourReasons are why a dog may need more, by the word of the answer.
var fourReasons = map[string]planner.NeedCause{"work": planner.MoreWork, "season": planner.Season, "scale": planner.NewScale}

// noteFour enters the four answers, and says what they make of the suggestion.
func noteFour(t *talk.Turn, d *planner.Dog, words []string) {
	e := judge.Answers{Leaves: words[0] == "no", Signs: words[1] == "yes", Starving: words[2] == "yes", Reason: fourReasons[words[3]]}
	t.Mutate("did.answered", d.Name)
	_, before, _ := Judge(t, d)
	t.Note(planner.Entry{Kind: planner.Answered, Dog: d.ID, Text: e.Code()})
	h, decision, posts := Judge(t, d)
	head := ""
	switch {
	case decision.Outcome == judge.Suggest && decision.First == "":
		head = msg("four.done")
	case decision.Outcome == judge.Suggest, decision.Outcome == judge.VetLine, decision.Reason == judge.ScaleWait:
	case before.Outcome == judge.Suggest:
		head = msg("four.gone", "dog", d.Name)
	default: // they were asked before there was one
		head = msg("four.noted")
	}
	r := t.Say(say.Para(head), say.Whole(warningFirst(t, d, h, decision, posts)), say.Para(otherThanWarning(t, d, h, decision, posts)))
	offerDecision(t, r, d, h, decision)
	r.Offer(t.UndoButton())
}

// noteVet notes since when a vet knows of a dog's change of weight, today where no other
// day is told: earlier weigh-ins give no more warnings. Then it says what there is to
// say now.
func noteVet(t *talk.Turn, d *planner.Dog, found string) {
	day, _, named := read.DayAsked(read.Without("well-since", found), t.Event.At)
	if !named || t.Date().Before(day) {
		day = t.Date()
	}
	at := say.Choose(day == t.Date(), t.Event.At, planner.Instant(day, say.Noon, t.Event.At.Location()))
	t.Mutate("did.vet-saw", d.Name)
	t.Note(planner.Entry{Kind: planner.VetSaw, Dog: d.ID, At: at, Date: day, Text: found})
	h, decision, posts := Judge(t, d)
	suggestion := ""
	if decision.Outcome == judge.Suggest {
		suggestion = say.JoinParas(warningFirst(t, d, h, decision, posts), otherThanWarning(t, d, h, decision, posts))
	}
	out := t.Say(say.Whole(msg("decide.vet-saw", "dog", d.Name)), say.Whole(dogs.SignHolds(t, d)), say.Para(say.Where(found == "", msg("vet.found"))), say.Para(suggestion))
	if suggestion != "" {
		offerDecision(t, out, d, h, decision)
	}
	out.Offer(t.UndoButton(), t.Button(msg("button.bowl"), "bowl", "dog", d.ID))
	if less := read.Find("vet-less", found); less != "" {
		t.As(d.Name+" gets "+less+", the vet says", func() bool { return talk.Sentence(t, t.Event.Text) })
	}
	if diet := vetDiet(t, d, found); diet != "" {
		t.As(d.Name+" gets only "+diet, func() bool {
			t.GoTo(read.Sentence{Intent: read.EatsOther, Dog: d.ID})
			return true
		})
	}
}

// vetDiet is the plain food for some days that a vet has ordered for a dog, by what is told
// now or was told of it in the last days: "then bland chicken and rice 2 days".
func vetDiet(t *talk.Turn, d *planner.Dog, told string) string {
	diet := read.Find("vet-diet", told)
	for _, e := range t.Entries(store.EntryQuery{Dog: d.ID, Kinds: []planner.EntryKind{planner.SignSeen}, From: t.Event.At.AddDate(0, 0, -3)}) {
		if read.Says("names-vet", e.Text) {
			diet = cmp.Or(diet, read.Find("vet-diet", e.Text))
		}
	}
	return diet
}
