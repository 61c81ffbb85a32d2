package bot

import (
	"math"
	"strconv"
	"strings"

	"bowlwright/planner"
)

// askScore asks for the body condition, with a line for each point. Where a
// carer is not sure, three plain questions lead to it.
func (t *turn) askScore(d *planner.Dog) {
	t.talk.Dog = d.ID
	t.sayConditions(d, func(n string) Button { return t.button(n, "weigh", "scored", d.ID, n) }).
		offer(t.button(msg("button.three-questions"), "score", d.ID))
}

// sayConditions says the nine points of the scale, a line and a button each.
func (t *turn) sayConditions(d *planner.Dog, button func(n string) Button) *Reply {
	var lines []string
	var buttons []Button
	for i := 1; i <= 9; i++ {
		n := strconv.Itoa(i)
		lines = append(lines, n+"  "+msg("condition."+n))
		buttons = append(buttons, button(n))
	}
	return t.say(para(msg("ask.dog-condition", "dog", d.Name)), para(strings.Join(lines, "\n"))).
		offer(buttons[:3]...).offer(buttons[3:6]...).offer(buttons[6:]...)
}

// pressScore begins the three questions.
func (t *turn) pressScore(args []string) {
	d := t.dog(arg(args, 0))
	if d == nil {
		t.sayMsg("press.gone")
		return
	}
	t.askScoreStep(d, "ribs", weighDraft{Dog: d.ID})
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

func (t *turn) askScoreStep(d *planner.Dog, step string, w weighDraft) {
	t.ask("weigh", step, w)
	r := t.sayMsg("score."+step, "dog", d.Name)
	for _, s := range scoreSteps {
		if s.name == step {
			for _, a := range s.answers {
				r.offer(t.answer(msg("score."+step+"-"+a.word), step, a.word))
			}
		}
	}
}

// takeScoreStep takes the answer to one of the three questions.
func (t *turn) takeScoreStep(d *planner.Dog, w weighDraft, in answer) {
	step := t.talk.Step
	word := ""
	for _, s := range scoreSteps {
		for _, a := range s.answers {
			if s.name == step && (in.press == a.word || in.press == "" && strings.EqualFold(strings.TrimSpace(in.text), msg("score."+step+"-"+a.word))) {
				word = a.word
			}
		}
	}
	if word == "" {
		if in.press == "" && t.aside(in.text) {
			return
		}
		t.sayMsg("score.choose")
		t.askScoreStep(d, step, w)
		return
	}
	switch step {
	case "ribs":
		w.Ribs = word
		t.askScoreStep(d, "waist", w)
	case "waist":
		w.Waist = word
		t.askScoreStep(d, "tuck", w)
	default:
		t.endDialogue()
		t.recordScore(d, scoreOf(w.Ribs, w.Waist, word), true)
	}
}

// scoreOf is the body condition that three answers lead to.
func scoreOf(ribs, waist, tuck string) int {
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
func (t *turn) recordScore(d *planner.Dog, score int, workedOut bool) {
	changed := *d
	changed.Condition = score
	if err := changed.Validate(t.event.At); err != nil || score < 1 {
		t.say(para(msg("wrong.condition")))
		return
	}
	before := d.Condition
	t.mutate("did.scored", d.Name)
	d.Condition = score
	t.note(planner.Entry{Kind: planner.Scored, Dog: d.ID, Score: score})
	defer t.goalAfterScore(d) // its question comes after what the score says
	head := msg("score.done", "dog", d.Name, "score", score, "line", msg("condition."+strconv.Itoa(score)))
	if workedOut {
		head = joinParas(head, msg("score.worked-out"))
	}
	was := ""
	if before > 0 && before != score {
		was = msg("score.was", "score", before)
	}
	n := planner.AmountOf(*d, t.event.At)
	out := t.say(para(head), para(was), para(t.needText(*d, n)), para(t.gateText(*d, n)))
	out.InPlace = t.event.Message
	out.offer(t.undoButton(), t.button(msg("button.trend"), "weigh", "trend", d.ID))
}

// sayScoreDue asks for the body conditions that are due.
func (t *turn) sayScoreDue(due []planner.Occurrence) {
	for _, o := range due {
		r := t.reminder(o.Reminder)
		if r == nil {
			continue
		}
		var row []Button
		var names []string
		for _, d := range t.askedOf(r) {
			names = append(names, d.Name)
			row = append(row, t.button(d.Name, "weigh", "score", d.ID))
		}
		if len(row) == 0 {
			continue
		}
		out := t.say(para(msg("score.due", "dogs", list(names))), para(t.lateText(o)))
		for len(row) > 0 {
			n := min(3, len(row))
			out.offer(row[:n]...)
			row = row[n:]
		}
		out.offer(t.dueButton(msg("button.later"), "later", o))
	}
}
