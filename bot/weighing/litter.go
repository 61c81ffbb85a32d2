package weighing

import (
	"math"

	"bowlwright/bot/dogs"
	"bowlwright/bot/read"
	"bowlwright/bot/read/span"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
)

// mostAhead is how far ahead pups may be due: with a week for a day of mating
// that was not the right one (our own choice).
const mostAhead = planner.CarryingDays + 7

// saidDue takes the day on which pups are due.
func saidDue(t *talk.Turn, d *planner.Dog, s read.Sentence) {
	due, err := span.Date(s.Words, t.Event.At)
	if err != nil {
		due, err = span.Date("in "+s.Words, t.Event.At) // "due pups 3 weeks"
	}
	switch told := read.ToldOfDog(t.Event.Text, t.Home.Units, t.Event.At); {
	case err != nil && told.Stage == planner.Pregnant && d.Stage != told.Stage:
		changed := *d // the day is asked for
		changed.Stage, changed.Litter = told.Stage, planner.Litter{}
		setLitter(t, d, changed)
		return
	case err != nil:
		t.SayMsg("litter.unread", "text", say.Short(s.Words))
		return
	}
	expect(t, d, due)
}

// saidMated takes the day on which a bitch was mated, or how long ago that was.
func saidMated(t *talk.Turn, d *planner.Dog, s read.Sentence) {
	mated := t.Date().AddDays(-int(s.Days))
	if s.Days == 0 {
		from, until, ok := read.PastSpan(s.Words, t.Event.At)
		if !ok || from != until && until != t.Date() {
			t.SayMsg("litter.unread", "text", say.Short(s.Words))
			return
		}
		mated = from
	}
	expect(t, d, mated.AddDays(planner.CarryingDays))
}

// dueDialogue takes the day that was asked for; anything else is something else.
func dueDialogue(t *talk.Turn, dog string, in talk.Answer) {
	t.EndDialogue()
	due, err := span.Date(in.Text, t.Event.At)
	if d := t.Dog(dog); d != nil && d.Stage == planner.Pregnant && err == nil {
		expect(t, d, due)
		return
	}
	t.RouteWords(in.Text)
}

// expect notes when pups are due.
func expect(t *talk.Turn, d *planner.Dog, due planner.Date) {
	if ahead := t.Date().DaysTo(due); ahead < 0 || ahead > mostAhead {
		t.SayMsg("litter.far", "day", t.DateText(due), "days", planner.CarryingDays)
		return
	}
	changed := *d
	if changed.Stage != planner.Pregnant {
		changed.Stage, changed.Litter = planner.Pregnant, planner.Litter{}
	}
	if changed.Litter.Due != due {
		changed.Litter.Due, changed.Litter.AgreedTo = due, ""
	}
	setLitter(t, d, changed)
}

// saidBorn takes when pups were born, and how many.
func saidBorn(t *talk.Turn, d *planner.Dog, s read.Sentence) {
	born, _, named := read.DayAsked(t.AsTyped(), t.Event.At)
	if d.Stage == planner.Nursing && !d.Litter.Whelped.IsZero() && !named { // how many there are now
		born = d.Litter.Whelped
	}
	if s.Words != "" {
		from, until, ok := read.PastSpan(s.Words, t.Event.At)
		if !ok || from != until {
			t.SayMsg("litter.unread", "text", say.Short(s.Words))
			return
		}
		born = from
	}
	nurses(t, d, int(s.Count), born)
}

// saidNursed takes how many pups a bitch nurses, and in which week.
func saidNursed(t *talk.Turn, d *planner.Dog, s read.Sentence) {
	born := d.Litter.Whelped
	switch {
	case s.Factor > 0:
		born = t.Date().AddDays(-7*int(s.Factor-1) - 3) // the middle of that week
	case s.Days > 0:
		born = t.Date().AddDays(-int(s.Days))
	}
	nurses(t, d, int(s.Count), born)
}

// nurses notes a litter; 0 pups and a zero day are not told.
func nurses(t *talk.Turn, d *planner.Dog, pups int, born planner.Date) {
	if pups > planner.MostPups || !born.IsZero() && born.DaysTo(t.Date()) > mostAhead {
		t.SayMsg("litter.unread", "text", say.Short(t.Event.Text))
		return
	}
	changed := *d
	l := &changed.Litter
	if changed.Stage != planner.Nursing || !born.IsZero() && l.Whelped != born {
		l.Pups, l.Whelped, l.AgreedTo = 0, born, ""
	}
	if pups > 0 && l.Pups != pups {
		l.Pups, l.AgreedTo = pups, ""
	}
	if changed.Stage != planner.Nursing && changed.InForce.Ground == planner.OnVet {
		changed.Withdraw() // a vet's figure from before the birth is not for nursing
	}
	changed.Stage = planner.Nursing
	setLitter(t, d, changed)
}

// saidWeaned takes that a bitch nurses no more.
func saidWeaned(t *talk.Turn, d *planner.Dog, _ read.Sentence) {
	if d.Stage == "" {
		t.SayMsg("litter.none", "dog", d.Name)
		return
	}
	changed := *d
	changed.Stage = ""
	setLitter(t, d, changed)
}

// setLitter keeps what was told of a litter.
func setLitter(t *talk.Turn, d *planner.Dog, changed planner.Dog) {
	if talk.Unfit(t, changed) {
		return
	}
	if d.Stage != "" && changed.Stage == d.Stage && changed.Litter == d.Litter {
		sayLitter(t, d)
		return
	}
	dogs.ChangeDog(t, d.ID, changed)
}

