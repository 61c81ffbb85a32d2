// Package bot is the assistant: it composes its rooms (rooms.go) and answers help
// and greetings. An event (something typed, a button pressed) becomes effects on
// the store and replies. README.md tells of the rooms and of what passes through
// them.
//
// Reading what was typed is package read, the turn and what all rooms share
// package talk. Adapters (the terminal, the phone) are packages of their own, and
// the assistant does not know which one it talks to.
//
// It guarantees that one event is one transaction, that a repeated event changes
// nothing, and that no error reaches a carer raw.
package bot
