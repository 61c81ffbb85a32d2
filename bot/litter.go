package bot

import (
	"math"

	"bowlwright/bot/read"
	"bowlwright/planner"
)

// mostAhead is how far ahead pups may be due: with a week for a day of mating
// that was not the right one (our own choice).
const mostAhead = planner.CarryingDays + 7

// onMother answers a sentence about a litter: of the dog that is named, or of the
// only one that carries or nurses pups.
func onMother(do func(*turn, *planner.Dog, read.Sentence)) func(*turn, read.Sentence) {
	return func(t *turn, s read.Sentence) {
		var mothers []string
		for _, d := range t.home.Dogs {
			if d.Stage != "" {
				mothers = append(mothers, d.ID)
			}
		}
		if s.Dog == "" && len(mothers) == 1 {
			s.Dog = mothers[0]
		}
		onDog(do)(t, s)
	}
}

// saidDue takes the day on which pups are due.
func (t *turn) saidDue(d *planner.Dog, s read.Sentence) {
	due, err := read.Date(s.Words, t.event.At)
	if err != nil {
		t.sayMsg("litter.unread", "text", short(s.Words))
		return
	}
	t.expect(d, due)
}

// saidMated takes the day on which a bitch was mated, or how long ago that was.
func (t *turn) saidMated(d *planner.Dog, s read.Sentence) {
	mated := t.date().AddDays(-int(s.Days))
	if s.Days == 0 {
		from, until, ok := read.PastSpan(s.Words, t.event.At)
		if !ok || from != until && until != t.date() {
			t.sayMsg("litter.unread", "text", short(s.Words))
			return
		}
		mated = from
	}
	t.expect(d, mated.AddDays(planner.CarryingDays))
}

// expect notes when pups are due.
func (t *turn) expect(d *planner.Dog, due planner.Date) {
	if ahead := t.date().DaysTo(due); ahead < 0 || ahead > mostAhead {
		t.sayMsg("litter.far", "day", t.dateText(due), "days", planner.CarryingDays)
		return
	}
	changed := *d
	if changed.Stage != planner.Pregnant {
		changed.Stage, changed.Litter = planner.Pregnant, planner.Litter{}
	}
	if changed.Litter.Due != due {
		changed.Litter.Due, changed.Litter.AgreedTo = due, ""
	}
	t.setLitter(d, changed)
}

// saidBorn takes when pups were born, and how many.
func (t *turn) saidBorn(d *planner.Dog, s read.Sentence) {
	born := t.date()
	if s.Words != "" {
		from, until, ok := read.PastSpan(s.Words, t.event.At)
		if !ok || from != until {
			t.sayMsg("litter.unread", "text", short(s.Words))
			return
		}
		born = from
	}
	t.nurses(d, int(s.Count), born)
}

// saidNursed takes how many pups a bitch nurses, and in which week.
func (t *turn) saidNursed(d *planner.Dog, s read.Sentence) {
	born := d.Litter.Whelped
	switch {
	case s.Factor > 0:
		born = t.date().AddDays(-7*int(s.Factor-1) - 3) // the middle of that week
	case s.Days > 0:
		born = t.date().AddDays(-int(s.Days))
	}
	t.nurses(d, int(s.Count), born)
}

