// Package terminal lets a person talk to the assistant in a terminal, or a
// script drive it: one message a line in, replies out.
//
// Buttons stand under a message as "[1] Label" and are pressed by typing "#1"
// or "#Label" ("#Label/2" the second that reads so). A line that ends in a
// backslash goes on in the next. Lines that begin with "%" steer the session:
// "%at TIME" moves its clock and says on the way what falls due, "%as NAME"
// goes on as another carer of the household, "%home NAME" in another household,
// of which the next "%as NAME" is a carer. What is said unasked has its time
// above it, by the household's clock. What it knows of the session (who is
// talking, which buttons were last shown) is kept in the store, so that a
// session goes on where the last one stopped.
package terminal
