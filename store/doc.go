// Package store keeps what households have: the interface through which the
// assistant reads and writes, and its implementation on one bbolt file, with a
// redo log beside it while it is open and after a crash.
//
// It guarantees that an Update is one transaction: either all of an event's
// effects, its id and the messages it causes are kept, or none; and that what
// an Update acknowledged is on disk. Reading what is due, or a part of the
// journal, costs what is read and not what is stored. Records carry a schema
// version; migrations run in one transaction when a file is opened. What a disk
// changed by itself, in the file or in the log, is never taken for content, and
// is noticed except in the last updates of the log, where it cannot be told
// from a write that a crash cut short.
//
// What the records mean belongs to package planner, what is said to package
// bot.
package store
