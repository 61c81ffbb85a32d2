// Package read takes in what a carer typed. Hear says what a message says:
// statement by statement, as ranked readings with what to do about each. Understand
// reads sentences that fit exactly, and the other functions read one kind of
// statement: a weigh-in, a dog in one line, a rotation. What is done about them is
// decided in the rooms of package bot.
//
// It stands on packages of its own: language (the word lists), span (words, numbers,
// units, days and times), foodline (recipe lines and labels) and alarm (signs and
// dangers).
//
// Nothing fails as a whole because a part failed: what was not understood comes
// back as a span.Problem with the text it is about.
package read
