package store

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"time"

	"bowlwright/planner"
)

// Commit is what one event, or one step of a job, changes.
type Commit struct {
	// Event is the id of the event that it answers, empty where it answers none.
	// The store remembers it: a commit of an event that was handled before
	// changes nothing, and is no error.
	Event  string
	At     time.Time     // when that was
	Expect []Expectation // what the commit rests on
	Writes []Write       // in this order
}

// Expectation is something that was read and must still be so: one of the types
// that follow. The zero value of what is expected stands for its absence.
type Expectation interface{ Expects() []Name }

// Name is of something that commits rest on and write about: those of which two
// have one in common come one after another. What none names nobody expects
// anything of, or has a row of its own.
type Name struct{ Kind, Of string }

// The expectations.
type (
	// HouseholdAt expects a household at a revision, or none.
	HouseholdAt struct {
		ID   string
		Rev  uint64
		None bool
	}
	// MemberOf expects a person to belong to a household in a chat.
	MemberOf struct{ Chat, Person, Household string }
	// DialogueIs expects a person to be in the middle of something in a chat.
	DialogueIs struct {
		Chat, Person string
		Dialogue     Dialogue
	}
	// InviteIs expects an invitation under its key.
	InviteIs Invite
	// PublishedAt expects something published at a revision; at 0, nothing.
	PublishedAt struct {
		Token string
		Rev   uint64
	}
	// ReaderIs expects a reader, or none where it has no version.
	ReaderIs Reader
	// DueIs expects a household's next time.
	DueIs Due
	// BlockedIs expects a chat to refuse messages since a time.
	BlockedIs struct {
		Chat  string
		Since time.Time
	}
)

// Write is a change of one record: one of the types that follow. A zero value
// put in the place of a record takes it away. Taking away what is not there is
// no error.
type Write interface{ Writes() []Name }

// The writes.
type (
	// MarkSeen records an event, or a mark, as Commit.Event is.
	MarkSeen struct {
		Event string
		At    time.Time
	}
	ForgetEvent string // by its id

	PutHousehold struct{ *planner.Household }
	// DeleteHousehold forgets a household by its id, with its journal, changes,
	// members, invitations, due time and ending, what it published and that it
	// keeps what others did.
	DeleteHousehold string
	// PutEnding notes when a household that nobody belongs to any more is to be
	// forgotten.
	PutEnding struct {
		Household string
		At        time.Time
	}
	// PushChange keeps what a household was before a change, so that it can be
	// taken back; the last MaxChanges of a household are kept.
	PushChange struct {
		Household string
		Change    Change
	}
	PopChange string // forgets the newest change of a household

	// PutEntry adds an entry to a household's journal; one with the same id is
	// replaced, also where its time is another.
	PutEntry struct {
		Household string
		Entry     planner.Entry
	}
	DeleteEntry struct{ Household, ID string }
	// PutDue sets when something is next to be said to a household. A zero At
	// takes it out of the index but keeps Through.
	PutDue Due

	PutMember    struct{ Chat, Person, Household string }
	PutInvite    Invite // under its key
	DeleteInvite string // by its key

	PutPublished Published // under its token
	PutReader    Reader    // under its token and household
	DeleteReader struct{ Token, Household string }

	// MoveChat gives a chat another name, as when a group becomes another kind
	// of group: members, dialogues, the adapter's notes and what is in the
	// outbox go on under it. Where both names have a record the old one's is
	// kept, since the new chat has only just begun.
	MoveChat struct{ From, To string }
	// ForgetChat forgets what is kept of a chat but for who belongs to it:
	// dialogues, the adapter's notes, messages in the outbox and dead ones, and
	// that it refuses messages.
	ForgetChat  string
	PutDialogue struct {
		Chat, Person string
		Dialogue     Dialogue
	}
	PutAdapter struct {
		Chat  string
		Notes []byte
	}

	// Enqueue puts a message at the end of the outbox and gives it a number;
	// numbers rise and are never given twice. One that goes behind all others is
	// numbered above them.
	Enqueue   Outgoing
	Delivered uint64 // takes a message out of the outbox, by its number
	// PutMessage puts a message into the outbox under the number that it has, and
	// NumberFrom has the numbers of those that are enqueued be above one. They are
	// for taking over another store.
	PutMessage Outgoing
	NumberFrom uint64
	// PutBlocked notes since when a chat refuses messages.
	PutBlocked struct {
		Chat  string
		Since time.Time
	}
	// PutDead keeps a message that can never be delivered, once by its number.
	// It does not take it out of the outbox.
	PutDead    Dead
	DeleteDead uint64 // by its number

	PutUpdate    Update // into the inbox; the same id again replaces it
	DeleteUpdate int64  // by its id
)

func (e HouseholdAt) Expects() []Name { return []Name{{"household", e.ID}} }
func (e MemberOf) Expects() []Name    { return []Name{{"household", e.Household}, {"chat", e.Chat}} }
func (e DialogueIs) Expects() []Name  { return []Name{{"chat", e.Chat}} }
func (e InviteIs) Expects() []Name    { return []Name{{"household", e.Household}, {"invite", e.Key}} }
func (e PublishedAt) Expects() []Name { return []Name{{"token", e.Token}} }
func (e ReaderIs) Expects() []Name    { return []Name{{"household", e.Household}, {"token", e.Token}} }
func (e DueIs) Expects() []Name       { return []Name{{"household", e.Household}} }
func (e BlockedIs) Expects() []Name   { return []Name{{"chat", e.Chat}} }

