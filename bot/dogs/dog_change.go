package dogs

import (
	"math"
	"reflect"
	"strings"

	"bowlwright/bot/read"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
	"bowlwright/planner/illness"
)

// editDog asks the one question whose answer is to be changed.
func editDog(t *talk.Turn, d *planner.Dog, step string) {
	s := talk.StepNamed(dogSteps(), step)
	if talk.Stale(t, s == nil) {
		return
	}
	t.Ask("dog-edit", step, EditDraft{Dog: d.ID})
	s.Ask(t, d)
}

// dogEditDialogue takes the answer to the question that editDog asked.
func dogEditDialogue(t *talk.Turn, draft EditDraft, in talk.Answer) {
	d, s := t.Dog(draft.Dog), talk.StepNamed(dogSteps(), t.Talk.Step)
	if d == nil || s == nil {
		t.EndDialogue()
		t.SayMsg("press.stale")
		return
	}
	in = withNumber(in, draft.Number)
	changed := *d
	if ofAnother(t, d, s, in) || interrupted(t, s, d, in) {
		return
	}
	if wrong := s.Take(t, &changed, in); wrong != "" {
		if draft.Number = sayWrong(t, s, d, in, wrong); draft.Number != "" {
			t.Ask("dog-edit", s.Name, draft)
		}
		return
	}
	t.EndDialogue()
	if taken(t, d, changed.Name) {
		return
	}
	if s.Name == "health" && d.Health != "" {
		addHealth(t, d, changed)
		return
	}
	if s.Name == "ideal" && changed.Ideal != d.Ideal {
		typed := talk.GoalTyped{Dog: d, Goal: changed.Ideal}
		if t.Happened(&typed); typed.Asked {
			return
		}
	}
	if s.Name == "kcal" && changed.InForce.Ground != planner.OnEquation {
		said := read.Sentence{Intent: read.DogKcal, Dog: d.ID, Kcal: changed.Kcal}
		if changed.ByVet {
			said.Intent = read.VetKcal
		}
		t.GoTo(said)
		return
	}
	ChangeDog(t, d.ID, changed)
}

// ChangeDog keeps a changed dog and shows it.
func ChangeDog(t *talk.Turn, id string, changed planner.Dog) {
	d := t.Dog(id)
	if changed.Weight != d.Weight { // alone, from its field: a weigh-in like another
		t.Happened(&talk.DogWeighed{Dog: d, Weight: changed.Weight})
		return
	}
	if reflect.DeepEqual(changed, *d) {
		showDog(t, d, msg("dog.as-told"))
		return
	}
	t.Mutate("did.dog-changed", changed.Name)
	if !changed.Born.Equal(d.Born) && len(changed.FeedAt) == 0 {
		mealsForAge(t, &changed)
	}
	byAge := planner.MealsByAge(changed, t.Event.At)
	few := changed.Meals != d.Meals && changed.Meals < byAge && planner.Growing(changed, t.Event.At)
	notes := say.JoinParas(JumpText(t, *d, changed), say.Where(few, msg("meals.few", "dog", changed.Name, "n", byAge)))
	talk.NoteDog(t, *d, changed)
	moved := len(changed.FeedAt) > 0 && len(changed.FeedAt) != changed.Meals && changed.Meals != d.Meals
	if moved {
		changed.FeedAt = planner.DefaultMealTimes(changed.Meals)
		notes = say.JoinParas(notes, msg("feeding.moved", "dog", changed.Name, "times", say.ClocksText(changed.FeedAt)))
	}
	was := *d
	weaned := was.EndSteps(&changed, t.Event.Person, t.Event.At)
	*d = changed
	if weaned {
		t.Note(talk.AmountEntry(d))
		notes = say.JoinParas(notes, msg("dog.weaned", "dog", d.Name, "kcal", say.Kcal(d.Kcal), "then", say.Kcal(was.Kcal)))
	}
	if moved {
		t.Happened(&talk.DogTimesMoved{Dog: d})
	}
	t.Talk.Dog = id
	showDog(t, d, say.JoinParas(changedText(t, &was, d), notes), t.UndoButton())
	t.Happened(&talk.DogChanged{Was: was, Dog: d})
}

