// Package delivery sends the messages of the outbox.
//
// It guarantees that every message is sent at least once or accounted for (a
// message too late to be useful, one that the platform will never take, one
// for a person who blocked the bot), in order within a chat, and within the
// platform's limits. Where several deliver from one store, each chat is one's at a
// time. A message leaves the outbox only after it was sent, so that a crash
// repeats it rather than losing it. What cannot be put there, for want of room,
// can be sent beside it, within the same limits and without that guarantee.
//
// What goes over the wire, and what a failure means, belongs to the adapter.
package delivery