func (MarkSeen) Writes() []Name          { return nil }
func (ForgetEvent) Writes() []Name       { return nil }
func (w PutHousehold) Writes() []Name    { return []Name{{"household", w.ID}} }
func (w DeleteHousehold) Writes() []Name { return []Name{{"household", string(w)}} }
func (w PutEnding) Writes() []Name       { return []Name{{"household", w.Household}} }
func (w PushChange) Writes() []Name      { return []Name{{"household", w.Household}} }
func (w PopChange) Writes() []Name       { return []Name{{"household", string(w)}} }
func (w PutEntry) Writes() []Name        { return []Name{{"household", w.Household}} }
func (w DeleteEntry) Writes() []Name     { return []Name{{"household", w.Household}} }
func (w PutDue) Writes() []Name          { return []Name{{"household", w.Household}} }
func (w PutMember) Writes() []Name       { return []Name{{"household", w.Household}, {"chat", w.Chat}} }
func (w PutInvite) Writes() []Name       { return []Name{{"household", w.Household}, {"invite", w.Key}} }
func (w DeleteInvite) Writes() []Name    { return []Name{{"invite", string(w)}} }
func (w PutPublished) Writes() []Name    { return []Name{{"token", w.Token}} }
func (w PutReader) Writes() []Name       { return []Name{{"household", w.Household}, {"token", w.Token}} }
func (w DeleteReader) Writes() []Name    { return []Name{{"household", w.Household}, {"token", w.Token}} }
func (w MoveChat) Writes() []Name        { return []Name{{"chat", w.From}, {"chat", w.To}} }
func (w ForgetChat) Writes() []Name      { return []Name{{"chat", string(w)}} }
func (w PutDialogue) Writes() []Name     { return []Name{{"chat", w.Chat}} }
func (w PutAdapter) Writes() []Name      { return []Name{{"chat", w.Chat}} }
func (w Enqueue) Writes() []Name         { return []Name{{"chat", w.Chat}} } // numbers then rise in the order in which they are read
func (Delivered) Writes() []Name         { return nil }
func (PutMessage) Writes() []Name        { return nil }
func (NumberFrom) Writes() []Name        { return nil }
func (w PutBlocked) Writes() []Name      { return []Name{{"chat", w.Chat}} }
func (PutDead) Writes() []Name           { return nil }
func (DeleteDead) Writes() []Name        { return nil }
func (PutUpdate) Writes() []Name         { return nil }
func (DeleteUpdate) Writes() []Name      { return nil }

// Holds reports whether an expectation is true of a state. It is for those who
// implement a Store.
func Holds(s Snapshot, e Expectation) (holds bool, err error) {
	switch e := e.(type) {
	case HouseholdAt:
		rev, err := s.Revision(e.ID)
		if IsNotFound(err) {
			return e.None, nil
		}
		return !e.None && rev == e.Rev, err
	case MemberOf:
		household, err := s.Member(e.Chat, e.Person)
		return household == e.Household, OrNone(err)
	case DialogueIs:
		is, err := s.Dialogue(e.Chat, e.Person)
		return is.Kind == e.Dialogue.Kind && is.Step == e.Dialogue.Step && is.Since.Equal(e.Dialogue.Since) &&
			bytes.Equal(is.Data, e.Dialogue.Data), OrNone(err)
	case InviteIs:
		is, err := s.Invite(e.Key)
		return is.Household == e.Household && is.Used == e.Used && is.Expires.Equal(e.Expires), OrNone(err)
	case PublishedAt:
		is, err := s.Published(e.Token)
		return is.Rev == e.Rev, OrNone(err)
	case ReaderIs:
		is, _, err := ReaderOf(s, e.Token, e.Household)
		was, _ := json.Marshal(Reader(e)) // a reader has nothing that JSON has not
		now, _ := json.Marshal(is)
		return e.Version == 0 && is.Version == 0 || bytes.Equal(was, now), err
	case DueIs:
		is, err := s.Due(e.Household)
		return is.At.Equal(e.At) && is.Through.Equal(e.Through), err
	case BlockedIs:
		since, err := s.Blocked(e.Chat)
		return since.Equal(e.Since), err
	}
	return false, &Error{Code: Internal, Op: "commit", Err: errors.New("an expectation of no known kind")}
}

// Our own choices.
const (
	// mostAnswers is how often Answer reads again. Each time another commit has
	// gone through, so it is enough for that many at once.
	mostAnswers = 100
	// A store that is lost is tried again after pauses that double, for some 12
	// seconds: a database that starts anew takes fewer.
	lostPause = 50 * time.Millisecond
	mostLost  = 8
)

// Answer commits what f makes of a snapshot. Where something that the commit
// rests on has changed meanwhile, it reads again and answers again; so it does
// where the store was lost. A commit that had happened all the same is then a
// conflict, or one of an event that was handled.
func Answer(ctx context.Context, s Store, f func(Snapshot) (Commit, error)) error {
	for n, lost := 1, 0; ; {
		c, err := Look(ctx, s, f) // which ends the snapshot before anything is committed
		if err == nil {
			err = s.Commit(ctx, c)
		}
		switch {
		case errors.Is(err, ErrConflict) && n < mostAnswers:
			n++
		case IsLost(err) && lost < mostLost:
			if !Pause(ctx, lostPause<<lost) {
				return err
			}
			lost++
		default:
			return err
		}
	}
}

// Look returns what f finds in a snapshot.
func Look[T any](ctx context.Context, s Store, f func(Snapshot) (T, error)) (found T, err error) {
	snap, err := s.Read(ctx)
	if err != nil {
		return found, err
	}
	defer snap.Close()
	return f(snap)
}
