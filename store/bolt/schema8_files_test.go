package bolt_test

import (
	"bytes"
	"compress/gzip"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"testing"
	"time"

	"bowlwright/planner"
	"bowlwright/store"
	"bowlwright/store/bolt"
	"bowlwright/store/storetest"
)

// old is everything that the files in schema8/testdata hold, as the program
// that wrote them read it.
type old struct {
	Homes     []oldHome
	Dialogues []store.Dialogue
	Notes     map[string]string
	Blocked   map[string]time.Time
	Pending   []store.Outgoing
	Dead      []store.Dead
	Updates   []store.Update
	Endings   []string
	Seen      map[string]bool
	Due       []store.Due
	Sizes     struct{ Households, Outbox, Inbox, Dead, Bytes int }
}

// oldHome is a household with all that belongs to it; the changes stand the
// newest first.
type oldHome struct {
	Is      *planner.Household
	Rev     uint64
	Changes []store.Change
	Members []store.Member
	Invites []store.Invite
	Entries []planner.Entry
	Due     store.Due
}

var (
	oldHomes = []string{"quayside", "mill"}
	oldChats = []string{"telegram/11", "telegram/-47", "terminal/Ines", "terminal/Tomas"}
)

// readOld reads all of it and changes nothing.
func readOld(t *testing.T, s *bolt.Store) old {
	t.Helper()
	o := old{Notes: map[string]string{}, Blocked: map[string]time.Time{}, Seen: map[string]bool{}}
	err := storetest.Look(context.Background(), s, func(tx store.Snapshot) error {
		for _, id := range oldHomes {
			h, err := readOldHome(tx, id)
			if err != nil {
				return err
			}
			o.Homes = append(o.Homes, h)
		}
		if err := o.chats(tx); err != nil {
			return err
		}
		for n := range 40 {
			event := fmt.Sprint("event-", n)
			seen, err := tx.Seen(event)
			if err != nil {
				return err
			}
			o.Seen[event] = seen
		}
		var errs [6]error
		o.Pending, errs[0] = tx.Pending("", 1000)
		o.Dead, errs[1] = tx.Dead(1000)
		o.Updates, errs[2] = tx.Updates(-1000, 1000)
		o.Endings, errs[3] = tx.Endings(at.AddDate(9, 0, 0), 1000)
		o.Due, errs[4] = tx.DueBy(at.AddDate(9, 0, 0), 1000)
		var is store.Sizes
		is, errs[5] = tx.Sizes()
		o.Sizes.Households, o.Sizes.Outbox, o.Sizes.Inbox, o.Sizes.Dead = is.Households, is.Outbox+is.Refused, is.Inbox, is.Dead
		return errors.Join(errs[:]...)
	})
	must(t, err)
	return o
}

func readOldHome(tx store.Snapshot, id string) (h oldHome, err error) {
	var errs [7]error
	h.Is, errs[0] = tx.Household(id)
	h.Rev, errs[1] = tx.Revision(id)
	h.Members, errs[2] = tx.Members(id)
	h.Invites, errs[3] = tx.Invites(id)
	h.Entries, errs[4] = tx.Entries(id, store.EntryQuery{})
	h.Due, errs[5] = tx.Due(id)
	h.Changes, errs[6] = bolt.ChangesOf(tx, id)
	return h, errors.Join(errs[:]...)
}

func (o *old) chats(tx store.Snapshot) error {
	for _, chat := range oldChats {
		notes, err := tx.Adapter(chat)
		if err != nil {
			return err
		}
		o.Notes[chat] = string(notes)
		if o.Blocked[chat], err = tx.Blocked(chat); err != nil {
			return err
		}
		d, err := tx.Dialogue(chat, chat)
		var e *store.Error
		if err != nil && !(errors.As(err, &e) && e.Code == store.NotFound) {
			return err
		}
		o.Dialogues = append(o.Dialogues, d)
	}
	return nil
}

// unpack writes one of the files in schema8/testdata, as they were packed.
func unpack(t *testing.T, name, to string) {
	t.Helper()
	must(t, os.WriteFile(to, packed(t, name), 0o600))
}

func packed(t *testing.T, name string) []byte {
	t.Helper()
	f, err := os.Open(filepath.Join("schema8", "testdata", name+".gz"))
	must(t, err)
	defer f.Close()
	z, err := gzip.NewReader(f)
	must(t, err)
	data, err := io.ReadAll(z)
	must(t, err)
	return data
}

// oldFiles places a file of schema 8, with the log beside it that a crash left
// where there is one, and returns what the program of then read in it.
func oldFiles(t *testing.T, name string) (path string, want old) {
	t.Helper()
	path = filepath.Join(t.TempDir(), "s.db")
	unpack(t, name+".db", path)
	if name == "crashed" {
		unpack(t, name+".db.redo", path+".redo")
	}
	must(t, json.Unmarshal(packed(t, name+".json"), &want))
	return path, want
}

// wantOld opens a file and compares all that it holds.
func wantOld(t *testing.T, path string, want old) {
	t.Helper()
	s := mustOpen(t, path)
	defer checkAndClose(t, s)
	got, err := json.Marshal(readOld(t, s))
	must(t, err)
	if wanted, err := json.Marshal(want); err != nil || !bytes.Equal(got, wanted) {
		t.Errorf("it holds\n%s\nwant\n%s", got, wanted)
	}
	left, err := os.ReadDir(filepath.Dir(path))
	if err != nil || len(left) != 1 {
		t.Errorf("there is %v, %v", left, err)
	}
}

