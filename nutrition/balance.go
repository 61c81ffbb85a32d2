package nutrition

import "context"

// BalanceRequest is a mixture that is to meet a profile.
type BalanceRequest struct {
	Mixture Mixture
	Profile *Profile
	Basis   Basis
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
	Allowed []*Food
	// Exclude reports the foods that must not be in the answer; nil: none. Such
	// items of the mixture are taken out, and the others, but for the locked
	// ones, make up for their energy.
	Exclude func(*Food) bool
	// Explain asks for Changes and Closers, which take longer.
	Explain bool
	// Closers are the foods that Closers are chosen from; nil: the compiled-in
	// table.
	Closers FoodList

	adding bool // run only the search, which may bring energy in
}

// BalanceOutcome says what became of a request.
type BalanceOutcome string

// The outcomes. "It cannot be met" and "nobody knows whether it can" are two
// different ones.
const (
	// BalanceMet: one answer, which meets everything.
	BalanceMet BalanceOutcome = "met"
	// BalanceMetAsKnown: one answer, which meets everything of which there are
	// figures. What its Gaps list cannot be shown with these foods: none of
	// those that could be more has a figure for it.
	BalanceMetAsKnown BalanceOutcome = "met-as-known"
	// BalanceCompromise: these foods cannot meet everything. There are a gentle
	// and a thorough answer, or one where both are the same. Where no change
	// is for the better there is one answer, which changes nothing.
	BalanceCompromise BalanceOutcome = "compromise"
	// BalanceNotComputed: no answer was found, which says nothing about the
	// mixture. Problem tells why.
	BalanceNotComputed BalanceOutcome = "could-not-compute"
)

// BalanceProblem says why there is no answer.
type BalanceProblem string

// The reasons for no answer.
const (
	NoProfileProblem BalanceProblem = "no-profile"
	NoEnergyProblem  BalanceProblem = "no-energy" // no food of known energy, or none left after Exclude
	// TooMuchExcluded: what Exclude leaves cannot stand in for what it takes
	// out, which is then more than half of the energy, or too much for the
	// weight that the other foods may reach. Foods are to be swapped first.
	TooMuchExcluded BalanceProblem = "too-much-excluded"
	NothingFree     BalanceProblem = "all-locked" // nothing may change
	StoppedProblem  BalanceProblem = "stopped"    // the solver took too long, or the context ended
	SolverProblem   BalanceProblem = "solver"     // the solver failed
	RecheckProblem  BalanceProblem = "recheck"    // what it found is not what was asked
)

// BalanceKind says how hard an answer pushes.
type BalanceKind string

// The kinds of answers.
const (
	MetAnswer      BalanceKind = "met"
	GentleAnswer   BalanceKind = "gentle"   // leaves a gap where closing it would change much
	ThoroughAnswer BalanceKind = "thorough" // changes more to close more
)

// BalanceResult is what Balance returns.
type BalanceResult struct {
	Outcome BalanceOutcome
	Problem BalanceProblem // why the outcome is BalanceNotComputed; else empty
	Answers []BalanceAnswer
	Solves  int // linear programs solved
	Stopped int // linear programs given up because they took too long
}

// BalanceAnswer is a changed mixture.
type BalanceAnswer struct {
	Kind BalanceKind
	// Items are those of the mixture in their order, then the foods added.
	Items []BalanceItem
	// Mixture is the changed mixture, without the items that are gone, and
	// Analysis what it gives.
	Mixture  Mixture
	Analysis Analysis
	Gaps     []Gap // what it does not meet, in the profile's order, then bands
	// Changes gives a reason for each changed item, the largest change first.
	Changes []ChangeReason
	Closers Together // what would close the gaps, from outside of the request
}

// BalanceItem is one food of an answer.
type BalanceItem struct {
	Index    int // in the request's mixture; -1 of a food that was added
	Food     *Food
	Old, New Grams
}

// Demand is one limit: the minimum or, where Most, the maximum of a subject,
// or of a band where Band is not empty.
type Demand struct {
	Subject Subject
	Band    Band
	Most    bool
}

// Gap is a demand that is not met.
type Gap struct {
	Demand
	// Value is what there is, on the basis and in the subject's unit; of a
	// band the share (0 to 1).
	Value Value
	Limit float64
	// Missing is how far from the limit the worse end of Value is, and Part the
	// same as a part of the limit. For a maximum or a share it may be an
	// excess.
	Missing, Part float64
	// NotKnown: figures are missing, so that there may be no gap at all.
	NotKnown bool
}

// ChangeReason says why an item of an answer changed.
type ChangeReason struct {
	Item  int   // index in BalanceAnswer.Items
	Delta Grams // New - Old
	// Confirmed: without Cause alone more than half of the change would go;
	// what would be left is WithoutIt.
	Confirmed bool
	Cause     Demand
	WithoutIt Grams
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
func Balance(ctx context.Context, req BalanceRequest) BalanceResult {
	md, problem := newBalanceModel(&req)
	if problem != "" {
		return BalanceResult{Outcome: BalanceNotComputed, Problem: problem}
	}
	b := &balancer{ctx: ctx, md: md}
	b.run()
	if len(b.res.Answers) == 0 {
		b.res.Outcome = BalanceNotComputed
	} else {
		b.res.Problem = ""
	}
	return b.res
}

// balancer works on one request.
type balancer struct {
	ctx  context.Context
	md   *balanceModel
	res  BalanceResult
	last *solved // to start the next solve from
}

// run finds the answers.
func (b *balancer) run() {
	same, met := b.md.unchanged()
	if met {
		b.finish(BalanceMet, &balanced{BalanceAnswer: same})
		return
	}
	all, ok := b.answer(MetAnswer, pushAll, &same)
	switch {
	case b.ctx.Err() != nil:
		return
	case ok && len(all.Gaps) == 0:
		b.finish(BalanceMet, &all)
		return
	case ok && !b.md.closable(all.Gaps, b.last) && b.md.better(&all.BalanceAnswer, &same):
		b.finish(BalanceMetAsKnown, &all)
		return
	}
	found := ok
	for _, k := range [...]struct {
		kind BalanceKind
		push float64
	}{{GentleAnswer, pushGentle}, {ThoroughAnswer, pushThorough}} {
		a, ok := b.answer(k.kind, k.push, &same)
		found = found || ok
		if n := len(b.res.Answers); ok && b.md.better(&a.BalanceAnswer, &same) && (n == 0 || b.md.buys(&a.BalanceAnswer, &b.res.Answers[n-1], worthMore)) {
			b.finish(BalanceCompromise, &a)
		}
	}
	switch {
	case len(b.res.Answers) > 0:
	case ok && b.md.better(&all.BalanceAnswer, &same):
		all.Kind = GentleAnswer // the only one there is, whatever it takes
		b.finish(BalanceCompromise, &all)
	case !found:
	case b.md.short > 0:
		b.res.Problem = TooMuchExcluded
	default:
		same.Kind = GentleAnswer
		b.finish(BalanceCompromise, &balanced{BalanceAnswer: same})
	}
}

// finish takes an answer into the result.
func (b *balancer) finish(outcome BalanceOutcome, a *balanced) {
	b.res.Outcome = outcome
	if b.md.req.Explain {
		b.explain(a)
	}
	b.res.Answers = append(b.res.Answers, a.BalanceAnswer)
}
