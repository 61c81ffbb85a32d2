package bolt

import (
	"bytes"
	"errors"
	"fmt"
	"path/filepath"
	"testing"

	"bowlwright/store"
)

// TestEmptiedPages empties many pages in one transaction and goes on in it,
// where bbolt's own cursors would stop short or not end if they went backwards.
func TestEmptiedPages(t *testing.T) {
	s := mustOpen(t, filepath.Join(t.TempDir(), "s.db"))
	fill := func(tx *transaction, household string) error {
		for n := range 40 {
			c := store.Change{ID: fmt.Sprint(n), About: string(bytes.Repeat([]byte("x"), 500))}
			if err := tx.PushChange(household, c); err != nil {
				return err
			}
		}
		return nil
	}
	want := func(tx *transaction, household string, n int) {
		t.Helper()
		c, err := tx.Change(household, 0)
		if n < 0 && !store.IsNotFound(err) || n >= 0 && (err != nil || c.ID != fmt.Sprint(n)) {
			t.Errorf("the last change of %s is %q, %v", household, c.ID, err)
		}
	}
	must(t, s.update(t.Context(), func(tx *transaction) error {
		return errors.Join(fill(tx, "a"), fill(tx, "b"), fill(tx, "c"))
	}))
	must(t, s.update(t.Context(), func(tx *transaction) error {
		// In the middle: what is before the pages is found over them.
		err := tx.DeleteHousehold("b")
		want(tx, "a", 39)
		want(tx, "b", -1)
		want(tx, "c", 39)
		// And all of them.
		err = errors.Join(err, tx.DeleteHousehold("a"), tx.DeleteHousehold("c"))
		want(tx, "a", -1)
		want(tx, "c", -1)
		err = errors.Join(err, fill(tx, "b"))
		want(tx, "b", 39)
		return err
	}))
	if err := errors.Join(s.Check(), s.Close()); err != nil {
		t.Error(err)
	}
}
