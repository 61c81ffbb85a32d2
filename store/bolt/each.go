package bolt

import (
	"context"

	"bowlwright/store"
)

// eachPage is how many records Each reads at once; our own choice.
const eachPage = 1000

// Each implements store.Movable.
func (s *Store) Each(ctx context.Context, f func(store.Write) error) error {
	t, err := s.read("each")
	if err != nil {
		return err
	}
	defer t.Close()
	for _, of := range kinds {
		if err := t.eachOf(ctx, of.bucket, func(k, v []byte) error {
			w, err := of.write(k, v)
			if err != nil {
				return classify("each", err)
			}
			return f(w)
		}); err != nil {
			return err
		}
	}
	return f(store.NumberFrom(t.size(bucketOutbox)))
}

// eachOf calls f with copies of the records of a bucket, outside of what is
// protected.
func (t *transaction) eachOf(ctx context.Context, name []byte, f func(key, record []byte) error) error {
	var after []byte
	for {
		var keys, records [][]byte
		err := t.in("each", name, func(b bucket) error {
			c := b.is.Cursor()
			k, v := c.Seek(after)
			for ; k != nil && len(keys) < eachPage; k, v = c.Next() {
				record, err := copied("each", k, v)
				if err != nil {
					return err
				}
				keys, records = append(keys, append([]byte{}, k...)), append(records, record)
			}
			return nil
		})
		if err != nil {
			return err
		}
		for i := range keys {
			if err := ctx.Err(); err != nil {
				return classify("each", err)
			}
			if err := f(keys[i], records[i]); err != nil {
				return err
			}
		}
		if len(keys) < eachPage {
			return nil
		}
		after = append(keys[len(keys)-1], 0)
	}
}
