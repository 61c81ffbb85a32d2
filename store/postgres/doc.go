// Package postgres keeps a store in a PostgreSQL database, which any number of
// processes share: for an operator with more than one machine, or who may not
// stop for an update. Nothing is built that PostgreSQL has.
//
// A snapshot is a transaction of level repeatable read. A commit is one of level
// read committed that first locks, for as long as it lasts, the names that it
// rests on or writes about: households, chats, invitations, what is published.
// Two commits about the same thing then follow one another, and what one
// expects is looked up when nobody else can change it. The names are locked in
// one order, so that no two commits wait for each other.
//
// A claim is a row that says who holds what, in which process. Each process has
// a session of its own that holds a lock as long as it lives; where that lock is
// gone the claims are void, without waiting for their leases. A leader is who
// holds the lock of a role in a session. That there is something to do is told
// by NOTIFY, and looked for now and then in any case.
//
// What bounds it, and what it costs, stands in README.md beside it.
package postgres
