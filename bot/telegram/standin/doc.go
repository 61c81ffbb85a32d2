// Package standin is a stand-in for the Telegram Bot API on the loopback
// interface, for tests: it speaks what the adapter and its library speak,
// refuses what the platform refuses, can be told to fail in the ways in which
// the platform fails, and records everything.
//
// Its limits and answers are from the Bot API documentation, the texts of its
// refusals from memory; it is no measure of what else the platform does.
package standin
