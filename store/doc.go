// Package store keeps what households have: the interface through which the
// assistant reads and writes, and its implementation on one bbolt file.
//
// It guarantees that a Commit is whole: either all of an event's effects, its id
// and the messages it causes are kept, or none, and only where all that it rests
// on is still so; and that what was acknowledged is on disk. Commits that come
// together share a transaction.
// Reading what is due, or a part of the journal, costs what is read and not what
// is stored. Records are JSON, each with a checksum.
//
// A file that was closed, and every backup, ends with a stamp: its last
// transaction and the checksum of every page. Damage of it is found whatever it
// hits, also where bbolt would go on with an older state. A file that was not
// closed is read as a whole when it is opened. What was found is told by Found.
//
// The file has a schema version; later steps run in one transaction each when it
// is opened. What versions before schema 9 kept, package schema8 reads.
//
// What the records mean belongs to package planner, what is said to package
// bot.
package store
