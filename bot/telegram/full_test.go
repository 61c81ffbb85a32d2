package telegram_test

import (
	"context"
	"errors"
	"fmt"
	"testing"
	"time"

	"bowlwright/bot"
	"bowlwright/bot/delivery"
	"bowlwright/bot/say"
	"bowlwright/bot/telegram"
	"bowlwright/bot/telegram/standin"
	"bowlwright/store"
	"bowlwright/store/storetest"
)

// TestFullDiskIsSaid tells those who wait for an answer that there is no room,
// privately and in groups, where the bot was spoken to; nobody else, and once
// in an hour. What they sent is answered when there is room again, once.
func TestFullDiskIsSaid(t *testing.T) {
	t.Parallel()
	stranger := standin.Person{ID: 4799, Name: "Stranger"}
	at := "@" + standin.Username
	toBot := map[string]any{"reply_to_message": map[string]any{"message_id": 1, "from": map[string]any{"id": standin.ID, "is_bot": true}}}
	groups := []struct {
		id    int64
		say   func(p *phone, id int64)
		told  bool
		topic int64
	}{
		{-100301, func(p *phone, id int64) { p.api.Say(tomas, id, "good morning") }, false, 0},
		{-100302, func(p *phone, id int64) { p.api.Say(tomas, id, "/today") }, true, 0},
		{-100303, func(p *phone, id int64) { p.api.Say(tomas, id, "/vote") }, false, 0},
		{-100304, func(p *phone, id int64) {
			p.api.SayMore(tomas, id, at+" how much?", entityAt("mention", at+" how much?", at))
		}, true, 0},
		{-100305, func(p *phone, id int64) { p.api.SayMore(tomas, id, "12 kg", toBot) }, true, 0},
		{-100306, func(p *phone, id int64) { p.api.Press(tomas, id, 1, "x:help") }, true, 0},
		{-100307, func(p *phone, id int64) { p.api.Say(stranger, id, "/today") }, false, 0},
		{-100308, func(p *phone, id int64) { p.api.SayMore(tomas, id, "", map[string]any{"new_chat_title": "Quay"}) }, false, 0},
		{-100309, func(p *phone, id int64) { p.api.SayIn(tomas, id, meals, "/today") }, true, meals},
	}
	disk := &storetest.FullDisk{Store: openScratch(t)}
	p := connect(t, wiring{store: disk, options: func(o *telegram.Options) { o.Allow = []string{"ines", "4712"} }})
	told := func() (n int) {
		for _, m := range p.api.Calls("sendMessage") {
			if m.Result != nil && m.Result.Text == bot.FullText() {
				n++
			}
		}
		return n
	}
	for _, g := range groups {
		p.api.AddForum(g.id, "Quayside", meals)
	}
	everybody := func() {
		for _, g := range groups {
			g.say(p, g.id)
		}
		p.api.Say(stranger, 0, "/help")
		p.api.Say(ines, 0, "/help")
	}
	disk.Full.Store(true)
	everybody()
	everybody()
	p.run(p.adapter.Run)
	p.waitFor("the news", func() bool { return told() == 6 })
	for _, g := range groups {
		got := p.api.FromBot(g.id)
		if (len(got) == 1) != g.told || g.told && got[0].Topic != g.topic {
			t.Errorf("in %d: %+v", g.id, got)
		}
	}
	if n := len(p.replies(stranger.ID)); n > 0 {
		t.Errorf("a stranger was told %d times", n)
	}
	p.clock.set(start.Add(59 * time.Minute))
	p.api.Say(ines, 0, "/dog")
	if n := p.api.State().Unconfirmed; n != 2*(len(groups)+2)+1 {
		t.Errorf("%d updates are unconfirmed", n)
	}
	p.clock.set(start.Add(61 * time.Minute))
	p.waitFor("the news of the next hour", func() bool { return told() == 12 })

	disk.Full.Store(false)
	p.tally.wait(t, 2*(len(groups)+2)+1)
	if n := told(); n != 12 {
		t.Errorf("%d were told in all, want 12", n)
	}
	if got := p.replies(ines.ID); len(got) != 2+3 {
		t.Errorf("Ines has %d messages, want the news twice and three answers", len(got))
	}
}

// TestFullDiskWithinLimits says it to many at once, besides what was in the
// outbox already, and breaks no limit of the platform; without limits over a
// hundred come at once.
func TestFullDiskWithinLimits(t *testing.T) {
	t.Parallel()
	if testing.Short() {
		t.Skip("it takes some seconds of real time: left out with -short")
	}
	const people = 45
	disk := &storetest.FullDisk{Store: openScratch(t)}
	var d *delivery.Delivery
	p := connect(t, wiring{store: disk, api: startStandin(t, standin.Options{Rates: true}), options: func(o *telegram.Options) {
		o.Wake, o.Aside, o.Now = func(chat string) { d.Wake(chat) }, func(m store.Outgoing) { d.Aside(m) }, time.Now
	}})
	d = delivery.New(disk, p.adapter.Sender(), delivery.Options{Prefix: telegram.Prefix, IsGroup: telegram.IsGroup})
	who := func(i int) standin.Person { return standin.Person{ID: 5000 + int64(i), Name: "Carer"} }
	p.change(func(tx store.Snapshot, put storetest.Put) error {
		for i := range people {
			p.api.Greet(who(i))
			for range 2 {
				if err := put(store.Enqueue{Chat: fmt.Sprint(telegram.Prefix, 5000+i), Body: say.EncodeReply(text("of the outbox"))}); err != nil {
					return err
				}
			}
		}
		return nil
	})
	p.api.AddGroup(quay, "Quayside")
	disk.Full.Store(true)
	p.run(func(ctx context.Context) error {
		sent := make(chan error, 1)
		go func() { sent <- d.Run(ctx) }()
		return errors.Join(p.adapter.Run(ctx), <-sent)
	})
	p.waitFor("some of the outbox", func() bool { return p.api.State().Sent > 5 })
	for i := range people {
		p.api.Say(who(i), 0, "/help")
		p.api.Say(who(i), quay, "/today")
	}
	news := func(chat int64) (n int) {
		for _, s := range p.replies(chat) {
			if s == bot.FullText() {
				n++
			}
		}
		return n
	}
	p.waitFor("the news to all", func() bool {
		told := news(quay)
		for i := range people {
			told += news(who(i).ID)
		}
		return told == people+1
	})
	if got := p.api.State().Breaches; len(got) > 0 {
		t.Errorf("limits were broken: %q", got)
	}
	if n := news(quay); n != 1 {
		t.Errorf("the group was told %d times", n)
	}
	disk.Full.Store(false)
}

// TestBesideTheOutbox sends messages without a number whole, whatever became
// of others.
func TestBesideTheOutbox(t *testing.T) {
	t.Parallel()
	p, _ := line(t)
	p.api.Greet(tomas)
	send := func(to standin.Person, r say.Reply) error {
		return p.send(store.Outgoing{Chat: fmt.Sprint(telegram.Prefix, to.ID)}, r)
	}
	r := text("Two parts")
	r.Picture, r.Document = &say.Picture{Name: "a.png", Alt: "Bars", PNG: []byte("\x89PNG fake")}, &diary
	p.api.Fail(standin.Fault{Method: "sendDocument", Code: 500})
	if err := send(ines, r); err == nil {
		t.Fatal("it did not fail")
	}
	if err := send(tomas, text("Hello")); err != nil || len(p.replies(tomas.ID)) != 1 {
		t.Errorf("%q, %v", p.replies(tomas.ID), err)
	}
}
