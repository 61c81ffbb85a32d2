package weighing

import (
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
	w, err := span.BodyWeight(s, t.Home.Units)
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
