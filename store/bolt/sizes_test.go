package bolt

import (
	"fmt"
	"path/filepath"
	"testing"

	"bowlwright/planner"
)

// TestSizesCountHouseholds counts those that are there: new ones, those
// written again, those taken out, and those of a transaction that failed.
func TestSizesCountHouseholds(t *testing.T) {
	s := mustOpen(t, filepath.Join(t.TempDir(), "s.db"))
	defer s.Close()
	do := func(want int, f func(tx *transaction) error) {
		t.Helper()
		s.update(t.Context(), f) // some are to fail
		if got, err := s.Sizes(); err != nil || got.Households != want {
			t.Errorf("%d households, want %d; %v", got.Households, want, err)
		}
	}
	put := func(from, to int) func(tx *transaction) error {
		return func(tx *transaction) error {
			for i := from; i < to; i++ {
				if err := tx.PutHousehold(&planner.Household{ID: fmt.Sprint("h", i)}); err != nil {
					return err
				}
			}
			return nil
		}
	}
	do(0, put(0, 0))
	do(30, put(0, 30))
	do(40, put(20, 40))
	do(39, func(tx *transaction) error { return tx.DeleteHousehold("h7") })
	do(39, func(tx *transaction) error { return tx.DeleteHousehold("h7") })
	do(39, func(tx *transaction) error {
		put(50, 60)(tx)
		return fmt.Errorf("not to be kept")
	})
	if err := s.Check(); err != nil {
		t.Error(err)
	}
}
