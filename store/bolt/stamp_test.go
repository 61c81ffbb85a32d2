package bolt_test

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"reflect"
	"testing"

	"bowlwright/store"
	"bowlwright/store/bolt"
	"bowlwright/store/storetest"
)

// TestDamagedMeta flips bits of the meta pages of a file that was closed and of
// a backup. Nothing is lost then, and verifying tells of it.
func TestDamagedMeta(t *testing.T) {
	closed, want := sound(t)
	path := filepath.Join(t.TempDir(), "s.db")
	must(t, os.WriteFile(path, closed, 0o600))
	var copied bytes.Buffer
	must(t, bolt.CopyFile(path, &copied))
	step := 1
	if os.Getenv("BOWLWRIGHT_LONG") == "" {
		step = 5
	}
	for name, data := range map[string][]byte{"closed": closed, "backup": copied.Bytes()} {
		older := 0
		for at := 0; at < 2*88; at += step {
			spoiled := bytes.Clone(data)
			spoiled[at%88+at/88*os.Getpagesize()] ^= 1 << (at % 8)
			must(t, os.WriteFile(path, spoiled, 0o600))
			found, err := bolt.Verify(path)
			var e *store.Error
			if found.Older != (errors.As(err, &e) && e.Code == store.Older) || err != nil && !found.Older || found.Older == found.Torn {
				t.Errorf("%s, byte %d: %+v, %v", name, at, found, err)
			}
			if found.Older {
				older++
			}
			if at%8 > 0 {
				continue
			}
			s := mustOpen(t, path)
			if s.Found().Older != found.Older || s.Found().Torn != found.Torn {
				t.Errorf("%s, byte %d: %+v when opened, %+v", name, at, s.Found(), found)
			}
			if got, err := read(s); err != nil || !reflect.DeepEqual(got, want) {
				t.Errorf("%s, byte %d: something is lost: %v", name, at, err)
			}
			checkAndClose(t, s)
			// It can be put in the place of the data.
			r, err := bolt.Restore(path, filepath.Join(t.TempDir(), "to.db"), bolt.RestoreOptions{})
			if err != nil || r.Found.Older != found.Older {
				t.Errorf("%s, byte %d: restored %+v, %v", name, at, r, err)
			}
		}
		if older < 50/step {
			t.Errorf("%s: only %d of the bytes were told of as older", name, older)
		}
	}
}

// TestStampIsDamaged takes a file whose stamp is not whole for one that was not
// closed.
func TestStampIsDamaged(t *testing.T) {
	data, want := sound(t)
	path := filepath.Join(t.TempDir(), "s.db")
	for _, spoil := range []func([]byte) []byte{
		func(b []byte) []byte { return b[:len(b)-stampSize] },
		func(b []byte) []byte { return b[:len(b)-1] },
		func(b []byte) []byte { return append(b, 0) },
		func(b []byte) []byte { b[len(b)-stampSize] ^= 1; return b },
		func(b []byte) []byte { b[len(b)-stampSize+30] ^= 1; return b },
		func(b []byte) []byte { b[len(b)-1] ^= 1; return b },
	} {
		spoiled := spoil(bytes.Clone(data))
		if !tryDamaged(t, path, spoiled, want) {
			t.Error("it did not open")
		}
		if found, err := bolt.Verify(path); err != nil || !found.Unclosed {
			t.Errorf("%+v, %v", found, err)
		}
	}
}

// TestFoundUnclosed tells a file that was closed from one that was not.
func TestFoundUnclosed(t *testing.T) {
	path := filepath.Join(t.TempDir(), "s.db")
	join := store.PutMember{Chat: "terminal/Ines", Person: "terminal/Ines", Household: "quayside"}
	s := mustOpen(t, path)
	must(t, errors.Join(storetest.Look(t.Context(), s, func(store.Snapshot) error { return nil }), s.Close()))
	for range 2 {
		if s = mustOpen(t, path); s.Found().Unclosed {
			t.Error("a file that was closed was found unclosed")
		}
		must(t, commit(s, join))
		crashed, err := os.ReadFile(path)
		must(t, errors.Join(err, s.Close(), os.WriteFile(path+".crashed", crashed, 0o600)))
	}
	s = mustOpen(t, path+".crashed")
	if found := s.Found(); !found.Unclosed || found.Older {
		t.Errorf("after a crash: %+v", found)
	}
	checkAndClose(t, s)
}

// TestStampedOnce closes a file that has its stamp: nothing more is written, so
// that a crash never leaves a stamp over pages that it does not know.
func TestStampedOnce(t *testing.T) {
	data, _ := sound(t)
	path := filepath.Join(t.TempDir(), "s.db")
	must(t, os.WriteFile(path, data, 0o600))
	s := mustOpen(t, path)
	must(t, s.Commit(t.Context(), store.Commit{Writes: []store.Write{store.MarkSeen{Event: "one"}}}))
	must(t, s.Stamp())
	stamped, err := os.ReadFile(path)
	must(t, err)
	must(t, s.Close())
	if closed, err := os.ReadFile(path); err != nil || !bytes.Equal(closed, stamped) {
		t.Errorf("closing changed the file: %v", err)
	}
}
