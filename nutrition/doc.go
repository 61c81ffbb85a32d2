// Package nutrition knows foods and what is in them: quantities with their
// units, the food table with its sources, names and household measures, the
// bone model, energy equations, requirement profiles and the analysis of a
// mixture. Package adjust balances and mends one.
//
// It guarantees that a value which no source gives is never taken for zero: a
// Value is known, a range, or open ("at least so much"), and sums carry that
// along.
//
// It is pure: no clock, no randomness, no input or output beyond the tables
// compiled in. It returns values and codes, never sentences; the words a
// carer reads are made in package bot. Dogs, recipes in use and schedules
// belong to package planner.
package nutrition
