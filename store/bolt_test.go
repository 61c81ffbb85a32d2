package store_test

import (
	"path/filepath"
	"testing"

	"bowlwright/store"
	"bowlwright/store/storetest"
)

// openStore opens the store in a file and, when the test ends, checks its
// integrity and closes it.
func openStore(t testing.TB, path string) *store.Bolt {
	t.Helper()
	s, err := store.Open(path, store.Options{NoSync: true})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { checkAndClose(t, s) })
	return s
}

func checkAndClose(t testing.TB, s *store.Bolt) {
	t.Helper()
	if err := s.Check(); err != nil {
		t.Errorf("integrity: %v", err)
	}
	if err := s.Close(); err != nil {
		t.Errorf("close: %v", err)
	}
}

func TestContract(t *testing.T) {
	storetest.Run(t, func(t testing.TB) store.Store {
		return openStore(t, filepath.Join(t.TempDir(), "s.db"))
	})
}
