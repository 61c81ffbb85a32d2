// Package remind is the room for making and changing reminders: notes,
// supplements and their stock, feeding times, check-ins, pauses and quiet hours.
// What they say when they fall due is in package day.
package remind
