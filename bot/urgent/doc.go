// Package urgent is the room for signs and dangers. It hears every text before all
// other rooms and says first what to do, whatever question is open.
//
// It diagnoses nothing and gives no dose: it defers to a vet.
package urgent
