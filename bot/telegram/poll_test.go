package telegram_test

import (
	"context"
	"fmt"
	"strings"
	"testing"
	"time"

	"bowlwright/bot/talk"
	"bowlwright/bot/telegram/standin"
)

// garbled is an answer to getUpdates in which the middle one of three updates
// is cut off.
func garbled(first int64) standin.Fault {
	middle := typed(int(first)+1, "/dog Juniper 19.6 kg")
	return standin.Fault{Method: "getUpdates", Body: `{"ok":true,"result":[` +
		strings.Join([]string{typed(int(first), "/help"), middle[:len(middle)-20], typed(int(first)+2, "/dog")}, ",") + "]}"}
}

// TestGarbledAnswer has an answer come garbled twice: the update that could
// not be read is asked for again, and none is lost. The one before it comes
// twice and is answered once, also where it is still in hand when it comes
// again; then it comes to an end only once, so updates are not counted here.
func TestGarbledAnswer(t *testing.T) {
	t.Parallel()
	for name, held := range map[string]int{"at once": 0, "in hand until the third question": 3} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			var api *standin.Server
			p := connect(t, before(func(ctx context.Context, e talk.Event) error {
				return api.Wait(ctx, func() bool { return api.State().Asked >= held })
			}))
			api = p.api
			first := p.api.Say(ines, 0, "/help")
			p.api.Say(ines, 0, "/dog Juniper 19.6 kg")
			p.api.Say(ines, 0, "/dog")
			f := garbled(first)
			f.Times = 2
			p.api.Fail(f)
			p.run(p.adapter.Run)
			p.waitFor("three answers", func() bool { return len(p.replies(ines.ID)) >= 3 })
			got := p.replies(ines.ID)
			if len(got) != 3 || !strings.Contains(got[0], "for example") || !strings.Contains(got[1], "Juniper is in") || !strings.Contains(got[2], "1 dog") {
				t.Errorf("answered %q", got)
			}
			if asked, n := p.api.State().Asked, p.tally.of("unreadable"); asked < 3 || n > 0 {
				t.Errorf("asked %d times, %d given up", asked, n)
			}
		})
	}
}

// TestGarbledForGood has it come garbled every time: nothing behind it is
// confirmed before it was asked for three times, then it is given up by name.
func TestGarbledForGood(t *testing.T) {
	t.Parallel()
	p := connect(t, wiring{})
	first := p.api.Say(ines, 0, "/help")
	p.api.Push(first+1, `{"update_id":`+fmt.Sprint(first+1)+`,"message":{"text":"wombat"`)
	p.api.Say(ines, 0, "/help")
	p.run(p.adapter.Run)
	p.tally.wait(t, 3)
	if n := p.api.State().Asked; n < 3 {
		t.Errorf("given up after it was asked for %d times", n)
	}
	if p.tally.of("unreadable") != 1 || len(p.replies(ines.ID)) != 2 {
		t.Errorf("%d given up, %d answers", p.tally.of("unreadable"), len(p.replies(ines.ID)))
	}
	p.stop()
	if log := p.log.String(); !strings.Contains(log, fmt.Sprint("given up: it cannot be read\" update=", first+1)) || strings.Contains(log, "wombat") {
		t.Errorf("the log lacks the update's id or holds its text:\n%s", log)
	}
}

// TestEmptyAnswers answers at once that there is nothing; it is not asked
// again in a busy loop, and what comes then is answered.
func TestEmptyAnswers(t *testing.T) {
	t.Parallel()
	p := connect(t, wiring{})
	p.api.Fail(standin.Fault{Method: "getUpdates", Body: `{"ok":true,"result":[]}`, Times: -1})
	p.run(p.adapter.Run)
	p.waitFor("a first question", func() bool { return p.api.State().Asked >= 1 })
	begun, before := time.Now(), p.api.State().Asked
	p.waitFor("three more", func() bool { return p.api.State().Asked >= before+3 })
	// The first pause may lie before begun.
	if took := time.Since(begun); took < 1900*time.Millisecond {
		t.Errorf("asked three times in %v", took)
	}
	p.api.Say(ines, 0, "/help")
	p.api.Mend()
	p.tally.wait(t, 1)
}
