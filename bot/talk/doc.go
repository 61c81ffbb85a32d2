// Package talk is what every room of the assistant speaks through: the turn that
// answers one event, the registry of what the rooms answer, questions and their
// drafts, the journal, undo, what falls due, and which dog or recipe is meant.
//
// It guarantees that one event is one commit, that a repeated event changes
// nothing, and that an answer is kept only if nothing it was worked out on has
// changed: membership, the household's Rev, the conversation, and whatever else
// the turn expects (Turn.Expect), as of an invitation or of a household that a
// person leaves. The assistant holds no state: what it knows of a conversation is
// in the store, marked with its household, so that ids never mean
// another's dogs.
//
// What falls due is a turn that nobody began. The store's index holds one time for
// each household, the next. Tick claims who is due, says it in the household's
// chats, marks each occurrence by its id and moves the time, in one commit;
// whatever changes a household writes its next time with the change.
//
// It knows no room. Rooms hand it a Room; what happens in one and matters to others
// is told by Turn.Happened.
package talk
