package adjust

import (
	"context"

	"bowlwright/nutrition"
)

// Request is a mixture that is to meet a profile.
type Request struct {
	Mixture nutrition.Mixture
	Profile *nutrition.Profile
	Basis   nutrition.Basis
	// Bands asks for the usual shares by body part too. The lower limits of
	// bone and fish, and the upper one of meat beside bone, hold only where
	// there is bone, or fish, already.
	Bands bool
	// Locked are the indexes of items that stay as they are.
	Locked map[int]bool
	// LetGo are the indexes of items that may vanish. Every other one keeps
	// at least half of its weight.
	LetGo map[int]bool
	// Allowed are foods and supplements that may be added. Those whose energy
	// is not known, seaweed whose iodine is not known, and bone of mammals
	// that the mixture does not have yet are left out.
	Allowed []*nutrition.Food
	// Exclude reports the foods that must not be in the answer; nil: none. Such
	// items of the mixture are taken out, and the others, but for the locked
	// ones, make up for their energy.
	Exclude func(*nutrition.Food) bool
	// Explain asks for Changes and Closers, which take longer.
	Explain bool
	// Closers are the foods that Closers are chosen from; nil: the compiled-in
	// table.
	Closers FoodList

	adding bool // run only the search, which may bring energy in
}

// Outcome says what became of a request.
type Outcome string

// The outcomes. "It cannot be met" and "nobody knows whether it can" are two
// different ones.
const (
	// Met: one answer, which meets everything.
	Met Outcome = "met"
	// MetAsKnown: one answer, which meets everything of which there are
	// figures. What its Gaps list cannot be shown with these foods: none of
	// those that could be more has a figure for it.
	MetAsKnown Outcome = "met-as-known"
	// Compromise: these foods cannot meet everything. There are a gentle
	// and a thorough answer, or one where both are the same. Where no change
	// is for the better there is one answer, which changes nothing.
	Compromise Outcome = "compromise"
	// NotComputed: no answer was found, which says nothing about the
	// mixture. Problem tells why.
	NotComputed Outcome = "could-not-compute"
)

// Problem says why there is no answer.
type Problem string

// The reasons for no answer.
const (
	NoProfile Problem = "no-profile"
	NoEnergy  Problem = "no-energy" // no food of known energy, or none left after Exclude
	// TooMuchExcluded: what Exclude leaves cannot stand in for what it takes
	// out, which is then more than half of the energy, or too much for the
	// weight that the other foods may reach. Foods are to be swapped first.
	TooMuchExcluded Problem = "too-much-excluded"
	NothingFree     Problem = "all-locked" // nothing may change
	Stopped         Problem = "stopped"    // the solver took too long, or the context ended
	SolverFailed    Problem = "solver"     // the solver failed
	RecheckFailed   Problem = "recheck"    // what it found is not what was asked
)

// Kind says how hard an answer pushes.
type Kind string

// The kinds of answers.
const (
	MetAnswer      Kind = "met"
	GentleAnswer   Kind = "gentle"   // leaves a gap where closing it would change much
	ThoroughAnswer Kind = "thorough" // changes more to close more
)

// Result is what Balance returns.
type Result struct {
	Outcome Outcome
	Problem Problem // why the outcome is NotComputed; else empty
	Answers []Answer
}

// Answer is a changed mixture.
type Answer struct {
	Kind Kind
	// Items are those of the mixture in their order, then the foods added.
	Items []Amount
	// Mixture is the changed mixture, without the items that are gone, and
	// Analysis what it gives.
	Mixture  nutrition.Mixture
	Analysis nutrition.Analysis
	Gaps     []Gap // what it does not meet, in the profile's order, then bands
	// Changes gives a reason for each changed item, the largest change first.
	Changes []Reason
	Closers Together // what would close the gaps, from outside of the request
}

// Amount is one food of an answer.
type Amount struct {
	Index    int // in the request's mixture; -1 of a food that was added
	Food     *nutrition.Food
	Old, New nutrition.Grams
}

// Demand is one limit: the minimum or, where Most, the maximum of a subject,
// or of a band where Band is not empty.
type Demand struct {
	Subject nutrition.Subject
	Band    nutrition.Band
	Most    bool
}

