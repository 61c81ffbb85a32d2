// Package bot is the assistant: it turns an event (something typed, a button
// pressed) into effects on the store and replies, and holds everything a
// person sees. Reading what was typed is package read; adapters (the
// terminal, the phone) are packages of their own and the assistant does not
// know which one it talks to.
//
// It guarantees that one event is one transaction, that a repeated event
// changes nothing, and that no error reaches a carer raw.
package bot
