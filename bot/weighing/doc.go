// Package weighing is the room for a dog's weight and the amount that it is fed:
// weigh-ins and their corrections, body condition, the trend and its picture,
// goals, suggestions, the amount in force, growth and litters.
//
// What the weigh-ins tell is worked out in package planner: Judge asks it, the
// text functions put it into words. Shown puts the first amount in force, with
// the first bowl or before the second weigh-in. From then on propose compares the
// dogs before and after a turn, and asks. A growing dog follows a schedule, whose
// steps are reminders of the kind "stage"; a litter follows the steps that a vet
// agreed to. An undo keeps the amount and the goal that were set later.
package weighing
