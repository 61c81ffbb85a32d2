package household

import (
	"cmp"
	"crypto/rand"
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"slices"
	"strings"
	"time"

	"bowlwright/bot/read"
	"bowlwright/bot/read/span"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
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

// Token makes an unguessable start payload with so many random bytes, of
// A-Z a-z 0-9 _ -.
func Token(prefix string, size int) string {
	secret := make([]byte, size)
	rand.Read(secret) // never fails
	return prefix + base64.RawURLEncoding.EncodeToString(secret)
}

// inviteKey is what an invitation is stored under: only somebody with the
// payload can make it, and the payload cannot be made from it.
func inviteKey(payload string) string {
	sum := sha256.Sum256([]byte(payload))
	return hex.EncodeToString(sum[:16])
}

// CarerWords answers what is typed about carers without a command.
func CarerWords(t *talk.Turn, s string) bool {
	switch {
	case read.Says("asks-carers", s):
		showCarers(t)
		return true
	case read.Says("leaves-home", s):
		askLeave(t)
		return true
	case sits(t, s):
		out := t.SayMsg("carers.sitter")
		out.Offer(t.Button(msg("button.invite"), "carers", "invite"), t.Button(msg("button.sitter-sheet"), "sheet", "sitter"))
		return true
	case numberName(s) != "" && talk.Sentence(t, read.Without("number-named", s)): // the name is kept with it
		return true
	case NumberBeside(t, s), feedsAlong(t, s), takesName(t, s):
		return true
	case !read.Says("may-invite", s):
		return false
	}
	m := read.Pattern("invites").FindStringSubmatch(s)
	if m != nil {
		invite(t, m[1])
	}
	return m != nil
}

// takesName takes what a carer who writes is called, and answers what is told behind it:
// "I'm Hannah, not Carer", "My name is Bev and I have a pug".
func takesName(t *talk.Turn, s string) bool {
	name, rest := read.Find("my-name", s), ""
	if at := strings.Index(s, name); at >= 0 {
		rest = strings.TrimLeft(read.Without("leads-on", strings.TrimLeft(read.Without("after-name", s[at+len(name):]), " ,.!")), " ,.!")
	}
	i := talk.CarerIn(t.Home.Carers, t.Event.Person)
	if i < 0 || name == "" || read.In("no-doer", strings.ToLower(name)) || t.DogNamed(name) != nil || isCarer(t, name) {
		return false
	}
	c := &t.Home.Carers[i]
	c.Called = talk.CarerName(span.Capital(name))
	c.Name, t.Changed = c.Called, true
	if n := len(t.Replies); len(strings.Fields(rest)) > 2 {
		t.As(rest, func() bool { t.RouteWords(rest); return true })
		if len(t.Replies) > n {
			t.Replies[n].Begin(msg("carers.hello", "name", c.Name))
			return true
		}
	}
	t.SayMsg("carers.called", "name", c.Name)
	return true
}

// isCarer reports that one of the household's carers has a name.
func isCarer(t *talk.Turn, name string) bool {
	return slices.ContainsFunc(t.Home.Carers, func(c planner.Carer) bool { return strings.EqualFold(c.Name, name) })
}

// sits reports that a text tells that somebody else feeds the dogs at home for a time, who
// needs what the household is reminded of.
func sits(t *talk.Turn, s string) bool {
	who := strings.ToLower(read.Find("sitter-feeds", s))
	return who != "" && len(t.Home.Reminders) > 0 && !read.In("no-doer", who) && t.DogNamed(who) == nil && !strings.ContainsAny(s, "?\n") && !read.Says("away-place", s)
}

// feedsAlong offers to invite somebody who is told to feed the dogs too, or is to see what is
// kept: "my husband dan feeds him sometimes too".
func feedsAlong(t *talk.Turn, s string) bool {
	who := strings.Fields(strings.ToLower(read.Find("feeds-along", s)))
	if len(who) == 0 || read.Says("along-once", s) || strings.ContainsAny(s, "0123456789") {
		return false
	}
	name := who[len(who)-1]
	if read.In("no-doer", name) || t.DogNamed(name) != nil || isCarer(t, name) {
		return false
	}
	name = span.Capital(name)
	if first := who[0]; len(who) == 2 && read.In("owners", first) || len(who) == 1 && read.Says("a-relation", name) {
		name = msg("carers.your", "who", strings.ToLower(name))
	}
	t.SayMsg("carers.along", "who", name).Offer(t.Button(msg("button.invite"), "carers", "invite"))
	return true
}

// openInvites are those that can still be used.
func openInvites(t *talk.Turn) []store.Invite {
	return slices.DeleteFunc(talk.Invites(t), func(i store.Invite) bool { return i.Used != "" || !t.Event.At.Before(i.Expires) })
}

// invite makes an invitation for whomever gets its link.
func invite(t *talk.Turn, who string) {
	if who != "" {
		who = talk.CarerName(who)
	}
	open := openInvites(t)
	if len(open) >= mostInvites {
		offerTakeBack(t, t.SayMsg("invite.many", "n", len(open)))
		return
	}
	payload := Token(joinPrefix, tokenSize)
	i := store.Invite{
		Key: inviteKey(payload), Household: t.Home.ID, By: t.Event.Person, For: who,
		Expires: t.Event.At.Add(inviteFor).UTC(),
	}
	if t.Event.Group {
		i.Group = t.Event.Chat
	}
	for _, old := range talk.Invites(t) {
		if !t.Event.At.Before(old.Expires) {
			t.Write(store.DeleteInvite(old.Key))
		}
	}
	t.Write(store.PutInvite(i))
	r := t.SayMsg("invite.made", "whom", whom(i), "until", t.Clock(i.Expires))
	r.Start = payload
	r.Offer(t.Button(msg("button.take-back"), "carers", "take-back", i.Key))
}

// whom names the person that an invitation is for.
func whom(i store.Invite) string { return cmp.Or(i.For, msg("invite.anybody")) }

// invitesText lists the open invitations.
func invitesText(t *talk.Turn) string {
	return say.LinesOf(openInvites(t), func(i store.Invite) string { return msg("invite.open", "whom", whom(i), "until", t.Clock(i.Expires)) })
}

// offerTakeBack offers to take back each open invitation.
func offerTakeBack(t *talk.Turn, r *say.Reply) {
	for _, i := range openInvites(t) {
		r.Offer(t.Button(msg("button.take-back-for", "whom", whom(i)), "carers", "take-back", i.Key))
	}
}

// takeBack closes an invitation of this household.
func takeBack(t *talk.Turn, key string) {
	i, err := t.Snap.Invite(key)
	switch {
	case !talk.Found(t, err) || i.Household != t.Home.ID:
		t.SayMsg("invite.gone")
	case i.Used != "":
		t.SayMsg("invite.used", "name", talk.NameOf(t, i.Used))
	default:
		t.Expect(store.InviteIs(i))
		t.Write(store.DeleteInvite(key))
		t.SayMsg("invite.taken-back", "whom", whom(i))
	}
}
