// Package judge says whether a dog's daily amount is still right.
//
// HistoryOf makes weigh-ins and daily intake of the journal, CheckIns a
// distribution of the dog's own need (kcal per kg^0.75), Decide what to say of
// it: a step, a warning, or that the weight holds. GrowthOf judges a growing dog
// instead, PlanStart and ReachOf say where a plan to lose weight begins and
// ends, Unlikely which weight is asked about first. Adopt makes records of the
// amounts of a household from before they were records.
//
// The README of package planner tells the rules and how often they are right.
package judge
