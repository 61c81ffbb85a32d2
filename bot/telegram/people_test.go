package telegram_test

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"testing"
	"unicode/utf16"

	"bowlwright/bot"
	"bowlwright/bot/talk"
	"bowlwright/bot/telegram"
	"bowlwright/bot/telegram/standin"
	"bowlwright/store"
	"bowlwright/store/storetest"
)

// quay is the group of the household; its id is an invention.
const quay = -100200

// heard returns a wiring whose events are put into a slice and not answered.
func heard(into *[]talk.Event) wiring {
	return wiring{handler: func(telegram.Handler) telegram.Handler {
		return handlerFunc(func(_ context.Context, e talk.Event) error {
			*into = append(*into, e)
			return nil
		})
	}}
}

func TestAllowList(t *testing.T) {
	t.Parallel()
	w := wiring{options: func(o *telegram.Options) { o.Allow = []string{"@Ines", "99"} }}
	p := pickUp(t, w)
	by := standin.Person{ID: 99, Name: "By number"}
	for _, who := range []standin.Person{ines, by, tomas, tomas} {
		p.api.Say(who, 0, "/help")
	}
	p.api.Press(tomas, 0, 1, "x:help")
	p.tally.wait(t, 5)
	if n := len(p.replies(ines.ID)) + len(p.replies(by.ID)); n != 2 {
		t.Errorf("those who are let in have %d answers", n)
	}
	if got := p.replies(tomas.ID); !slices.Equal(got, []string{bot.PrivateText()}) {
		t.Errorf("a stranger was answered %q", got)
	}
	if p.tally.of("refused") != 3 {
		t.Errorf("%d refused", p.tally.of("refused"))
	}
	p.stop()
	p.look(func(tx store.Snapshot) error {
		if id, err := tx.Member("telegram/4712", "telegram/4712"); err == nil {
			t.Errorf("the stranger has a household: %s", id)
		}
		return nil
	})
}

// TestBlockedChatSpeaksAgain takes a note of a refusal back when the person
// writes.
func TestBlockedChatSpeaksAgain(t *testing.T) {
	t.Parallel()
	p := connect(t, wiring{})
	p.change(func(_ store.Snapshot, put storetest.Put) error {
		return put(store.PutBlocked{Chat: "telegram/4711", Since: start})
	})
	p.api.Say(ines, 0, "/help")
	p.run(p.adapter.Run)
	p.tally.wait(t, 1)
	p.look(func(tx store.Snapshot) error {
		since, err := tx.Blocked("telegram/4711")
		if !since.IsZero() {
			t.Error("still noted as refusing")
		}
		return err
	})
}

// entityAt marks a part of a text as the platform does.
func entityAt(kind, text, part string) map[string]any {
	before, _, _ := strings.Cut(text, part)
	n := func(s string) int { return len(utf16.Encode([]rune(s))) }
	return map[string]any{"entities": []map[string]any{{"type": kind, "offset": n(before), "length": n(part)}}}
}

// TestGroup holds what is an event of a group, and whether it is addressed.
func TestGroup(t *testing.T) {
	t.Parallel()
	var got []talk.Event
	p := connect(t, heard(&got))
	p.api.AddGroup(quay, "Quayside")
	at := "@" + standin.Username
	say := func(text, kind, part string) { p.api.SayMore(ines, quay, text, entityAt(kind, text, part)) }
	p.api.Say(ines, quay, "good morning")
	say("/today", "bot_command", "/today")
	say("/today"+at, "bot_command", "/today"+at)
	say("/today@another_bot", "bot_command", "/today@another_bot")
	say("🐕 "+at+" how much for Juniper?", "mention", at)
	say("@tomas have you fed them?", "mention", "@tomas")
	asked := map[string]any{"inline_keyboard": [][]any{{map[string]any{"text": "Answer", "callback_data": "quay:ask"}}, {map[string]any{"text": "End it", "callback_data": "quay:end"}}}}
	p.api.SayMore(ines, quay, "12 kg", map[string]any{"reply_to_message": map[string]any{"message_id": 1, "from": map[string]any{"id": standin.ID, "is_bot": true}, "reply_markup": asked}})
	p.api.SayMore(ines, quay, "", map[string]any{"new_chat_title": "Quay"})
	p.run(p.adapter.Run)
	p.tally.wait(t, 8)
	want := []string{
		"good morning false", "/today false", "/today" + at + " true", "🐕  how much for Juniper? true",
		"@tomas have you fed them? false", "12 kg true",
	}
	var have []string
	for _, e := range got {
		have = append(have, fmt.Sprint(e.Text, " ", e.Addressed))
		if under := slices.Equal(e.Under, []string{"quay:ask", "quay:end"}); under != (e.Text == "12 kg") || e.Handle != "ines" {
			t.Errorf("under %q, by @%s", e.Under, e.Handle)
		}
		if !e.Group || e.Chat != "telegram/-100200" || e.Person != "telegram/4711" || e.Name != "Ines" {
			t.Errorf("%+v", e)
		}
	}
	if !slices.Equal(have, want) {
		t.Errorf("%q\nwant %q", have, want)
	}
}

