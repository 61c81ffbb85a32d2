// Package read turns what a carer typed into values: quantities, body
// weights, ages, cadences, recipe lines, a dog in one line, and sentences
// into what they ask. It knows wordings; what is done about them is decided
// in package bot.
//
// It never fails as a whole because a part failed: what was not understood
// comes back as a Problem with the text it is about.
package read
