// Package balance is the room for what is in a recipe: whether it is complete,
// how to balance it, what may replace a food, the nutrients in it, and the cautions
// about it. What a bowl lacks or has too much of is said from here.
package balance
