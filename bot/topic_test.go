package bot

import (
	"testing"

	"bowlwright/store"
	"bowlwright/store/storetest"
)

// topics are where the messages to a chat go that wait, which are then taken
// away.
func (w *world) topics(chat string) (out []string) {
	w.t.Helper()
	w.update(func(tx store.Snapshot, put storetest.Put) error {
		ms, err := tx.Pending(chat, 1000)
		for _, m := range ms {
			out = append(out, m.Topic)
			if err := put(store.Delivered(m.Number)); err != nil {
				return err
			}
		}
		return err
	})
	return out
}

// TestTopicIsKept remembers of a group where it was spoken with last, until it
// is spoken with in no topic, and keeps nothing of a private chat.
func TestTopicIsKept(t *testing.T) {
	w := newWorld(t)
	kept := func(chat string) (data []byte) {
		w.update(func(tx store.Snapshot, put storetest.Put) (err error) {
			data, err = tx.Adapter(chat)
			return err
		})
		return data
	}
	for _, step := range []struct {
		topic, text string
		said        bool
		kept        string
	}{
		{"", "/dog Juniper 19.6 kg", true, ""},
		{"7", "/today", true, `{"topic":"7"}`},
		{"9", "nothing that is meant for it", false, `{"topic":"7"}`},
		{"9", "/today", true, `{"topic":"9"}`},
		{"", "/today", true, ""},
	} {
		e := w.inGroup("Ines", step.text, false)
		e.Topic = step.topic
		if err := w.a.Handle(t.Context(), e); err != nil {
			t.Fatal(err)
		}
		got := w.topics(group)
		if (len(got) > 0) != step.said {
			t.Errorf("%q in %q: %d answers", step.text, step.topic, len(got))
		}
		for _, topic := range got {
			if topic != step.topic {
				t.Errorf("%q in %q is answered in %q", step.text, step.topic, topic)
			}
		}
		if got := string(kept(group)); got != step.kept {
			t.Errorf("%q in %q: %q is kept, want %q", step.text, step.topic, got, step.kept)
		}
	}
	e := w.event("Ines")
	e.Topic, e.Text = "3", "/help"
	w.handle(e)
	if got := kept(e.Chat); got != nil {
		t.Errorf("of a private chat %q is kept", got)
	}
}

// TestTopicNotesThatCannotBeRead says things in the group itself then.
func TestTopicNotesThatCannotBeRead(t *testing.T) {
	w := newWorld(t)
	payload := link(t, w.handle(w.inGroup("Ines", "/share", false)))
	w.update(func(tx store.Snapshot, put storetest.Put) error {
		return put(store.PutAdapter{Chat: group, Notes: []byte(`{"topic":7}`)})
	})
	join := w.event("Tomas")
	join.Text = "/start " + payload
	if err := w.a.Handle(t.Context(), join); err != nil {
		t.Fatal(err)
	}
	if got := w.topics(group); len(got) != 1 || got[0] != "" {
		t.Errorf("the group is told in %q", got)
	}
}
