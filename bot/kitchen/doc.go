// Package kitchen is what is made ahead: batches shared out in packs, what they
// weigh cooked, what is left of them in the freezer, what to buy and what it costs.
package kitchen