func setMeals(t *talk.Turn, d *planner.Dog, s read.Sentence) {
	changed := *d
	if wrong := takeDogMeals(t, &changed, talk.Answer{Text: say.Trim(s.Count, 2)}); wrong != "" {
		t.Say(say.Para(wrong))
		return
	}
	ChangeDog(t, d.ID, changed)
}

// setStage notes that a dog is pregnant or nursing, or is so no more. An
// illness that is named is noted, else it is asked for by name: it is what a
// vet plans by.
func setStage(t *talk.Turn, d *planner.Dog, s read.Sentence) {
	changed := *d
	switch s.Stage {
	case read.StagePregnant, read.StageNursing:
		breeds(&changed, s.Stage)
	case read.StageNone:
		if changed.Stage = ""; d.Stage == "" { // "he isn't fat"
			takeFacts(t, d, planner.Dog{})
			return
		}
	case read.StageOverweight:
		t.GoTo(read.Sentence{Intent: read.AskScore, Dog: d.ID})
		return
	default:
		told := talk.SignTold{Dog: d}
		if t.Happened(&told); told.Taken {
			return
		}
		if len(illness.In(t.Event.Text)) == 0 || !DogFacts(t, t.Event.Text) {
			editDog(t, d, "health")
		}
		return
	}
	t.Happened(&talk.LitterTold{Dog: d, Told: changed})
}

// renameDog gives a dog another name. A dog that is not named as it is called
// may be another one: "rename Rosie's sister to Pepper".
func renameDog(t *talk.Turn, d *planner.Dog, s read.Sentence) {
	name, sure := NewName(t.Event.Text, d.Name, s.Words)
	if !sure {
		t.SayMsg("rename.which-dog", "name", name, "dogs", talk.NamesOf(t.Dogs()), "example", t.Home.Dogs[0].Name)
		return
	}
	changed := *d
	if wrong := takeDogName(t, &changed, talk.Answer{Text: name}); wrong != "" {
		t.Say(say.Para(wrong))
		return
	}
	if !taken(t, d, changed.Name) {
		ChangeDog(t, d.ID, changed)
	}
}

// taken says so where another dog has a name, and reports whether one has.
func taken(t *talk.Turn, d *planner.Dog, name string) bool {
	other := t.DogNamed(name)
	is := other != nil && other.ID != d.ID
	if is {
		t.SayMsg("dog.name-taken", "name", name)
	}
	return is
}

// NewName is the new name among the words behind the old one; sure says that
// the old one stands there in full and with nothing else.
func NewName(text, old, words string) (name string, sure bool) {
	if i := strings.LastIndex(strings.ToLower(words), " to "); i >= 0 && !read.HasName(text, "to "+words) {
		return strings.TrimSpace(words[i+len(" to "):]), false
	}
	if all := strings.Fields(words); strings.HasPrefix(words, "'s ") || strings.HasPrefix(words, "’s ") { // "call Pip's brother Max"
		return all[len(all)-1], false
	}
	return words, read.HasName(text, old)
}

// jump is how far a weight may move at once before it is said, as a fraction:
// common veterinary practice calls 5 % in a month fast.
const jump = 0.10

// JumpText says that a weight is far from the one before.
func JumpText(t *talk.Turn, before, after planner.Dog) string {
	grows := planner.AmountOf(after, t.Event.At).Gate == planner.GrowthGate
	change := float64(after.Weight/before.Weight) - 1
	way := msg(say.Choose(change < 0, "dog.weight-less", "dog.weight-more"))
	return say.Where(math.Abs(change) > jump && !grows, msg("dog.weight-jump", "percent", say.Percent(math.Abs(change)), "way", way, "before", say.BodyWeight(before.Weight, t.Home.Units)))
}
