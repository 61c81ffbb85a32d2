package talk

import (
	"bowlwright/bot/say"
	"bowlwright/planner"
)

// Step is one question of a form; T is what its answer goes into: a dog, a
// reminder, the answers so far.
type Step[T any] struct {
	Name string
	Ask  func(t *Turn, of *T) // says the question and offers its buttons
	// Take reads the answer and returns what is wrong with it, empty where it was
	// taken.
	Take func(t *Turn, of *T, in Answer) (wrong string)
	Free bool // any words answer it, so that a question is looked for first
	Time bool // its answer may have a time in words
	// Repeats says that it is asked again, buttons and all, with what is wrong.
	Repeats bool
	Is      string // its name, as the reading of messages knows it
}

// WithDraft gives what an open question needs its draft.
func WithDraft[D any](do func(t *Turn, d D)) func(*Turn) {
	return func(t *Turn) {
		var d D
		t.Draft(&d)
		do(t, d)
	}
}

// TakeDraft gives the answer to an open question with its draft.
func TakeDraft[D any](take func(t *Turn, d D, in Answer)) func(*Turn, Answer) {
	return func(t *Turn, in Answer) { WithDraft(func(t *Turn, d D) { take(t, d, in) })(t) }
}

// StepNamed is the step with a name, nil where there is none.
func StepNamed[T any](steps []Step[T], name string) *Step[T] {
	return planner.FirstOf(steps, func(s *Step[T]) bool { return s.Name == name })
}

// FormOf is a form with what its steps say of it. Where it does not say itself how an
// answer is taken, the step that asked takes it.
func FormOf[T any](f Form, steps ...Step[T]) Form {
	f.Asked = map[string]string{}
	if f.Take == nil {
		f.Take = TakeDraft(func(t *Turn, of T, in Answer) {
			if s := StepNamed(steps, t.Talk.Step); s != nil {
				s.Heard(t, &of, in)
			}
		})
		f.Again = WithDraft(func(t *Turn, of T) {
			if s := StepNamed(steps, t.Talk.Step); s != nil {
				s.Ask(t, &of)
			}
		})
	}
	for _, s := range steps {
		if s.Is != "" {
			f.Asked[s.Name] = s.Is
		}
		if s.Free {
			f.Free = append(f.Free, s.Name)
		}
		if s.Time {
			f.Times = append(f.Times, s.Name)
		}
	}
	return f
}

// Heard takes an answer, and reports whether it was one. Something else that was
// asked is answered and the question asked again; else it is said what is wrong.
func (s *Step[T]) Heard(t *Turn, of *T, in Answer) bool {
	if s.Interrupted(t, of, in) {
		return false
	}
	wrong := s.Take(t, of, in)
	if wrong != "" {
		s.Refuse(t, of, in, wrong)
	}
	return wrong == ""
}

// Interrupted answers a question typed where any words would be an answer.
func (s *Step[T]) Interrupted(t *Turn, of *T, in Answer) bool {
	if !s.Free || !Interrupted(t, in) {
		return false
	}
	t.Again(func() { s.Ask(t, of) })
	return true
}

// Refuse answers what is no answer: as something else, or by what is wrong with
// it, of which it reports true.
func (s *Step[T]) Refuse(t *Turn, of *T, in Answer, wrong string) bool {
	switch {
	case in.Press == "" && t.Aside(in.Text):
		t.Again(func() { s.Ask(t, of) })
		return false
	case in.Press == "" && s.Is == "which.dog" && Likeliest(t, in.Text).Intent == "stop": // a sentence names no dog
		t.StopDialogue()
		return false
	case in.Press == "" && s.Is == "which.dog" && t.Elsewhere(in.Text, func() { s.Ask(t, of) }):
		return false
	case s.Repeats:
		Wrong(t, wrong, func() { s.Ask(t, of) })
	default:
		t.Say(say.Para(wrong)).Offer(t.StopButton())
	}
	return true
}
