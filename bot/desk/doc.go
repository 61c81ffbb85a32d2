// Package desk is the room of who writes recipes: their method and notes, what
// they were before, and how two of them differ.
package desk
