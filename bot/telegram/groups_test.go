package telegram_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"bowlwright/bot/telegram/standin"
	"bowlwright/store"
	"bowlwright/store/storetest"
)

var lena = standin.Person{ID: 4713, Name: "Lena"} // an invention

// newQuay is a kitchen with the household of a group; Tomas has spoken there.
func newQuay(t *testing.T) *kitchen {
	k := newKitchen(t)
	k.api.AddGroup(quay, "Quayside")
	k.says(ines, quay, "/dog Juniper 19.6 kg 4 years spayed moderate 5/9 healthy")
	k.says(tomas, quay, "/today")
	return k
}

// invited brings a person's own chat to the household by a link that another
// makes in a chat.
func (k *kitchen) invited(by standin.Person, chat int64, who standin.Person) {
	k.t.Helper()
	k.says(by, chat, "/share")
	at := chat
	if at == 0 {
		at = by.ID
	}
	k.says(who, 0, "/start "+invitation(k.t, k.last(at)))
}

// last is the last message of the bot in a chat.
func (k *kitchen) last(chat int64) string {
	k.t.Helper()
	all := k.replies(chat)
	if len(all) == 0 {
		k.t.Fatalf("nothing was said in %d", chat)
	}
	return all[len(all)-1]
}

// sees reports whether a person sees Juniper in private.
func (k *kitchen) sees(who standin.Person) bool {
	k.t.Helper()
	k.says(who, 0, "/dog")
	return strings.Contains(k.last(who.ID), "Juniper")
}

// TestLeftGroup takes who came by the group out of the household when the
// platform tells that they have left it, whatever way it tells.
func TestLeftGroup(t *testing.T) {
	t.Parallel()
	for _, told := range []string{"chat_member", "message"} {
		t.Run(told, func(t *testing.T) {
			k := newQuay(t)
			k.invited(ines, quay, tomas)
			if !k.sees(tomas) {
				t.Fatal("the link of the group leads to no household")
			}
			k.does(func() { k.api.Quit(tomas, quay, told) })
			if s := k.last(tomas.ID); !strings.Contains(s, "left the group that brought you") {
				t.Errorf("Tomas is told %q", s)
			}
			if s := k.last(quay); !strings.Contains(s, "Tomas has left the group") {
				t.Errorf("the group is told %q", s)
			}
			if k.sees(tomas) {
				t.Error("Tomas still sees the household")
			}
			k.says(ines, quay, "/household")
			if s := k.last(quay); strings.Contains(s, "Tomas") || !strings.Contains(s, "Juniper") {
				t.Errorf("the carers: %s", s)
			}
		})
	}
}

// TestLeftGroupUntold finds it out at the next contact.
func TestLeftGroupUntold(t *testing.T) {
	t.Parallel()
	k := newQuay(t)
	k.invited(ines, quay, tomas)
	k.api.Quit(tomas, quay, "")
	k.clock.set(start.Add(time.Hour))
	if k.sees(tomas) {
		t.Error("Tomas still sees the household")
	}
	if s := k.last(quay); !strings.Contains(s, "Tomas has left the group") {
		t.Errorf("the group is told %q", s)
	}
}

// TestLeftGroupInvited keeps who was invited by somebody in private, and who
// brought the household to the group.
func TestLeftGroupInvited(t *testing.T) {
	t.Parallel()
	k := newKitchen(t)
	k.api.AddGroup(quay, "Quayside")
	k.says(ines, 0, "/dog Juniper 19.6 kg 4 years spayed moderate 5/9 healthy")
	k.invited(ines, 0, tomas)
	k.says(ines, 0, "/share")
	k.says(ines, quay, "/start "+invitation(t, k.last(ines.ID)))
	k.says(tomas, quay, "/today")
	for _, who := range []standin.Person{tomas, ines} {
		k.does(func() { k.api.Quit(who, quay, "chat_member") })
		k.clock.set(k.clock.now().Add(time.Hour))
		if !k.sees(who) {
			t.Errorf("%s has lost the household", who.Name)
		}
	}
}

