// Package bolt keeps a store in one bbolt file, of one process. Records are JSON,
// each with a checksum. Commits that come together share a transaction, and so
// the wait for the disk; claims and leaders live in the process.
//
// A file that was closed, and every backup, ends with a stamp: its last
// transaction and the checksum of every page. Damage of it is found whatever it
// hits, also where bbolt would go on with an older state. A file that was not
// closed is read as a whole when it is opened. What was found is told by Found.
//
// The file has a schema version; later steps run in one transaction each when it
// is opened. What versions before schema 9 kept, package schema8 reads.
package bolt
