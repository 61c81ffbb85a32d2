// Package kitchen is what is made ahead: batches shared out in packs, what they
// weigh cooked, and what is left of them in the freezer.
package kitchen
