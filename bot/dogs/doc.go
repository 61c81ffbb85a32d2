// Package dogs is the room for what a dog is: its profile, how it is entered and
// changed, health notes and illness, and what a carer tells of it in passing. It
// also says why a dog needs what it needs, and when a vet comes first.
package dogs