// litters follows what a turn changed about a litter: it records when that was
// told, asks for what is missing, and shows the steps that follow.
func litters(t *talk.Turn) {
	if t.Undone != nil || t.Before == nil {
		return
	}
	for _, d := range t.Dogs() {
		var was planner.Dog
		if o := t.Before.Dog(d.ID); o != nil {
			was = *o
		}
		if was.Stage == d.Stage && (d.Stage == "" || was.Litter == d.Litter) {
			continue
		}
		if was.Stage != d.Stage {
			d.TakeStage(was.Stage, was.Kcal, t.Event.At)
		}
		planStage(t, d)
		if d.Stage == was.Stage && was.Litter.AgreedTo == d.Stage && d.Litter.AgreedTo != d.Stage {
			t.SayMsg("litter.steps-rest", "dog", d.Name, "kcal", say.Kcal(planner.AmountOf(*d, t.Event.At).Kcal))
		}
		if d.Stage != "" && d.Litter.AgreedTo != d.Stage {
			sayLitter(t, d)
		}
	}
}

// sayLitter asks for what is missing of a litter, or shows the steps that its
// equation gives, for a vet to agree to.
func sayLitter(t *talk.Turn, d *planner.Dog) {
	l, stage := d.Litter, string(d.Stage)
	steps := planner.LitterSteps(*d)
	switch {
	case d.Stage == planner.Pregnant && l.Due.IsZero(), d.Stage == planner.Nursing && (l.Whelped.IsZero() || l.Pups == 0):
		t.SayMsg("litter.ask-"+stage, "dog", d.Name)
		if d.Stage == planner.Pregnant && t.Talk.Kind == "" {
			t.Ask("litter", "due", d.ID)
		}
		return
	case len(steps) == 0:
		t.SayMsg("litter.no-steps", "dog", d.Name).Offer(dogs.VetKcalButton(t, d))
		return
	}
	text := msg("litter.steps-pregnant", "dog", d.Name, "kcal", say.Kcal(steps[0].Kcal), "day", t.DateText(steps[0].From), "due", t.DateText(l.Due))
	var rows []say.TableRow
	if d.Stage == planner.Nursing {
		text = msg("litter.steps-nursing", "dog", d.Name, "n", l.Pups)
		for _, s := range steps {
			rows = append(rows, say.TableRow{Label: msg("litter.week", "n", s.Week, "day", t.DateText(s.From)), Cells: []string{say.Kcal(s.Kcal) + " kcal"}})
		}
		if k := d.OwnAmount(t.Event.At); k > 0 {
			rows = append(rows, say.TableRow{Label: msg("litter.weaned"), Cells: []string{say.Kcal(k) + " kcal"}})
		}
	}
	t.Say(say.Para(text), say.TableBlock(rows), say.Para(msg("litter.to-vet"))).
		Offer(t.Button(msg("button.litter-agreed"), "amount", "litter", d.ID, stage)).Offer(dogs.VetKcalButton(t, d))
}

// agreeLitter follows the steps that a vet agreed to from now on.
func agreeLitter(t *talk.Turn, d *planner.Dog, stage string) {
	if talk.Stale(t, string(d.Stage) != stage || len(planner.LitterSteps(*d)) == 0) {
		return
	}
	t.Mutate("did.kcal-set", d.Name)
	d.Litter.Agreed, d.Litter.AgreedTo = t.Event.At, d.Stage
	if d.Stage == planner.Nursing {
		d.Litter.AgreedEnd = d.OwnAmount(t.Event.At)
	}
	k, come := planner.LitterKcal(*d, t.Date())
	if !come { // until the first of them, what it was fed before
		k = d.Kcal
		if !(k > 0) {
			k = dogs.ByEquation(t, d)
		}
	}
	setAmount(t, d, k, planner.OnSchedule)
	talk.SayDone(t, msg("litter.agreed", "dog", d.Name, "kcal", say.Kcal(k), "day", t.DateText(t.Date())))
}

// litterCome takes a step for a litter that has come, or asks whether the
// pregnancy or the nursing is over. It reports whether a dog has a litter.
func litterCome(t *talk.Turn, d *planner.Dog) bool {
	defer planStage(t, d)
	if stillWithPups(t, d) {
		return true
	}
	if d.Stage == "" {
		return false
	}
	if end := planner.LitterEnd(*d); !t.Date().Before(end) {
		over := t.Button(msg("button.litter-over-"+string(d.Stage)), "class", d.ID, "over")
		t.Say(say.Para(msg("litter.over-"+string(d.Stage), "dog", d.Name))).Offer(over)
		return true
	}
	k, ok := planner.LitterKcal(*d, t.Date())
	if !ok || d.InForce.Ground != planner.OnSchedule || math.Abs(float64(k/d.Kcal)-1) < stepWorth {
		return true
	}
	now := d.Kcal
	takeStep(t, d, k)
	t.Say(say.Para(msg("litter.step", "dog", d.Name, "kcal", say.Kcal(k), "now", say.Kcal(now)))).Offer(dogs.VetKcalButton(t, d))
	return true
}

// stillWithPups reports that a dog is still fed as if it had its pups, and
// asks.
func stillWithPups(t *talk.Turn, d *planner.Dog) bool {
	p, ok := planner.AfterLitter(*d, t.Event.At)
	if ok {
		askProposal(t, d, p)
	}
	return ok
}

// askProposal asks whether a proposal is wanted, and says why it is one.
func askProposal(t *talk.Turn, d *planner.Dog, p planner.Proposal) {
	text := msg("litter.own", "dog", d.Name, "kcal", say.Kcal(p.Kcal), "now", say.Kcal(p.From))
	if p.Why != "" {
		text = msg("amount.ask", "why", msg("equation."+string(p.Why)), "dog", d.Name, "kcal", say.Kcal(p.Kcal), "now", say.Kcal(p.From))
	}
	askAmount(t, d, p, text)
}
