package store

import "time"

// Membership is the part of a transaction about who belongs to a household,
// who may come to it, and when it ends.
type Membership interface {
	// Member returns the household that a person belongs to in a chat. An
	// empty person stands for everybody in the chat.
	Member(chat, person string) (household string, err error)
	PutMember(chat, person, household string) error
	DeleteMember(chat, person string) error
	// Members returns everybody who belongs to a household, by chat and
	// person in an order of the store's own.
	Members(household string) ([]Member, error)

	// DeleteHousehold forgets a household with its changes, members,
	// invitations and ending; one that is not there is no error.
	DeleteHousehold(id string) error

	// PutInvite keeps an invitation under its key; the same key again
	// replaces it.
	PutInvite(i Invite) error
	// Invite returns an invitation, open or not.
	Invite(key string) (Invite, error)
	DeleteInvite(key string) error
	// Invites returns all invitations of a household in the order of their
	// keys.
	Invites(household string) ([]Invite, error)

	// PutEnding notes when a household that nobody belongs to any more is to
	// be forgotten; the zero time takes the note away.
	PutEnding(household string, at time.Time) error
	// Endings returns up to limit households whose ending is not after a time,
	// in the order of their ids.
	Endings(until time.Time, limit int) ([]string, error)

	// MoveChat gives a chat another name, as when a group becomes another kind
	// of group: members, dialogues, the adapter's notes and what is in the
	// outbox go on under it. Where both names have a record the old one's is
	// kept, since the new chat has only just begun.
	MoveChat(from, to string) error
}

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