// TestNobodyInPerson writes in the name of the group, of a channel and of the
// platform: none of them becomes a carer, and whoever speaks to the bot in the
// name of the group is told once what is the matter.
func TestNobodyInPerson(t *testing.T) {
	t.Parallel()
	p := pickUp(t, wiring{})
	p.api.AddGroup(quay, "Quayside")
	say := func(from, as map[string]any, text string, more map[string]any) {
		fields := map[string]any{"from": from, "sender_chat": as}
		for k, v := range more {
			fields[k] = v
		}
		p.api.SayMore(ines, quay, text, fields)
	}
	// Ids and names of the platform's own users are from memory.
	group, channel := map[string]any{"id": quay, "type": "supergroup"}, map[string]any{"id": -100300, "type": "channel"}
	platform := map[string]any{"id": 777000, "is_bot": false, "first_name": "Telegram"}
	admin := map[string]any{"id": 1087968824, "is_bot": true, "first_name": "Group", "username": "GroupAnonymousBot"}
	channelBot := map[string]any{"id": 136817688, "is_bot": true, "first_name": "Channel", "username": "Channel_Bot"}
	at := "@" + standin.Username
	p.api.Say(ines, quay, "/dog Juniper 19.6 kg 4 years spayed moderate 5/9 healthy")
	p.tally.wait(t, 1)
	say(platform, channel, "/today", map[string]any{"is_automatic_forward": true})
	say(platform, channel, "The new "+at+" is here", entityAt("mention", "The new "+at+" is here", at))
	say(channelBot, channel, "/today", nil)
	say(admin, group, "good morning", nil)
	p.tally.wait(t, 5)
	if n := len(p.replies(quay)); n != 1 {
		t.Errorf("answered: %q", p.replies(quay)[1:])
	}
	say(admin, group, "/today", nil)
	say(admin, group, "/dog", nil)
	p.tally.wait(t, 7)
	if got := p.replies(quay); len(got) != 2 || got[1] != bot.AnonymousText() {
		t.Errorf("answered: %q", got)
	}
	p.api.Say(tomas, quay, "/household")
	p.tally.wait(t, 8)
	if got := p.replies(quay); !strings.Contains(got[2], "Ines and Tomas (you)") {
		t.Errorf("the carers: %s", got[2])
	}
}

// TestGroupMoves makes a group another chat: its household goes with it.
func TestGroupMoves(t *testing.T) {
	t.Parallel()
	const moved = -1009900
	var assistant *talk.Assistant
	w := wiring{
		handler: func(h telegram.Handler) telegram.Handler { assistant = h.(*talk.Assistant); return h },
		options: func(o *telegram.Options) {
			o.Move = func(ctx context.Context, from, to string) error { return assistant.MoveChat(ctx, from, to) }
		},
	}
	p := pickUp(t, w)
	p.api.AddGroup(quay, "Quayside")
	p.api.Say(ines, quay, "/dog Juniper 19.6 kg 4 years spayed moderate 5/9 healthy")
	p.tally.wait(t, 1)
	p.api.Migrate(quay, moved)
	p.api.SayMore(ines, moved, "", map[string]any{"migrate_from_chat_id": quay})
	p.tally.wait(t, 3)
	p.api.Say(ines, moved, "/dog")
	p.tally.wait(t, 4)
	if got := p.replies(moved); len(got) != 1 || !strings.Contains(got[0], "Juniper") {
		t.Errorf("the group that moved was answered %q", got)
	}
}

func TestWordlessAndEdited(t *testing.T) {
	t.Parallel()
	p := pickUp(t, wiring{})
	p.api.SayMore(ines, 0, "", map[string]any{"sticker": map[string]any{"file_id": "x"}})
	p.api.SayMore(ines, 0, "", map[string]any{"photo": []any{}, "caption": "/help"})
	p.api.Edit(ines, "/help me")
	p.tally.wait(t, 3)
	got := p.replies(ines.ID)
	if len(got) != 3 || got[0] == got[1] || got[2] != bot.EditedText() {
		t.Errorf("%q", got)
	}
}