// TestLeftGroupUnknown asks of whom it is not known how they came: those from
// before that was kept, and those who got the group's link from somebody.
func TestLeftGroupUnknown(t *testing.T) {
	t.Parallel()
	for name, tells := range map[string]string{"told": "chat_member", "found out": ""} {
		t.Run(name, func(t *testing.T) {
			k := newQuay(t)
			k.invited(ines, quay, tomas)
			k.forgetOrigins()
			k.api.Quit(tomas, quay, tells)
			if tells != "" {
				k.sent++
			}
			k.clock.set(start.Add(time.Hour))
			k.wantAsked(tomas)
		})
	}
	t.Run("never in it", func(t *testing.T) {
		k := newQuay(t)
		k.api.Quit(lena, quay, "")
		k.invited(ines, quay, lena)
		k.wantAsked(lena)
	})
}

// forgetOrigins makes the household one from before it was kept how carers
// came.
func (k *kitchen) forgetOrigins() {
	k.t.Helper()
	k.change(func(tx store.Snapshot, put storetest.Put) error {
		id, err := tx.Member("telegram/-100200", "")
		if err != nil {
			return err
		}
		home, err := tx.Household(id)
		if err != nil {
			return err
		}
		home.Came = nil
		home.Rev++
		invites, err := tx.Invites(id)
		for _, i := range invites {
			i.Group = ""
			if err := put(store.PutInvite(i)); err != nil {
				return err
			}
		}
		if err != nil {
			return err
		}
		return put(store.PutHousehold{Household: home})
	})
}

// wantAsked wants the group asked once whether a person stays, who keeps the
// household until somebody answers.
func (k *kitchen) wantAsked(who standin.Person) {
	k.t.Helper()
	for range 2 {
		if !k.sees(who) {
			k.t.Fatal("removed by guess")
		}
		k.clock.set(k.clock.now().Add(time.Hour))
	}
	var asked []standin.Message
	for _, m := range k.messages(quay, 0) {
		if strings.Contains(m.Text, who.Name+" has left the group but still sees") {
			asked = append(asked, m)
		}
	}
	if len(asked) != 1 {
		k.t.Fatalf("asked %d times: %q", len(asked), k.replies(quay))
	}
	k.presses(ines, asked[0], "Remove "+who.Name)
	sure := k.messages(quay, 0)
	k.presses(ines, sure[len(sure)-1], "Yes, remove")
	if k.sees(who) {
		k.t.Error("not removed though a carer said so")
	}
}

// TestBotRemoved sends nothing that falls due to a group that the bot was
// removed from, until it is there again; the carers' own chats are reminded.
func TestBotRemoved(t *testing.T) {
	t.Parallel()
	k := newKitchen(t)
	k.api.AddGroup(quay, "Quayside")
	k.filled(quay)
	k.invited(ines, quay, tomas)
	k.does(func() { k.api.Expel(ines, quay, true) })
	before, own := len(k.api.Calls("sendMessage")), len(k.replies(tomas.ID))
	k.at(8, 0)
	calls := k.api.Calls("sendMessage")[before:]
	if slices.ContainsFunc(calls, func(c standin.Call) bool { return c.Chat == quay }) {
		t.Error("reminders go to a group without the bot")
	}
	if len(k.replies(tomas.ID)) == own || k.pending("telegram/-100200") > 0 {
		t.Errorf("%d reminders in private, %d wait for the group", len(k.replies(tomas.ID))-own, k.pending("telegram/-100200"))
	}
	k.does(func() { k.api.Expel(ines, quay, false) })
	n := len(k.replies(quay))
	k.at(18, 0)
	if len(k.replies(quay)) == n {
		t.Error("the group is not reminded though the bot is there again")
	}
}
