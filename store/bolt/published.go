package bolt

import (
	"bytes"
	"cmp"

	"bowlwright/store"
)

func (t *transaction) Published(token string) (p store.Published, err error) {
	err = t.load("published", bucketPublished, []byte(token), &p)
	return p, err
}

func (t *transaction) deletePublished(token string) error {
	const op = "delete published"
	return cmp.Or(t.removeAll(op, bucketReaders, partKey(token)), t.remove(op, bucketPublished, []byte(token)))
}

func (t *transaction) PublishedBy(household string) ([]store.Published, error) {
	const op = "published by"
	tokens, err := t.keys(op, bucketPublishedOf, partKey(household))
	return named(op, "something published", tokens, err, t.Published)
}

func (t *transaction) PublishedAfter(token string, limit int) ([]store.Published, error) {
	const op = "published after"
	records, err := t.behind(op, bucketPublished, nil, token, limit)
	return decoded[store.Published](op, records, err)
}

// behind returns up to limit records whose keys begin with a prefix, behind that
// which ends in after.
func (t *transaction) behind(op string, name, prefix []byte, after string, limit int) (records [][]byte, err error) {
	from := append(bytes.Clone(prefix), after...)
	err = t.in(op, name, func(b bucket) error {
		c := b.is.Cursor()
		k, v := c.Seek(from)
		if k != nil && bytes.Equal(k, from) {
			k, v = c.Next()
		}
		for ; k != nil && bytes.HasPrefix(k, prefix) && len(records) < limit; k, v = c.Next() {
			record, err := copied(op, k, v)
			if err != nil {
				return err
			}
			records = append(records, record)
		}
		return nil
	})
	return records, err
}

func (t *transaction) Readers(token, after string, limit int) ([]store.Reader, error) {
	const op = "readers"
	records, err := t.behind(op, bucketReaders, partKey(token), after, limit)
	return decoded[store.Reader](op, records, err)
}

func (t *transaction) Reading(household string) ([]store.Reader, error) {
	const op = "reading"
	tokens, err := t.keys(op, bucketReading, partKey(household))
	return named(op, "a reader", tokens, err, func(token string) (r store.Reader, err error) {
		err = t.load(op, bucketReaders, pairKey(token, household), &r)
		return r, err
	})
}
