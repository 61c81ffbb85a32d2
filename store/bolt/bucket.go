package bolt

import "go.etcd.io/bbolt"

// bucket is a bucket of the file as a transaction sees it. Its sequence counts
// its keys, which bbolt itself cannot do without walking them; that of the
// outbox gives the numbers of messages instead.
type bucket struct {
	t  *transaction
	is *bbolt.Bucket
	of string // its name
}

// Get returns the value of a key with its checksum, nil where there is none. It
// may point into the file.
func (b bucket) Get(key []byte) []byte { return b.is.Get(key) }

// Put sets a record, to which it adds its checksum.
func (b bucket) Put(key, record []byte) error {
	b.t.wrote = true
	fresh := b.is.Get(key) == nil
	if err := b.is.Put(key, seal(key, record)); err != nil || !fresh {
		return err
	}
	return b.count(1)
}

// Delete takes a key out; one that is not there is no error.
func (b bucket) Delete(key []byte) error {
	if b.is.Get(key) == nil {
		return nil
	}
	b.t.wrote = true
	if err := b.is.Delete(key); err != nil {
		return err
	}
	return b.count(-1)
}

func (b bucket) count(more int) error {
	if !counts(b.of) {
		return nil
	}
	return b.is.SetSequence(b.is.Sequence() + uint64(more))
}

// counts says whether the sequence of a bucket is how many keys it has.
func counts(name string) bool { return name != string(bucketOutbox) }
