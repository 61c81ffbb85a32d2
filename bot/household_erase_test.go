package bot

import (
	"bytes"
	"context"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"bowlwright/store"
	"bowlwright/store/bolt"
	"bowlwright/store/storetest"
)

// found lists which of some words stand in a file, whatever their case.
func found(t *testing.T, path string, words ...string) (out []string) {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	data = bytes.ToLower(data)
	for _, w := range words {
		if bytes.Contains(data, []byte(strings.ToLower(w))) {
			out = append(out, w)
		}
	}
	return out
}

func must(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

// TestErasedFromTheFile erases first a carer and then the household, and
// searches the file's bytes and those of a backup; a backup of before that is
// restored does not bring it back.
func TestErasedFromTheFile(t *testing.T) {
	dir := t.TempDir()
	file, ctx := filepath.Join(dir, "a.db"), context.Background()
	s, err := bolt.Open(file, bolt.Options{NoSync: true})
	must(t, err)
	defer func() { s.Close() }()
	backup := func(name string) string {
		to := filepath.Join(dir, name)
		_, err := bolt.BackupTo(to, func(w io.Writer) error { return s.Backup(ctx, w) })
		must(t, err)
		return to
	}
	w := newKitchen(t, s)
	w.a.BackupsUntil = func(now time.Time) time.Time { return now.AddDate(0, 0, 7) }
	home := w.home("Ines")
	w.pass(2, 9, 0)
	w.says("Tomas", "Juniper 19.4 kg")
	w.says("Tomas", "note the gate squeaks")
	w.update(func(_ store.Snapshot, put storetest.Put) error {
		return put(store.PutDead{Message: store.Outgoing{Number: 999, Chat: "x/Tomas", Body: []byte(`{}`)}, Reason: "gone", At: w.at})
	})
	words := []string{"Juniper", "Bracken", "Quay bowl", "turkey thigh", "vitamin", "Ines", "Tomas", home}
	before := backup("before.db")
	if got := found(t, before, words...); len(got) != len(words) {
		t.Fatalf("before: %q", got)
	}

	// A carer goes, the household stays.
	r := w.presses("Tomas", button(t, w.says("Tomas", "delete my data"), "Delete me"))
	wantText(t, r, "Deleted: your name", "Backups still have it until Mon 9 Mar 2026")
	w.read("x/Ines")
	must(t, s.Compact(ctx))
	if got := found(t, file, words...); strings.Contains(strings.Join(got, " "), "Tomas") || len(got) != len(words)-1 {
		t.Errorf("after Tomas: %q", got)
	}
	wantText(t, w.says("Ines", "/household"), "Carer: Ines (you).")
	if w.home("Tomas") != "" || len(w.entries()) == 0 {
		t.Error("Tomas is in the household still, or its journal is not")
	}

	// The household goes.
	open := w.says("Ines", "erase")
	if r := w.presses("Ines", button(t, open, "Send me the file")); r[0].Document == nil {
		t.Errorf("no file: %s", text(r))
	}
	wantText(t, w.presses("Ines", button(t, open, "Delete everything")), "Deleted. Nothing of it is left here.", "until Mon 9 Mar 2026")
	if got := found(t, file, words...); len(got) == 0 {
		t.Error("the file needs no compacting, so this tests nothing")
	}
	must(t, s.Compact(ctx))
	for _, path := range []string{file, backup("after.db")} {
		if got := found(t, path, words...); len(got) > 0 {
			t.Errorf("%s has %q", filepath.Base(path), got)
		}
	}

	// The new file goes on, and what is restored has none of it either.
	w.says("Mara", "dog Pip 6.4 kg")
	must(t, s.Close())
	restored, err := bolt.Restore(before, file, bolt.RestoreOptions{Keep: file + ".was"})
	must(t, err)
	if restored.Erased != 1 {
		t.Errorf("%+v", restored)
	}
	s, err = bolt.Open(file, bolt.Options{NoSync: true})
	must(t, err)
	if got := found(t, file, words...); len(got) > 0 {
		t.Errorf("restored: %q", got)
	}
	must(t, s.Close())
	if f, err := bolt.Verify(file); err != nil || f.Unclosed || f.Households != 0 {
		t.Errorf("%+v, %v", f, err)
	}
	s, err = bolt.Open(file, bolt.Options{NoSync: true})
	must(t, err)
}

// TestEraseIsAskedOnce keeps everything where the answer is no, late or another.
func TestEraseIsAskedOnce(t *testing.T) {
	w := newWorld(t)
	w.quayside()
	for _, answer := range []string{"no", "Juniper 19.4 kg", "stop"} {
		w.says("Ines", "/erase")
		w.says("Ines", answer)
		wantText(t, w.says("Ines", "/dog"), "Juniper")
	}
	late := button(t, w.says("Ines", "/erase"), "Delete everything")
	w.at = w.at.Add(2 * time.Hour)
	w.presses("Ines", late)
	wantText(t, w.says("Ines", "/dog"), "Juniper")
	e := w.event("Ines")
	e.Home = w.home("Ines")
	w.presses("Ines", button(t, w.says("Ines", "wipe all my data"), "Delete everything"))
	e.Text = "dog Pip 6.4 kg"
	w.handle(e)
	if is := w.home("Ines"); is == e.Home || is == "" {
		t.Errorf("the next household is %q", is)
	}
}