// nurses notes a litter; 0 pups and a zero day are not told.
func (t *turn) nurses(d *planner.Dog, pups int, born planner.Date) {
	if pups > planner.MostPups || !born.IsZero() && born.DaysTo(t.date()) > mostAhead {
		t.sayMsg("litter.unread", "text", short(t.event.Text))
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
	changed.Stage = planner.Nursing
	t.setLitter(d, changed)
}

// saidWeaned takes that a bitch nurses no more.
func (t *turn) saidWeaned(d *planner.Dog, _ read.Sentence) {
	if d.Stage == "" {
		t.sayMsg("litter.none", "dog", d.Name)
		return
	}
	changed := *d
	changed.Stage = ""
	t.setLitter(d, changed)
}

// breeds makes a dog pregnant or nursing; a litter of before is forgotten.
func breeds(d *planner.Dog, stage string) {
	if d.Stage == "" {
		d.Litter = planner.Litter{}
	}
	d.Stage = planner.Stage(stage)
}

// setLitter keeps what was told of a litter.
func (t *turn) setLitter(d *planner.Dog, changed planner.Dog) {
	if err := changed.Validate(t.event.At); err != nil {
		t.say(para(fieldText(err, t.home.Units)))
		return
	}
	if d.Stage != "" && changed.Stage == d.Stage && changed.Litter == d.Litter {
		t.sayLitter(d)
		return
	}
	t.changeDog(d.ID, changed)
}

// litters follows what a turn changed of a litter: it keeps when that was told,
// asks for what is missing, and shows the steps that follow.
func (t *turn) litters() {
	if t.undone != nil || t.before == nil {
		return
	}
	for i := range t.home.Dogs {
		d := &t.home.Dogs[i]
		var was planner.Dog
		for _, o := range t.before.Dogs {
			if o.ID == d.ID {
				was = o
			}
		}
		if was.Stage == d.Stage && (d.Stage == "" || was.Litter == d.Litter) {
			continue
		}
		if was.Stage != d.Stage {
			d.TakeStage(was.Stage, was.Kcal, t.event.At)
		}
		t.planStage(d)
		if d.Stage != "" && d.Litter.AgreedTo != d.Stage {
			t.sayLitter(d)
		}
	}
}

// sayLitter asks for what is missing of a litter, or shows the steps that its
// equation gives, for a vet to agree to.
func (t *turn) sayLitter(d *planner.Dog) {
	l, stage := d.Litter, string(d.Stage)
	steps := planner.LitterSteps(*d)
	switch {
	case d.Stage == planner.Pregnant && l.Due.IsZero(), d.Stage == planner.Nursing && (l.Whelped.IsZero() || l.Pups == 0):
		t.sayMsg("litter.ask-"+stage, "dog", d.Name)
		return
	case len(steps) == 0:
		t.sayMsg("litter.no-steps", "dog", d.Name).offer(t.vetKcalButton(d))
		return
	}
	text := msg("litter.steps-pregnant", "dog", d.Name, "kcal", kcal(steps[0].Kcal), "day", t.dateText(steps[0].From), "due", t.dateText(l.Due))
	blocks := []Block{para(text)}
	if d.Stage == planner.Nursing {
		var rows []tableRow
		for _, s := range steps {
			rows = append(rows, tableRow{msg("litter.week", "n", s.Week, "day", t.dateText(s.From)), []string{kcal(s.Kcal) + " kcal"}})
		}
		blocks = []Block{para(msg("litter.steps-nursing", "dog", d.Name, "n", l.Pups)), tableBlock(rows)}
	}
	t.say(append(blocks, para(msg("litter.to-vet")))...).
		offer(t.button(msg("button.litter-agreed"), "amount", "litter", d.ID, stage)).offer(t.vetKcalButton(d))
}

// agreeLitter follows the steps that a vet agreed to from now on.
func (t *turn) agreeLitter(d *planner.Dog, stage string) {
	if string(d.Stage) != stage || len(planner.LitterSteps(*d)) == 0 {
		t.sayMsg("press.stale")
		return
	}
	t.mutate("did.kcal-set", d.Name)
	d.Litter.Agreed, d.Litter.AgreedTo = t.event.At, d.Stage
	k, come := planner.LitterKcal(*d, t.date())
	if !come { // until the first of them what it was fed before it was told
		k = d.Kcal
		if !(k > 0) {
			k = t.byEquation(d)
		}
	}
	t.setAmount(d, k, planner.OnSchedule)
	t.settled(msg("litter.agreed", "dog", d.Name, "kcal", kcal(k), "day", t.dateText(t.date())))
}

// litterCome takes a step for a litter that has come, or asks whether the
// pregnancy or the nursing is over. It reports whether a dog has a litter.
func (t *turn) litterCome(d *planner.Dog) bool {
	defer t.planStage(d)
	if p, ok := planner.AfterLitter(*d, t.event.At); ok {
		t.askProposal(d, p)
		return true
	}
	if d.Stage == "" {
		return false
	}
	if end := planner.LitterEnd(*d); !t.date().Before(end) {
		over := t.button(msg("button.litter-over-"+string(d.Stage)), "class", d.ID, "over")
		t.say(para(msg("litter.over-"+string(d.Stage), "dog", d.Name))).offer(over)
		return true
	}
	k, ok := planner.LitterKcal(*d, t.date())
	if !ok || d.InForce.Ground != planner.OnSchedule || math.Abs(float64(k/d.Kcal)-1) < stepWorth {
		return true
	}
	now := d.Kcal
	d.PutInForce(k, planner.OnSchedule, d.InForce.By, t.event.At)
	t.noteForGood(amountEntry(d))
	t.say(para(msg("litter.step", "dog", d.Name, "kcal", kcal(k), "now", kcal(now)))).offer(t.vetKcalButton(d))
	return true
}

// stillWithPups reports that a dog is still fed as it was with its pups, and asks.
func (t *turn) stillWithPups(d *planner.Dog) bool {
	p, ok := planner.AfterLitter(*d, t.event.At)
	if ok {
		t.askProposal(d, p)
	}
	return ok
}

// askProposal asks whether a proposal is wanted, and says why it is one.
func (t *turn) askProposal(d *planner.Dog, p planner.Proposal) {
	if p.Why == "" {
		t.askAmount(d, p, msg("litter.own", "dog", d.Name, "kcal", kcal(p.Kcal), "now", kcal(p.From)))
		return
	}
	t.askChange(d, p)
}

// stageText is a stage with what is known of the litter.
func (t *turn) stageText(d *planner.Dog) string {
	switch l := d.Litter; {
	case d.Stage == planner.Pregnant && !l.Due.IsZero():
		return msg("litter.due", "day", t.dateText(l.Due))
	case d.Stage == planner.Nursing && l.Pups > 0 && !l.Whelped.IsZero():
		return msg("litter.nursing", "n", l.Pups, "day", t.dateText(l.Whelped))
	}
	return string(d.Stage)
}
