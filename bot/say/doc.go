// Package say puts things into words and pictures: the messages of the
// catalogue, replies with their tables and buttons, amounts in the household's
// units, and the pen for charts. It also writes and reads the record of a reply
// in the outbox.
//
// It decides nothing: what is said, and when, belongs to the rooms.
package say
