package planner

import (
	"time"

	"bowlwright/nutrition"
)

// Entry is something that happened to a dog, as a carer entered it. The
// journal of a household keeps them for good, in the order in which they
// happened.
type Entry struct {
	ID      string    `json:"id"` // unique in the household
	Kind    EntryKind `json:"kind"`
	Dog     string    `json:"dog,omitempty"` // id
	At      time.Time `json:"at"`            // when it happened
	Date    Date      `json:"date"`          // the household's day that it counts for
	Person  string    `json:"person"`        // who entered it
	Entered time.Time `json:"entered"`       // and when
	Of      string    `json:"of,omitempty"`  // Occurrence.ID that it answers

	Weight nutrition.Kilograms `json:"kg,omitempty"`     // weighed, doubted
	Sure   bool                `json:"sure,omitempty"`   // weighed: doubted at first, and confirmed
	Score  int                 `json:"score,omitempty"`  // condition: 1-9
	Kcal   nutrition.Kcal      `json:"kcal,omitempty"`   // fed, treat: that much; kcal: a day from now on
	Recipe string              `json:"recipe,omitempty"` // fed: id
	Amount float64             `json:"amount,omitempty"` // given: of the stock's unit; treat: pieces
	Stool  Stool               `json:"stool,omitempty"`
	Until  Date                `json:"until,omitzero"` // away: the last day
	Text   string              `json:"text,omitempty"` // as typed: what the treat was, why it was fed differently
}

// NeedCause is why a dog may need more food than before, or seem to.
type NeedCause string

// The causes; the zero value is none known.
const (
	MoreWork NeedCause = "work"   // it works or moves more
	Season   NeedCause = "season" // cold
	NewScale NeedCause = "scale"  // it does not: the scale is another
)

// EntryKind is what happened.
type EntryKind string

// The kinds as stored.
const (
	Weighed   EntryKind = "weighed"
	Doubted   EntryKind = "doubted"   // a weight that nobody has confirmed: it waits, and nothing rests on it
	Scored    EntryKind = "condition" // body condition
	Fed       EntryKind = "fed"       // a bowl was fed
	NotFed    EntryKind = "not-fed"   // a bowl was skipped
	Given     EntryKind = "given"     // a dose of a supplement
	NotGiven  EntryKind = "not-given" // it was skipped
	Treat     EntryKind = "treat"
	StoolSeen EntryKind = "stool"
	KcalSet   EntryKind = "kcal" // the daily kcal changed; Text is SetByVet where a vet said so
	Away      EntryKind = "away" // fed differently from Date to Until
	NoteDone  EntryKind = "note-done"
	VetSaw    EntryKind = "vet" // a vet has seen the dog, and knows of its weight; Text: what was found
	// Answered is the answers to the four questions before more food is suggested;
	// Text is Answers.Code.
	Answered  EntryKind = "answered"
	WellAgain EntryKind = "well" // a carer finds the dog well again; Text: as told
	SignSeen  EntryKind = "sign" // a dog showed a sign, or ate something dangerous; Dog is empty until it is told
)

// SetByVet is the Text of an entry of KcalSet whose figure a vet set.
const SetByVet = "vet"
