// Package store is what keeps what households have: the records, the interface
// through which the assistant reads and commits them, and its errors. Package
// bolt keeps them in one file, package postgres in a database that several
// processes share; storetest holds the contract.
//
// It guarantees that a Commit is whole: either all of an event's effects, its id
// and the messages it causes are kept, or none, and only where all that it rests
// on is still so; and that what was acknowledged lasts. Reading what is due, or a
// part of the journal, costs what is read and not what is stored.
//
// What the records mean belongs to package planner, what is said to package
// bot.
package store
