package bolt

import (
	"bytes"
	"cmp"
	"time"

	"bowlwright/planner"
	"bowlwright/store"
)

// agree reads every record and makes sure that what records say of each other
// is true. That the checksums match was made sure of before.
func (t *transaction) agree() error {
	return t.protected("check", func() error {
		for _, of := range []func() error{
			t.eventsAgree, t.messagesAgree, t.membersAgree, t.invitesAgree, t.entriesAgree, t.duesAgree,
			t.publishedAgree, t.readersAgree, t.othersAgree,
		} {
			if err := of(); err != nil {
				return err
			}
		}
		return nil
	})
}

// each calls f with every record of a bucket.
func (t *transaction) each(name []byte, f func(key, record []byte) error) error {
	return t.bucket(name).is.ForEach(func(k, v []byte) error {
		record, err := opened("check", k, v)
		if err != nil {
			return err
		}
		return f(k, record)
	})
}

// record returns that of a key, nil where there is none.
func (t *transaction) record(name, key []byte) ([]byte, error) {
	return opened("check", key, t.bucket(name).Get(key))
}

// indexed compares the number of records with that of their index.
func (t *transaction) indexed(name []byte, records, index uint64) error {
	if records != index {
		return amiss("%s: %d records, %d in the index", name, records, index)
	}
	return nil
}

func (t *transaction) size(name []byte) uint64 { return t.bucket(name).is.Sequence() }

// indexAgrees makes sure that what each key of an index says is so, and that it
// holds each record once.
func (t *transaction) indexAgrees(index, records []byte, what string, is func(key []byte) (bool, error)) error {
	err := t.each(index, func(k, _ []byte) error {
		if ok, err := is(k); err != nil || ok {
			return err
		}
		return amiss(what, k)
	})
	return cmp.Or(err, t.indexed(records, t.size(records), t.size(index)))
}

func (t *transaction) eventsAgree() error {
	return t.indexAgrees(bucketSeenAt, bucketSeen, "event %x is not indexed by its time", func(k []byte) (bool, error) {
		if len(k) <= store.TimeSize {
			return false, nil
		}
		when, err := t.record(bucketSeen, k[store.TimeSize:])
		return bytes.Equal(when, k[:store.TimeSize]), err
	})
}

// messagesAgree: the index by chat holds each message once.
func (t *transaction) messagesAgree() error {
	n := uint64(0)
	err := t.each(bucketOutbox, func(k, record []byte) error {
		n++
		var m store.Outgoing
		if err := store.Decode("check", record, &m); err != nil {
			return err
		}
		at, err := t.record(bucketOutboxChat, numberKey(m.Chat, m.Number))
		if err != nil || at != nil && bytes.Equal(k, orderKey(m.Number)) {
			return err
		}
		return amiss("message %x is not indexed by its chat", k)
	})
	return cmp.Or(err, t.indexed(bucketOutbox, n, t.size(bucketOutboxChat)))
}

func (t *transaction) membersAgree() error {
	return t.indexAgrees(bucketMembersOf, bucketMembers, "member %x is not indexed by its household", func(k []byte) (bool, error) {
		household, member, ok := parted(k)
		is, err := t.record(bucketMembers, member)
		return ok && is != nil && string(is) == household, err
	})
}

func (t *transaction) invitesAgree() error {
	return t.indexAgrees(bucketInvitesOf, bucketInvites, "invitation %x is not indexed by its household", func(k []byte) (bool, error) {
		household, key, ok := parted(k)
		record, err := t.record(bucketInvites, key)
		var i store.Invite
		return ok && record != nil && store.Decode("check", record, &i) == nil && i.Household == household, err
	})
}

// entriesAgree: each entry is kept where its content belongs, and the index by
// id holds it once.
func (t *transaction) entriesAgree() error {
	err := t.each(bucketJournal, func(k, record []byte) error {
		s, rest, ok := streamOf(k)
		if !ok {
			return amiss("the key of entry %x is cut short", k)
		}
		if _, err := entryAt("check", s.household, k, record); err != nil {
			return err
		}
		id := string(rest[store.TimeSize:])
		middle := k[len(partKey(s.household)) : len(k)-len(id)]
		is, err := t.record(bucketJournalIDs, pairKey(s.household, id))
		if err != nil || bytes.Equal(is, middle) {
			return err
		}
		return amiss("entry %x is not indexed by its id", k)
	})
	return cmp.Or(err, t.indexed(bucketJournal, t.size(bucketJournal), t.size(bucketJournalIDs)))
}

// duesAgree: the index by time holds each household's time once.
func (t *transaction) duesAgree() error {
	timed, byTime := 0, 0
	err := t.each(bucketDue, func(k, record []byte) error {
		var d store.Due
		if err := store.Decode("check", record, &d); err != nil {
			return err
		}
		if d.Household != string(k) {
			return amiss("what is due for household %x names another", k)
		}
		if !d.At.IsZero() {
			timed++
		}
		return nil
	})
	if err != nil {
		return err
	}
	err = t.each(bucketDueAt, func(k, _ []byte) error {
		byTime++
		if len(k) > store.TimeSize {
			if _, ok, err := indexed("check", k, t.bucket(bucketDue)); ok || err != nil {
				return err
			}
		}
		return amiss("household %x is not due at the time of its index", k)
	})
	if err == nil && timed != byTime {
		err = amiss("%d households are due, %d in the index", timed, byTime)
	}
	return err
}

// othersAgree reads the records that nothing else refers to.
func (t *transaction) othersAgree() error {
	readable := func(is any) func(key, record []byte) error {
		return func(_, record []byte) error { return store.Decode("check", record, is) }
	}
	home := func(k, record []byte) error {
		var h planner.Household
		if err := store.Decode("check", record, &h); err != nil || h.ID == string(k) {
			return err
		}
		return amiss("household %x names another", k)
	}
	return cmp.Or(
		t.each(bucketHouseholds, home),
		t.each(bucketChanges, readable(new(store.Change))),
		t.each(bucketDialogues, readable(new(store.Dialogue))),
		t.each(bucketBlocked, readable(new(time.Time))),
		t.each(bucketDead, readable(new(store.Dead))),
		t.each(bucketInvites, readable(new(store.Invite))))
}