var oldNames = []string{"closed", "crashed"}

// TestOpensSchema8 opens files that the program of schema 8 wrote: one that it
// closed, and one in use when it was killed.
func TestOpensSchema8(t *testing.T) {
	for _, name := range oldNames {
		path, want := oldFiles(t, name)
		s := mustOpen(t, path)
		if found := s.Found(); found.From != 8 || (found.Logged > 0) != (name == "crashed") {
			t.Errorf("%s: found %+v", name, found)
		}
		checkAndClose(t, s)
		wantOld(t, path, want)
		wantOld(t, path, want) // nothing more to do
	}
}

// TestSchema8Copies verifies, copies and restores such files.
func TestSchema8Copies(t *testing.T) {
	for _, name := range oldNames {
		path, want := oldFiles(t, name)
		found, err := bolt.Verify(path)
		if err != nil || found.From != 8 {
			t.Errorf("%s: %+v, %v", name, found, err)
		}
		to := filepath.Join(t.TempDir(), "s.db")
		if _, err := bolt.Restore(path, to, bolt.RestoreOptions{Unsent: true}); err != nil {
			t.Fatal(err)
		}
		wantOld(t, to, want)
		wantFile(t, path, packed(t, name+".db")) // neither has changed it
		var copied bytes.Buffer
		must(t, bolt.CopyFile(path, &copied))
		to = filepath.Join(t.TempDir(), "s.db")
		must(t, os.WriteFile(to, copied.Bytes(), 0o600))
		wantOld(t, to, want)
	}
}

// TestRestoreOverSchema8 keeps what is replaced, with its log.
func TestRestoreOverSchema8(t *testing.T) {
	path, crashed := oldFiles(t, "crashed")
	from, closed := oldFiles(t, "closed")
	keep := filepath.Join(t.TempDir(), "kept.db")
	if r, err := bolt.Restore(from, path, bolt.RestoreOptions{Keep: keep, Unsent: true}); !r.Kept || err != nil {
		t.Fatalf("%+v, %v", r, err)
	}
	wantOld(t, path, closed)
	wantOld(t, keep, crashed)
}

// TestSchema8Broken stops the making of the new file at every point at which a
// crash leaves other files behind, and opens what there is.
func TestSchema8Broken(t *testing.T) {
	for _, name := range oldNames {
		// The new file is begun, as a whole or in part.
		path, want := oldFiles(t, name)
		other, _ := oldFiles(t, name)
		mustOpen(t, other).Close()
		whole := fileOf(t, other)
		for _, half := range [][]byte{{}, []byte("half"), whole[:len(whole)/2], whole} {
			path, want = oldFiles(t, name)
			must(t, os.WriteFile(path+".new", half, 0o600))
			wantOld(t, path, want)
		}
		if name != "crashed" {
			continue
		}
		// It is in its place, and the log is still there.
		must(t, os.WriteFile(path, whole, 0o600))
		unpack(t, "crashed.db.redo", path+".redo")
		wantOld(t, path, want)
	}
}

// TestSchema8Refused leaves files alone that are damaged or do not belong
// together.
func TestSchema8Refused(t *testing.T) {
	file, log := packed(t, "crashed.db"), packed(t, "crashed.db.redo")
	half := bytes.Clone(log)
	half[200] ^= 1
	digit := bytes.ReplaceAll(file, []byte("Turkey and heart"), []byte("Turkey and hearts"[:16]))
	digit = bytes.ReplaceAll(digit, []byte("Juniper"), []byte("Junipar"))
	other, _ := oldFiles(t, "closed")
	s := mustOpen(t, other)
	must(t, s.Close())
	current := fileOf(t, other)
	for what, is := range map[string][2][]byte{
		"a log of another file":       {packed(t, "closed.db"), log},
		"a log beside a file of now":  {current, log},
		"a log that is damaged":       {file, half},
		"something else in its place": {file, []byte("# notes\n\nsalmon on Friday\n")},
		"a record that is damaged":    {digit, log},
		"half a file":                 {file[:len(file)/8], log},
		"a log without its file":      {nil, log},
	} {
		path := filepath.Join(t.TempDir(), "s.db")
		if is[0] != nil {
			must(t, os.WriteFile(path, is[0], 0o600))
		}
		must(t, os.WriteFile(path+".redo", is[1], 0o600))
		_, err := bolt.Open(path, bolt.Options{})
		wantCode(t, what, err, store.Damaged)
		if is[0] != nil {
			wantFile(t, path, is[0])
		}
		wantFile(t, path+".redo", is[1])
		left, err := os.ReadDir(filepath.Dir(path))
		if err != nil || len(left) > 2 {
			t.Errorf("%s: left behind: %v, %v", what, left, err)
		}
	}
}

// TestSchema8EmptyLog opens files beside which nothing is in a log.
func TestSchema8EmptyLog(t *testing.T) {
	log := packed(t, "crashed.db.redo")
	for _, log := range [][]byte{{}, make([]byte, 100), log[:28], make([]byte, 1<<18)} {
		path, want := oldFiles(t, "closed")
		must(t, os.WriteFile(path+".redo", log, 0o600))
		wantOld(t, path, want)
		must(t, os.WriteFile(path+".redo", log, 0o600))
		wantOld(t, path, want)
	}
}
