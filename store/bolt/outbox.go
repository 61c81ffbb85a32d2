package bolt

import "bowlwright/store"

// newest returns the number of the newest change of a household, NotFound where
// there is none.
func (t *transaction) newest(op, household string) (n uint64, err error) {
	numbers, err := t.keys(op, bucketChanges, partKey(household))
	if err != nil {
		return 0, err
	}
	if len(numbers) == 0 {
		return 0, &store.Error{Code: store.NotFound, Op: op}
	}
	n, ok := number(numbers[len(numbers)-1], nil)
	if !ok {
		return 0, damaged(op, "the number of a change is cut short")
	}
	return n, nil
}

// PushChange numbers the changes of a household without gaps: only the newest
// and the oldest are ever taken away.
func (t *transaction) PushChange(household string, c store.Change) error {
	const op = "push change"
	n, err := t.newest(op, household)
	if err != nil && !store.IsNotFound(err) {
		return err
	}
	err = t.save(op, bucketChanges, numberKey(household, n+1), c)
	if err != nil || n < store.MaxChanges {
		return err
	}
	return t.remove(op, bucketChanges, numberKey(household, n+1-store.MaxChanges))
}

func (t *transaction) Change(household string, before int) (c store.Change, err error) {
	const op = "change"
	n, err := t.newest(op, household)
	if err == nil {
		err = t.load(op, bucketChanges, numberKey(household, n-uint64(before)), &c)
	}
	return c, err
}

func (t *transaction) PopChange(household string) error {
	const op = "pop change"
	n, err := t.newest(op, household)
	if err != nil {
		return store.OrNone(err)
	}
	return t.remove(op, bucketChanges, numberKey(household, n))
}

// Enqueue takes the number from the bucket's own counter, which lasts and
// never falls. A number that was rolled back was given to nobody.
func (t *transaction) Enqueue(m store.Outgoing) (uint64, error) {
	const op = "enqueue"
	err := t.in(op, bucketOutbox, func(b bucket) error {
		t.wrote = true
		n, err := b.is.NextSequence()
		m = m.Numbered(n)
		return err
	})
	if err != nil {
		return 0, err
	}
	return m.Number, t.putMessage(m)
}

// putMessage keeps a message under its number.
func (t *transaction) putMessage(m store.Outgoing) error {
	return t.save("put message", bucketOutbox, orderKey(m.Number), m)
}

func (t *transaction) Pending(chat string, limit int) ([]store.Outgoing, error) {
	const op = "pending"
	var records [][]byte
	var err error
	if chat == "" {
		records, err = t.behind(op, bucketOutbox, nil, "", limit)
	} else {
		records, err = t.pendingOf(op, chat, limit)
	}
	return decoded[store.Outgoing](op, records, err)
}

// pendingOf reads the index of a chat, so that it costs what is pending for
// that chat and not what is pending in all.
func (t *transaction) pendingOf(op, chat string, limit int) ([][]byte, error) {
	var keys [][]byte
	name := partKey(chat)
	err := t.in(op, bucketOutboxChat, func(b bucket) error {
		c := b.is.Cursor()
		for k, _ := c.Seek(name); len(keys) < limit; k, _ = c.Next() {
			n, ok := number(k, name)
			if !ok {
				return nil
			}
			keys = append(keys, orderKey(n))
		}
		return nil
	})
	return named(op, "a message", keys, err, func(key string) ([]byte, error) { return t.get(op, bucketOutbox, []byte(key)) })
}

func (t *transaction) Delivered(n uint64) error {
	return t.remove("delivered", bucketOutbox, orderKey(n))
}
