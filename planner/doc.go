// Package planner holds what a household keeps and what follows from it:
// dogs, recipes, what a dog needs, portions, scaling, rounding to a kitchen
// scale, the bowl of the day, rotations and switches of food, when something
// falls due, and whether the amount is still right. README.md tells how it
// decides, and how often it is right.
//
// NeedOf is what an equation proposes, AmountOf what a dog is fed. The amount
// in force (Dog.Kcal, Dog.InForce) and the goal weight (Dog.SetGoal) are
// records: nothing changes them by itself. ProposeFor and ProposeAt say what a
// changed fact or a birthday asks for; a growing dog follows ScheduleOf, a
// bitch and her litter LitterSteps. Adopt makes such records of households
// from before them.
//
// HistoryOf makes weigh-ins and daily intake of the journal, CheckIns a
// distribution of the dog's own need, Decide what to say of it. GrowthOf
// judges a growing dog instead.
//
// Schedule.In(zone) says when something falls due, Agenda and NextDue with
// quiet hours, pauses and snoozes, CatchUp after downtime.
//
// It is pure: time and data come in as arguments; it neither stores nor
// prints. It returns values and typed errors; package bot makes sentences of
// them and package store keeps them.
package planner
