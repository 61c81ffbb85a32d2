package telegram_test

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"testing"

	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/bot/telegram"
	"bowlwright/bot/telegram/standin"
	"bowlwright/store"
)

// forum is a group that is divided into topics; the ids are inventions.
const (
	forum = -1004200
	meals = 7
	walks = 9
)

// where says in which topics the bot's messages of a group are, since the
// first skip.
func (k *kitchen) where(skip int) (out []int64) {
	for _, m := range k.messages(forum, skip) {
		out = append(out, m.Topic)
	}
	return out
}

func (k *kitchen) saysIn(p standin.Person, topic int64, text string) {
	k.t.Helper()
	k.does(func() { k.api.SayIn(p, forum, topic, text) })
}

// TestTopics answers in the topic in which it was asked, be it with text, a
// picture or a file; the topics of a group are one household.
func TestTopics(t *testing.T) {
	t.Parallel()
	k := newKitchen(t)
	k.api.AddForum(forum, "Quayside", meals, walks)
	for i, step := range []struct {
		topic int64
		text  string
		want  string
		file  string
	}{
		{meals, "/dog Juniper 19.6 kg 4 years spayed moderate 5/9 healthy", "Juniper is in", ""},
		{walks, "/dog", "Juniper 19.6 kg", ""},
		{0, "/dog", "Juniper 19.6 kg", ""},
		{meals, "/recipe Turkey and heart\n500 g turkey thigh, no skin\n150 g beef heart", "is saved", ""},
		{meals, "/export recipe Turkey and heart", "", "document"},
	} {
		before := len(k.messages(forum, 0))
		if step.topic == 0 {
			k.says(tomas, forum, step.text)
		} else {
			k.saysIn(ines, step.topic, step.text)
		}
		got := k.messages(forum, before)
		if len(got) == 0 || !strings.Contains(got[0].Text, step.want) || got[len(got)-1].Name != step.file {
			t.Fatalf("step %d: %+v", i, got)
		}
		for _, m := range got {
			if m.Topic != step.topic {
				t.Errorf("step %d: asked in topic %d, answered in %d: %q", i, step.topic, m.Topic, m.Text)
			}
		}
	}
	if k.results["dead"] > 0 || k.pending("") > 0 {
		t.Errorf("%d wait, %v", k.pending(""), k.results)
	}
}

// TestTopicsPictures sends every kind of call into a topic.
func TestTopicsPictures(t *testing.T) {
	t.Parallel()
	p, _ := line(t)
	p.api.AddForum(forum, "Quayside", meals)
	r := text(strings.Repeat("long ", 300))
	r.Picture = &say.Picture{Name: "a.png", Alt: "Bars", PNG: []byte("\x89PNG fake")}
	r.Document = &diary
	if err := sendTo(p, forum, "7", r); err != nil {
		t.Fatal(err)
	}
	var kinds []string
	for _, m := range p.api.FromBot(forum) {
		kinds = append(kinds, fmt.Sprint(m.Name, m.Topic))
	}
	if !slices.Equal(kinds, []string{"7", "photo7", "document7"}) {
		t.Errorf("%q", kinds)
	}
}

// sendTo sends a reply at once.
func sendTo(p *phone, chat int64, topic string, r say.Reply) error {
	return p.send(store.Outgoing{Number: 1, Chat: fmt.Sprint(telegram.Prefix, chat), Topic: topic}, r)
}

// TestTopicButtons changes a message in its topic though another topic has
// newer ones, and not where newer ones are below it.
func TestTopicButtons(t *testing.T) {
	t.Parallel()
	k := newKitchen(t)
	k.api.AddForum(forum, "Quayside", meals, walks)
	k.saysIn(ines, meals, "/dog add")
	k.does(func() {
		k.api.SayMore(ines, forum, "Juniper", map[string]any{"message_thread_id": meals, "is_topic_message": true,
			"reply_to_message": map[string]any{"message_id": 2, "from": map[string]any{"id": standin.ID, "is_bot": true}}})
	})
	question := k.messages(forum, 1)[0]
	k.saysIn(tomas, walks, "lovely weather")
	k.presses(ines, question, question.Buttons[0][0].Text)
	got := k.messages(forum, 1)
	if len(got) != 1 || got[0].Edited != 1 {
		t.Fatalf("a message of another topic kept it from being changed: %+v", got)
	}
	k.saysIn(tomas, meals, "what is this?")
	r := text("and how heavy?")
	r.InPlace = fmt.Sprint(question.ID)
	if err := sendTo(k.phone, forum, "7", r); err != nil {
		t.Fatal(err)
	}
	if got := k.messages(forum, 2); len(got) != 1 || got[0].Topic != meals {
		t.Errorf("the answer to a button is not below what was said meanwhile: %+v", got)
	}
}

