package weighing

import (
	"math"
	"strconv"
	"strings"

	"bowlwright/bot/dogs"
	"bowlwright/bot/read"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
)

// BareWeight takes a message that is nothing but a weight as a weigh-in.
func BareWeight(t *talk.Turn, s string) bool {
	w, err := read.BodyWeight(s, t.Home.Units)
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

// pressScore begins the three questions.
func pressScore(t *talk.Turn, args []string) {
	d := t.Dog(talk.Arg(args, 0))
	if d == nil {
		t.SayMsg("press.gone")
		return
	}
	askScoreStep(t, d, "ribs", weighDraft{Dog: d.ID})
}

// scoreStep is one of the three questions: its answers and the points that
// each stands for. The points are those of the lines of the nine-point scale
// in which such ribs, waist and tuck stand (WSAVA body condition chart, from
// memory).
type scoreStep struct {
	name    string
	answers []scoreAnswer
}

type scoreAnswer struct {
	word   string
	points float64
}

var scoreSteps = []scoreStep{
	{"ribs", []scoreAnswer{{"seen", 2}, {"easy", 4.5}, {"fat", 6.5}, {"hard", 8.5}}},
	{"waist", []scoreAnswer{{"deep", 3}, {"clear", 4.75}, {"slight", 6.5}, {"none", 8.25}}},
	{"tuck", []scoreAnswer{{"deep", 3}, {"clear", 4.75}, {"slight", 6.5}, {"none", 8.25}}},
}

// ribsWeigh is how much the ribs count beside waist and tuck: what is felt
// says more than what is seen under a coat (our own choice).
const ribsWeigh = 2

func askScoreStep(t *talk.Turn, d *planner.Dog, step string, w weighDraft) {
	t.Ask("weigh", step, w)
	r := t.SayMsg("score."+step, "dog", d.Name)
	for _, s := range scoreSteps {
		if s.name == step {
			for _, a := range s.answers {
				r.Offer(t.Answer(msg("score."+step+"-"+a.word), step, a.word))
			}
		}
	}
}

// takeScoreStep takes the answer to one of the three questions.
func takeScoreStep(t *talk.Turn, d *planner.Dog, w weighDraft, in talk.Answer) {
	step := t.Talk.Step
	word := ""
	for _, s := range scoreSteps {
		for _, a := range s.answers {
			if s.name == step && (in.Press == a.word || in.Press == "" && strings.EqualFold(strings.TrimSpace(in.Text), msg("score."+step+"-"+a.word))) {
				word = a.word
			}
		}
	}
	if word == "" {
		if in.Press == "" && t.Aside(in.Text) {
			return
		}
		t.SayMsg("score.choose")
		askScoreStep(t, d, step, w)
		return
	}
	switch step {
	case "ribs":
		w.Ribs = word
		askScoreStep(t, d, "waist", w)
	case "waist":
		w.Waist = word
		askScoreStep(t, d, "tuck", w)
	default:
		t.EndDialogue()
		recordScore(t, d, ScoreOf(w.Ribs, w.Waist, word), true)
	}
}

// ScoreOf is the body condition that three answers lead to.
func ScoreOf(ribs, waist, tuck string) int {
	sum, weight := 0.0, 0.0
	for i, word := range []string{ribs, waist, tuck} {
		for _, a := range scoreSteps[i].answers {
			if a.word == word {
				f := 1.0
				if i == 0 {
					f = ribsWeigh
				}
				sum, weight = sum+f*a.points, weight+f
			}
		}
	}
	if weight == 0 {
		return 0
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
	head := msg("score.done", "dog", d.Name, "score", score, "line", msg("condition."+strconv.Itoa(score)))
	if workedOut {
		head = say.JoinParas(head, msg("score.worked-out"))
	}
	was := ""
	if before > 0 && before != score {
		was = msg("score.was", "score", before)
	}
	n := planner.AmountOf(*d, t.Event.At)
	out := t.Say(say.Para(head), say.Para(was), say.Para(dogs.NeedText(t, *d, n)), say.Para(dogs.GateText(t, *d, n)))
	out.InPlace = t.Event.Message
	out.Offer(t.UndoButton(), t.Button(msg("button.trend"), "weigh", "trend", d.ID))
}

// sayScoreDue asks for the body conditions that are due.
func sayScoreDue(t *talk.Turn, due []planner.Occurrence) {
	for _, o := range due {
		r := t.Reminder(o.Reminder)
		if r == nil {
			continue
		}
		var row []say.Button
		var names []string
		for _, d := range dogs.AskedOf(t, r) {
			names = append(names, d.Name)
			row = append(row, t.Button(d.Name, "weigh", "score", d.ID))
		}
		if len(row) == 0 {
			continue
		}
		out := t.Say(say.Para(msg("score.due", "dogs", say.List(names))), say.Para(talk.LateText(t, o)))
		for len(row) > 0 {
			n := min(3, len(row))
			out.Offer(row[:n]...)
			row = row[n:]
		}
		out.Offer(talk.DueButton(t, msg("button.later"), "later", o))
	}
}
