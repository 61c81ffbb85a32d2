package bot

import (
	"crypto/rand"
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"regexp"
	"strings"
	"time"

	"bowlwright/store"
)

const (
	// inviteFor is how long an invitation is open.
	inviteFor = 7 * 24 * time.Hour
	// mostInvites is how many invitations of a household are open at once.
	mostInvites = 10
	// joinPrefix begins the payload of a link that brings a carer.
	joinPrefix = "join-"
	// tokenSize is the length of an invitation's secret in bytes.
	tokenSize = 24
)

// newPayload makes an unguessable start payload: 37 of A-Z a-z 0-9 _ -.
func newPayload() string {
	secret := make([]byte, tokenSize)
	rand.Read(secret) // never fails
	return joinPrefix + base64.RawURLEncoding.EncodeToString(secret)
}

// inviteKey is what an invitation is kept under: only who has the payload can
// make it, and it does not make the payload.
func inviteKey(payload string) string {
	sum := sha256.Sum256([]byte(payload))
	return hex.EncodeToString(sum[:16])
}

// shareCommand invites another carer; the rest says whom.
func (t *turn) shareCommand(rest string) {
	rest = strings.TrimPrefix(rest, "with ")
	t.invite(rest)
}

var inviteWords = regexp.MustCompile(`(?i)^(?:please )?(?:invite|add|share with)(?: (?:another|a|a new|one more) (?:carer|person)| (.+?))?[.!?]*$`)

// carerWords answers what is typed about carers without a command.
func (t *turn) carerWords(s string) bool {
	lower := strings.TrimPrefix(strings.ToLower(strings.Trim(s, " .!?")), "please ")
	switch lower {
	case "who are the carers", "who else feeds", "who feeds the dogs", "who is in the household", "who has access":
		t.showCarers("")
		return true
	case "leave", "leave the household", "leave household", "leave this household":
		t.askLeave()
		return true
	}
	if !strings.HasPrefix(lower, "invite") && !strings.HasPrefix(lower, "share with") &&
		!strings.HasSuffix(lower, "another carer") && lower != "add a carer" {
		return false
	}
	m := inviteWords.FindStringSubmatch(s)
	if m == nil {
		return false
	}
	t.invite(m[1])
	return true
}

// invites are the invitations of the household, open or not.
func (t *turn) invites() []store.Invite {
	all, err := t.tx.Invites(t.home.ID)
	if err != nil {
		t.fail(err)
	}
	return all
}

// openInvites are those that can still be used.
func (t *turn) openInvites() []store.Invite {
	var open []store.Invite
	for _, i := range t.invites() {
		if i.Used == "" && t.event.At.Before(i.Expires) {
			open = append(open, i)
		}
	}
	return open
}

// invite makes an invitation for whomever gets its link.
func (t *turn) invite(whom string) {
	if whom != "" {
		whom = carerName(whom)
	}
	open := t.openInvites()
	if len(open) >= mostInvites {
		t.offerTakeBack(t.sayMsg("invite.many", "n", len(open)))
		return
	}
	payload := newPayload()
	i := store.Invite{
		Key: inviteKey(payload), Household: t.home.ID, By: t.event.Person, For: whom,
		Expires: t.event.At.Add(inviteFor).UTC(),
	}
	if t.event.Group {
		i.Group = t.event.Chat
	}
	t.dropOldInvites()
	t.do(func(tx store.Tx) error { return tx.PutInvite(i) })
	r := t.sayMsg("invite.made", "whom", t.whom(i), "until", t.clock(i.Expires))
	r.Start = payload
	r.offer(t.button(msg("button.take-back"), "carers", "take-back", i.Key))
}

// dropOldInvites forgets the invitations that are over.
func (t *turn) dropOldInvites() {
	for _, i := range t.invites() {
		if !t.event.At.Before(i.Expires) {
			t.do(func(tx store.Tx) error { return tx.DeleteInvite(i.Key) })
		}
	}
}

// whom names the person that an invitation is for.
func (t *turn) whom(i store.Invite) string {
	if i.For == "" {
		return msg("invite.anybody")
	}
	return i.For
}

// invitesText lists the open invitations.
func (t *turn) invitesText() string {
	var lines []string
	for _, i := range t.openInvites() {
		lines = append(lines, msg("invite.open", "whom", t.whom(i), "until", t.clock(i.Expires)))
	}
	return joinParas(lines...)
}

// offerTakeBack offers to take back each open invitation.
func (t *turn) offerTakeBack(r *Reply) {
	for _, i := range t.openInvites() {
		r.offer(t.button(msg("button.take-back-for", "whom", t.whom(i)), "carers", "take-back", i.Key))
	}
}

// takeBack closes an invitation of this household.
func (t *turn) takeBack(key string) {
	i, err := t.tx.Invite(key)
	if err != nil && !isNotFound(err) {
		t.fail(err)
		return
	}
	switch {
	case err != nil || i.Household != t.home.ID:
		t.sayMsg("invite.gone")
	case i.Used != "":
		t.sayMsg("invite.used", "name", t.nameOf(i.Used))
	default:
		t.effects = append(t.effects, effect{inviteMoved(i), func(tx store.Tx) error { return tx.DeleteInvite(key) }})
		t.sayMsg("invite.taken-back", "whom", t.whom(i))
	}
}

// inviteMoved checks that an invitation is still as it was read.
func inviteMoved(was store.Invite) func(store.Tx) (bool, error) {
	return func(tx store.Tx) (bool, error) {
		is, err := tx.Invite(was.Key)
		if isNotFound(err) {
			return true, nil
		}
		return is.Used != was.Used || !is.Expires.Equal(was.Expires), err
	}
}
