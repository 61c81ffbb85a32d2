package bolt

import (
	"bytes"

	"bowlwright/store"
)

func (t *transaction) PutPublished(p store.Published) error {
	const op = "put published"
	if err := t.unindexPublished(op, p.Token); err != nil {
		return classify(op, err)
	}
	if err := t.save(op, bucketPublished, []byte(p.Token), p); err != nil {
		return err
	}
	return t.put(op, bucketPublishedOf, pairKey(p.Household, p.Token), nil)
}

// unindexPublished takes a token out of the index by household.
func (t *transaction) unindexPublished(op, token string) error {
	p, err := t.Published(token)
	if err != nil {
		return store.OrNone(err)
	}
	return t.remove(op, bucketPublishedOf, pairKey(p.Household, token))
}

func (t *transaction) Published(token string) (p store.Published, err error) {
	err = t.load("published", bucketPublished, []byte(token), &p)
	return p, err
}

func (t *transaction) DeletePublished(token string) error {
	const op = "delete published"
	households, err := t.keys(op, bucketReaders, partKey(token))
	if err != nil {
		return err
	}
	for _, household := range households {
		if err := t.DeleteReader(token, string(household)); err != nil {
			return err
		}
	}
	if err := t.unindexPublished(op, token); err != nil {
		return err
	}
	return t.remove(op, bucketPublished, []byte(token))
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
		if bytes.Equal(k, from) {
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

func (t *transaction) PutReader(r store.Reader) error {
	const op = "put reader"
	if err := t.save(op, bucketReaders, pairKey(r.Token, r.Household), r); err != nil {
		return err
	}
	return t.put(op, bucketReading, pairKey(r.Household, r.Token), nil)
}

func (t *transaction) DeleteReader(token, household string) error {
	const op = "delete reader"
	if err := t.remove(op, bucketReading, pairKey(household, token)); err != nil {
		return err
	}
	return t.remove(op, bucketReaders, pairKey(token, household))
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

// deletePublishing deletes what a household published, and that it keeps what
// others did.
func (t *transaction) deletePublishing(id string) error {
	const op = "delete household"
	mine, err := t.keys(op, bucketPublishedOf, partKey(id))
	if err != nil {
		return err
	}
	for _, token := range mine {
		if err := t.DeletePublished(string(token)); err != nil {
			return err
		}
	}
	kept, err := t.keys(op, bucketReading, partKey(id))
	if err != nil {
		return err
	}
	for _, token := range kept {
		if err := t.DeleteReader(string(token), id); err != nil {
			return err
		}
	}
	return nil
}

func (t *transaction) publishedAgree() error {
	return t.indexAgrees(bucketPublishedOf, bucketPublished, "something published, %x, is not indexed by its household", func(k []byte) (bool, error) {
		household, token, ok := parted(k)
		record, err := t.record(bucketPublished, token)
		var p store.Published
		return ok && record != nil && store.Decode("check", record, &p) == nil && p.Household == household && p.Token == string(token), err
	})
}

func (t *transaction) readersAgree() error {
	return t.indexAgrees(bucketReading, bucketReaders, "reader %x is not indexed by its household", func(k []byte) (bool, error) {
		household, token, ok := parted(k)
		record, err := t.record(bucketReaders, pairKey(string(token), household))
		var r store.Reader
		return ok && record != nil && store.Decode("check", record, &r) == nil && r.Household == household && r.Token == string(token), err
	})
}
