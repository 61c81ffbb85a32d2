// Package bowls is the room for amounts: the bowl of a dog, a recipe scaled to a
// dog, a number of days or the meat that there is, one food's part, and how long
// it lasts.
package bowls
