package main

import (
	"strings"
	"testing"
	"time"

	"bowlwright/bot/talk"
	"bowlwright/planner"
	"bowlwright/store"
	"bowlwright/store/storetest"
)

// TestPublished lists what is published, also while the file is in use, and
// withdraws one of it, of which its readers are to be told.
func TestPublished(t *testing.T) {
	dir, now := t.TempDir(), time.Date(2026, 3, 2, 12, 0, 0, 0, time.UTC)
	run := func(args ...string) (string, error) {
		var out strings.Builder
		err := published(t.Context(), append([]string{"--data", dir}, args...), now, &out)
		return out.String(), err
	}
	s := openIn(t, dir)
	p := store.Published{Household: "h", Person: "telegram/4711", Rev: 1, Published: planner.Published{
		Token: "r-1", Author: "The quay kitchen", Title: "Turkey and heart", Versions: []planner.PublishedVersion{{At: now}, {At: now}},
	}}
	must(t, s.Commit(t.Context(), store.Commit{Writes: []store.Write{store.PutPublished(p), store.PutReader{Token: "r-1", Household: "g", Version: 1}}}))
	stop, err := share(s)
	must(t, err)
	want := "r-1\t2026-03-02\t2 versions\t1 readers\topen\t\"Turkey and heart\" by \"The quay kitchen\"\n1 published\n"
	if got, err := run(); got != want || err != nil {
		t.Errorf("got %q, %v", got, err)
	}
	for _, args := range [][]string{{"--withdraw", "r-1"}, {"--why", "salt"}, {"r-1"}, {"--withdraw", "r-2", "--why", "salt"}} {
		if got, err := run(args...); err == nil {
			t.Errorf("%q: %q", args, got)
		}
	}
	if got, err := run("--withdraw", "r-1", "--why", "salt"); err != nil || !strings.Contains(got, "Turkey and heart") {
		t.Errorf("withdrawn while in use: %q, %v", got, err)
	}
	stop()
	must(t, s.Close())
	if got, err := run("--withdraw", "r-1", "--why", "salt"); err == nil || !strings.Contains(err.Error(), `nothing is published under "r-1"`) {
		t.Errorf("withdrawn twice: %q, %v", got, err)
	}
	if got, err := run(); !strings.Contains(got, "\twithdrawn\t") || err != nil {
		t.Errorf("afterwards: %q, %v", got, err)
	}
	s = openIn(t, dir)
	defer s.Close()
	must(t, storetest.Look(t.Context(), s, func(tx store.Snapshot) error {
		d, err := tx.Due(store.Errand(store.TellErrand, "r-1"))
		if p, err := tx.Published("r-1"); err != nil || !d.At.Equal(now) || p.Withdrawn != (planner.Withdrawal{At: now, Why: "salt", Operator: true}) {
			t.Errorf("%+v, due %v, %v", p.Withdrawn, d.At, err)
		}
		return err
	}))
}

func TestMayPublish(t *testing.T) {
	for _, c := range []struct {
		args string
		want string // who may of 4711, @ines and somebody else
	}{{"", "4711 ines else"}, {"--publishing off", ""}, {"--authors 4711", "4711"}, {"--authors 12,@INES", "ines"}} {
		config, err := parseServe(strings.Fields(c.args), func(name string) string {
			if name == "BOWLWRIGHT_TOKEN" {
				return "1:AAAAAAAAAAAAAAAAAAAAAAAA"
			}
			return ""
		})
		must(t, err)
		var may []string
		for name, e := range map[string]talk.Event{"4711": {Person: "telegram/4711"}, "ines": {Person: "telegram/5", Handle: "Ines"}, "else": {Person: "telegram/6", Handle: "tomas"}} {
			if config.mayPublish(e) != strings.Contains(c.want, name) {
				may = append(may, name)
			}
		}
		if len(may) > 0 {
			t.Errorf("%s: wrong of %q", c.args, may)
		}
	}
}