// TestTopicOfReminders says what is due in the topic in which the household
// was spoken with last, and in the group itself where that topic is gone.
func TestTopicOfReminders(t *testing.T) {
	t.Parallel()
	k := newKitchen(t)
	k.api.AddForum(forum, "Quayside", meals, walks)
	k.filled(forum)
	k.saysIn(ines, meals, "/today")
	k.saysIn(ines, walks, "nothing that is meant for the bot")
	before := len(k.messages(forum, 0))
	k.at(8, 0)
	if got := k.where(before); !slices.Equal(got, []int64{meals, meals}) {
		t.Errorf("in the morning in %v", got)
	}
	k.api.DeleteTopic(forum, meals)
	k.at(18, 0)
	if got := k.where(before + 2); !slices.Equal(got, []int64{0, 0}) {
		t.Errorf("in the evening in %v", got)
	}
	// A button under a message of a topic speaks from there.
	k.saysIn(tomas, walks, "/today")
	k.says(tomas, forum, "/today")
	today := k.messages(forum, before+4)
	under := today[0]
	k.does(func() { k.api.Press(tomas, forum, under.ID, under.Buttons[0][0].Data) })
	k.at(24+8, 0)
	got := k.where(before + 4)
	if want := []int64{walks, walks}; len(got) < 4 || !slices.Equal(got[len(got)-2:], want) {
		t.Errorf("the next morning in %v, want at last %v", got, want)
	}
	if k.results["dead"] > 0 || k.results["never"] > 0 || k.pending("") > 0 {
		t.Errorf("%d wait, %v", k.pending(""), k.results)
	}
}

// TestTopicTold says in the group what somebody of the household did in
// private, in the topic that was spoken in last.
func TestTopicTold(t *testing.T) {
	t.Parallel()
	k := newKitchen(t)
	k.api.AddForum(forum, "Quayside", meals)
	k.saysIn(ines, meals, "/share")
	shared := k.messages(forum, 0)
	k.says(tomas, 0, "/start "+invitation(t, shared[0].Text))
	got := k.messages(forum, 1)
	if len(got) != 1 || !strings.Contains(got[0].Text, "Tomas") || got[0].Topic != meals {
		t.Errorf("the group is told %+v", got)
	}
}

// TestTopicGone tries a topic that is gone once for each reply, and the chat
// then; a chat without the right to write stays one.
func TestTopicGone(t *testing.T) {
	t.Parallel()
	p, _ := line(t)
	p.api.AddForum(forum, "Quayside", meals)
	r := text("Before")
	r.Document, r.Picture = &diary, &say.Picture{Name: "a.png", Alt: "Bars", PNG: []byte("\x89PNG fake")}
	if err := sendTo(p, forum, "8", r); err != nil {
		t.Fatal(err)
	}
	calls := p.api.Calls("")
	if n := len(p.api.FromBot(forum)); n != 2 || len(calls) != 3 || calls[0].Code != 400 {
		t.Errorf("%d messages in %d calls", n, len(calls))
	}
	for _, said := range []string{"Bad Request: TOPIC_CLOSED", "Bad Request: TOPIC_DELETED"} {
		p.api.Fail(standin.Fault{Method: "sendMessage", Code: 400, Description: said})
		if err := sendTo(p, forum, "7", text("Hello")); err != nil {
			t.Errorf("%s: %v", said, err)
		}
		if all := p.api.FromBot(forum); all[len(all)-1].Topic != 0 {
			t.Errorf("%s: it is in topic %d", said, all[len(all)-1].Topic)
		}
	}
	p.api.Fail(standin.Fault{Method: "sendMessage", Code: 400, Description: "Bad Request: TOPIC_CLOSED", Times: 2})
	if err := sendTo(p, forum, "7", text("Hello")); err == nil || !strings.HasPrefix(err.Error(), "blocked") {
		t.Errorf("where the group itself is closed: %v", err)
	}
}

// TestThreadIsNoTopic leaves out the thread of a reply in a group without
// topics, which the platform takes no message for.
func TestThreadIsNoTopic(t *testing.T) {
	t.Parallel()
	var got []talk.Event
	p := connect(t, heard(&got))
	p.api.AddGroup(quay, "Quayside")
	p.api.AddForum(forum, "Quayside", meals)
	thread := map[string]any{"message_thread_id": 7, "reply_to_message": map[string]any{"message_id": 7, "from": map[string]any{"id": standin.ID, "is_bot": true}}}
	p.api.SayMore(ines, quay, "12 kg", thread)
	p.api.SayIn(ines, forum, meals, "12 kg")
	// A topic that the bot made, were it to: nobody replies to it.
	p.api.SayMore(ines, forum, "13 kg", map[string]any{"message_thread_id": 7, "is_topic_message": true,
		"reply_to_message": map[string]any{"message_id": 7, "from": map[string]any{"id": standin.ID, "is_bot": true}, "forum_topic_created": map[string]any{"name": "Bowls"}}})
	p.run(p.adapter.Run)
	p.tally.wait(t, 3)
	var have []string
	for _, e := range got {
		have = append(have, fmt.Sprintf("%s %q %v", e.Text, e.Topic, e.Addressed))
	}
	slices.Sort(have) // the chats are answered side by side
	if want := []string{`12 kg "" true`, `12 kg "7" false`, `13 kg "7" false`}; !slices.Equal(have, want) {
		t.Errorf("%q, want %q", have, want)
	}
}

// TestTopicOfRefusals answers in the topic where the assistant itself cannot.
func TestTopicOfRefusals(t *testing.T) {
	t.Parallel()
	p := pickUp(t, wiring{handler: func(telegram.Handler) telegram.Handler {
		return handlerFunc(func(context.Context, talk.Event) error { panic("over") })
	}})
	p.api.AddForum(forum, "Quayside", meals)
	p.api.SayIn(ines, forum, meals, "/today")
	p.tally.wait(t, 1)
	if got := p.api.FromBot(forum); len(got) != 1 || got[0].Topic != meals {
		t.Errorf("%+v", got)
	}
}
