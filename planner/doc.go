// Package planner holds what a household keeps and what follows from it:
// dogs, recipes, what a dog needs, scaling, rotations and switches of food, and
// when something falls due. Package judge says whether the amount is still right
// (README.md tells how it decides, and how often it is right); package portions
// makes of an amount what goes into the bowl; package larder works out packs, what
// to buy and what it costs; package edition carries recipes to other households;
// package illness reads which conditions notes name.
//
// NeedOf is what an equation proposes, AmountOf what a dog is fed. The amount
// in force (Dog.Kcal, Dog.InForce) and the goal weight (Dog.SetGoal) are
// records: nothing changes them by itself. ProposeFor and ProposeAt say what a
// changed fact or a birthday asks for; a growing dog follows ScheduleOf, a
// bitch and her litter LitterSteps. Package judge adopts
// households from before them.
//
// Schedule.In(zone) says when something falls due, Agenda and NextDue with
// quiet hours, pauses and snoozes, CatchUp after downtime.
//
// It is pure: time and data come in as arguments; it neither stores nor
// prints. It returns values and typed errors; package bot makes sentences of
// them and package store keeps them.
package planner
