// Package read takes in what a carer typed. Hear says what a message says:
// statement by statement, as ranked readings with what to do about each. The
// other functions turn words into values: quantities, body weights, ages,
// cadences, recipe lines, a dog in one line, and sentences that fit exactly.
// What is done about them is decided in the rooms of package bot.
//
// Nothing fails as a whole because a part failed: what was not understood comes
// back as a Problem with the text it is about.
package read
