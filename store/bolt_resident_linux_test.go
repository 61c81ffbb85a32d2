package store_test

import (
	"bufio"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"bowlwright/planner"
	"bowlwright/store"
)

// TestLargeFileIsNotResident opens a file of some 50 MB and reads from it at
// random; little of it may be resident at any time it is asked.
func TestLargeFileIsNotResident(t *testing.T) {
	const households, most = 10_000, 24 << 20
	path := filepath.Join(t.TempDir(), "s.db")
	s, err := store.Open(path, store.Options{NoSync: true})
	if err != nil {
		t.Fatal(err)
	}
	err = s.Update(t.Context(), func(tx store.Tx) error {
		h := planner.Household{Recipes: []planner.Recipe{{Name: strings.Repeat("x", 4000)}}}
		for i := range households {
			h.ID = fmt.Sprintf("h%06d", i)
			if err := tx.PutHousehold(&h); err != nil {
				return err
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	if s, err = store.Open(path, store.Options{NoSync: true}); err != nil {
		t.Fatal(err)
	}
	defer checkAndClose(t, s)
	if n := residentBytes(t, path); n > most {
		t.Errorf("%d bytes are resident after it was opened", n)
	}
	random := rand.New(rand.NewPCG(1, 2))

	for n := range 4000 {
		read := func(tx store.Tx) error {
			_, err := tx.Household(fmt.Sprintf("h%06d", random.IntN(households)))
			return err
		}
		do := s.View
		if n%2 == 0 {
			do = s.Update
		}
		if err := do(t.Context(), read); err != nil {
			t.Fatal(err)
		}
		if n%500 == 499 {
			if n := residentBytes(t, path); n > most {
				t.Fatalf("%d bytes are resident after reading at random", n)
			}
		}
	}
}

// residentBytes is how much of the mappings of a file the process holds.
func residentBytes(t testing.TB, path string) (n int) {
	t.Helper()
	f, err := os.Open("/proc/self/smaps")
	if err != nil {
		t.Skip("the system does not say what is resident")
	}
	defer f.Close()
	mine := false
	for lines := bufio.NewScanner(f); lines.Scan(); {
		line := lines.Text()
		var kb int
		switch _, err := fmt.Sscanf(line, "Rss: %d kB", &kb); {
		case err == nil && mine:
			n += kb << 10
		case strings.Contains(strings.Fields(line)[0], "-"):
			mine = strings.HasSuffix(line, path)
		}
	}
	return n
}
