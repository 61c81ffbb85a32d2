// Package export is the room for files that leave the chat: everything that is kept
// as a zip, the calendar, weigh-ins, a recipe.
package export
