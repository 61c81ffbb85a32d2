// Package schema8 reads what earlier versions of the program kept: files of
// the schemas 1 to 8, and the redo log that a crash of schema 7 or 8 left
// beside one.
//
// It hands out every record, its checksum made sure of, as it is kept since
// schema 9: what was in an encoding of its own becomes JSON. It writes nothing.
// A file or log that is damaged is an error that wraps ErrDamaged; a damaged
// page can also make it panic or fault, which the caller guards against.
package schema8
