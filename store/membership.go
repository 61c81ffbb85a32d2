package store

import "time"

// Member is a person in a chat; everybody in the chat where Person is empty.
type Member struct {
	Chat   string `json:"chat"`
	Person string `json:"person"`
}

// Invite is an invitation into a household. Key is made from the token that
// opens it, so that reading the file does not open it.
type Invite struct {
	Key       string    `json:"key"`
	Household string    `json:"household"`
	By        string    `json:"by"`              // the person who made it
	For       string    `json:"for,omitempty"`   // whom it is for, as typed
	Only      string    `json:"only,omitempty"`  // the one person who may use it; anybody where empty
	Group     string    `json:"group,omitempty"` // the group in which it was made; empty: in none, or not known
	Expires   time.Time `json:"expires"`
	Used      string    `json:"used,omitempty"` // the person who used it
}
