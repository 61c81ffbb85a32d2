package bolt

import "time"

// MoveChat implements Membership.
func (t *transaction) MoveChat(from, to string) error {
	if from == to {
		return nil
	}
	for _, move := range []func(from, to string) error{t.moveMembers, t.moveDialogues, t.moveNotes, t.moveOutbox} {
		if err := move(from, to); err != nil {
			return classify("move chat", err)
		}
	}
	return nil
}

func (t *transaction) moveMembers(from, to string) error {
	persons, err := t.keys("move chat", bucketMembers, partKey(from))
	if err != nil {
		return err
	}
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
	return nil
}

func (t *transaction) moveDialogues(from, to string) error {
	persons, err := t.keys("move chat", bucketDialogues, partKey(from))
	if err != nil {
		return err
	}
	for _, person := range persons {
		d, err := t.Dialogue(from, string(person))
		if err != nil {
			return err
		}
		if err := t.DeleteDialogue(from, string(person)); err != nil {
			return err
		}
		if err := t.PutDialogue(to, string(person), d); err != nil {
			return err
		}
	}
	return nil
}

// moveNotes also moves the note that the chat refuses messages.
func (t *transaction) moveNotes(from, to string) error {
	notes, err := t.Adapter(from)
	if err != nil {
		return err
	}
	if notes != nil {
		if err := t.PutAdapter(to, notes); err != nil {
			return err
		}
		if err := t.PutAdapter(from, nil); err != nil {
			return err
		}
	}
	since, err := t.Blocked(from)
	if err != nil || since.IsZero() {
		return err
	}
	if err := t.PutBlocked(to, since); err != nil {
		return err
	}
	return t.PutBlocked(from, time.Time{})
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
			if err := t.putMessage(op, m); err != nil {
				return err
			}
			if err := t.put(op, bucketOutboxChat, numberKey(to, m.Number), nil); err != nil {
				return err
			}
		}
	}
}
