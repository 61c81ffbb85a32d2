package store

import "bytes"

// ChangesOf returns all changes of a household,
// the newest first.
func ChangesOf(s Snapshot, household string) (out []Change, err error) {
	t := s.(*boltTx)
	err = t.protected("changes", func() error {
		return t.each(bucketChanges, func(k, record []byte) error {
			if !bytes.HasPrefix(k, partKey(household)) {
				return nil
			}
			var c Change
			err := decode("changes", record, &c)
			out = append([]Change{c}, out...)
			return err
		})
	})
	return out, err
}
