// Package hotcopy lets another process copy a store that is in use, or have
// something done to it: the process that has it open answers at a socket beside
// the file.
//
// It guarantees that a copy that Fetch returned without an error is whole.
// Whoever may connect to the socket may read everything: it is made for the
// owner alone, as the file is. Making a file of the copy belongs to the caller,
// and so does what an order is.
package hotcopy
