package bolt

import (
	"bytes"

	"bowlwright/store"
)

// ChangesOf returns all changes of a household,
// the newest first.
func ChangesOf(s store.Snapshot, household string) (out []store.Change, err error) {
	t := s.(*transaction)
	err = t.protected("changes", func() error {
		return t.each(bucketChanges, func(k, record []byte) error {
			if !bytes.HasPrefix(k, partKey(household)) {
				return nil
			}
			var c store.Change
			err := store.Decode("changes", record, &c)
			out = append([]store.Change{c}, out...)
			return err
		})
	})
	return out, err
}

// Stamp ends the file with its stamp, as Close does.
func (s *Store) Stamp() error { return s.putStamp() }
