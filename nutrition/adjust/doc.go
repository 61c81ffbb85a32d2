// Package adjust changes a mixture for the better: Balance by as little as can be
// until it meets a table, Mend and MendTogether by what would close its gaps,
// Swaps by foods that may take the place of one in it.
//
// What it says is the analysis of amounts that a kitchen can weigh. It makes
// nothing worse: what is enough stays so. How far a food may grow or shrink is in
// data/bounds.csv.
//
// It is pure like package nutrition, on which it stands, and says values and
// codes.
package adjust
