package bolt

import "bytes"

// MoveChat moves what is kept of a chat.
func (t *transaction) MoveChat(from, to string) error {
	if from == to {
		return nil
	}
	for _, bucket := range [][]byte{bucketDialogues, bucketAdapters, bucketBlocked} {
		if err := t.rename(bucket, partKey(from), partKey(to)); err != nil {
			return err
		}
	}
	if err := t.moveMembers(from, to); err != nil {
		return err
	}
	return t.moveOutbox(from, to)
}

// rename gives the keys of a bucket that begin in one way another beginning.
func (t *transaction) rename(bucket, from, to []byte) error {
	const op = "move chat"
	rests, err := t.keys(op, bucket, from)
	for _, rest := range rests {
		before, after := append(bytes.Clone(from), rest...), append(bytes.Clone(to), rest...)
		record, err := t.get(op, bucket, before)
		if err != nil {
			return err
		}
		if err := t.put(op, bucket, after, record); err != nil {
			return err
		}
		if err := t.remove(op, bucket, before); err != nil {
			return err
		}
	}
	return err
}

// moveMembers also moves what the index by household says of them.
func (t *transaction) moveMembers(from, to string) error {
	persons, err := t.keys("move chat", bucketMembers, partKey(from))
	for _, person := range persons {
		household, err := t.Member(from, string(person))
		if err != nil {
			return err
		}
		if err := t.DeleteMember(from, string(person)); err != nil {
			return err
		}
		if err := t.PutMember(to, string(person), household); err != nil {
			return err
		}
	}
	return err
}

// moveOutbox keeps the numbers, and so the order, of the messages.
func (t *transaction) moveOutbox(from, to string) error {
	const op = "move chat"
	for {
		ms, err := t.Pending(from, 100)
		if err != nil || len(ms) == 0 {
			return err
		}
		for _, m := range ms {
			m.Chat = to
			if err := t.remove(op, bucketOutboxChat, numberKey(from, m.Number)); err != nil {
				return err
			}
			if err := t.PutMessage(m); err != nil {
				return err
			}
		}
	}
}