// Gap is a demand that is not met.
type Gap struct {
	Demand
	// Value is what there is, on the basis and in the subject's unit; of a
	// band the share (0 to 1).
	Value nutrition.Value
	Limit float64
	// Missing is how far from the limit the worse end of Value is, and Part the
	// same as a part of the limit. For a maximum or a share it may be an
	// excess.
	Missing, Part float64
	// NotKnown: figures are missing, so that there may be no gap at all.
	NotKnown bool
}

// Reason says why an item of an answer changed.
type Reason struct {
	Item  int             // index in Answer.Items
	Delta nutrition.Grams // New - Old
	// Confirmed: without Cause alone more than half of the change would go;
	// what would be left is WithoutIt.
	Confirmed bool
	Cause     Demand
	WithoutIt nutrition.Grams
	// Several, where not Confirmed, are the demands that ask for the change
	// together, the strongest pull first. Empty where nothing but energy and
	// weight, which stay, asks for it.
	Several []Demand
	// Excluded: the item went because the request excludes it.
	Excluded bool
}

// How hard the answers push: the cost of missing one demand whole, where
// changing every item by its own weight costs 1 each. Measured on 570 recipes
// that cannot meet everything, 1000 changes two thirds of the weight for
// hardly less of a gap than 100.
const (
	pushAll      = 1000
	pushThorough = 100
	pushGentle   = 30
)

// Balance changes the amounts of a mixture as little as it can, so that it
// meets a profile at the same energy.
//
// The worse end of every range counts: the low one against minimums, the high
// one against maximums, as in Analyse, so an answer that meets everything is
// Enough in every row. What is not known of a food counts for nothing toward a
// minimum. Toward a maximum, more of the food counts as the richest of its kind
// in the request whose figure is known, and less of it as nothing. Answers
// weigh at most 1.25 times what the mixture weighed. No food but muscle meat
// grows to more than three times its weight or a quarter of the mixture,
// whichever is more; with Bands, plants grow to no more than their usual share
// of it.
//
// No answer makes anything worse: what the mixture has enough of stays enough,
// and what it lacks does not get less. That does not hold where Exclude takes
// energy out of it, because what is left is no recipe yet.
//
// Items without a food, without weight or without known energy stay as they
// are. Every answer is checked against the demands themselves before it is
// returned.
func Balance(ctx context.Context, req Request) Result {
	md, problem := newModel(&req)
	if problem != "" {
		return Result{Outcome: NotComputed, Problem: problem}
	}
	b := &balancer{ctx: ctx, md: md}
	b.run()
	if len(b.res.Answers) == 0 {
		b.res.Outcome = NotComputed
	} else {
		b.res.Problem = ""
	}
	return b.res
}

// balancer works on one request.
type balancer struct {
	ctx  context.Context
	md   *model
	res  Result
	last *solved // to start the next solve from
}

// run finds the answers.
func (b *balancer) run() {
	same, met := b.md.unchanged()
	if met {
		b.finish(Met, &balanced{Answer: same})
		return
	}
	all, ok := b.answer(MetAnswer, pushAll, &same)
	switch {
	case b.ctx.Err() != nil:
		return
	case ok && len(all.Gaps) == 0:
		b.finish(Met, &all)
		return
	case ok && !b.md.closable(all.Gaps, b.last) && b.md.better(&all.Answer, &same):
		b.finish(MetAsKnown, &all)
		return
	}
	found := ok
	for _, k := range [...]struct {
		kind Kind
		push float64
	}{{GentleAnswer, pushGentle}, {ThoroughAnswer, pushThorough}} {
		a, ok := b.answer(k.kind, k.push, &same)
		found = found || ok
		if n := len(b.res.Answers); ok && b.md.better(&a.Answer, &same) && (n == 0 || b.md.buys(&a.Answer, &b.res.Answers[n-1], worthMore)) {
			b.finish(Compromise, &a)
		}
	}
	switch {
	case len(b.res.Answers) > 0:
	case ok && b.md.better(&all.Answer, &same):
		all.Kind = GentleAnswer // the only one there is, whatever it takes
		b.finish(Compromise, &all)
	case !found:
	case b.md.short > 0:
		b.res.Problem = TooMuchExcluded
	default:
		same.Kind = GentleAnswer
		b.finish(Compromise, &balanced{Answer: same})
	}
}

// finish takes an answer into the result.
func (b *balancer) finish(outcome Outcome, a *balanced) {
	b.res.Outcome = outcome
	if b.md.req.Explain {
		b.explain(a)
	}
	b.res.Answers = append(b.res.Answers, a.Answer)
}
