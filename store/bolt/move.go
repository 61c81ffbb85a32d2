package bolt

import "bytes"

// moveChat moves what is kept of a chat.
func (t *transaction) moveChat(from, to string) error {
	if from == to {
		return nil
	}
	for _, bucket := range [][]byte{bucketDialogues, bucketAdapters, bucketBlocked, bucketMembers} {
		if err := t.rename(bucket, partKey(from), partKey(to)); err != nil {
			return err
		}
	}
	return t.moveOutbox(from, to)
}

// rename gives the keys of a bucket that begin in one way another beginning.
func (t *transaction) rename(bucket, from, to []byte) error {
	const op = "move chat"
	return t.eachBehind(op, bucket, from, func(rest []byte) error {
		before := append(bytes.Clone(from), rest...)
		record, err := t.get(op, bucket, before)
		if err != nil {
			return err
		}
		if err := t.put(op, bucket, append(bytes.Clone(to), rest...), record); err != nil {
			return err
		}
		return t.remove(op, bucket, before)
	})
}

// moveOutbox keeps the numbers, and so the order, of the messages.
func (t *transaction) moveOutbox(from, to string) error {
	for {
		ms, err := t.Pending(from, 100)
		if err != nil || len(ms) == 0 {
			return err
		}
		for _, m := range ms {
			m.Chat = to
			if err := t.putMessage(m); err != nil {
				return err
			}
		}
	}
}
