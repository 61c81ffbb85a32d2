package bolt

import "bowlwright/store"

// Sizes says what the store holds; that costs nothing.
func (s *Store) Sizes() (out store.Sizes, err error) {
	err = s.view("sizes", func(t *transaction) error {
		return t.protected("sizes", func() error {
			for name, n := range map[*[]byte]*int{
				&bucketHouseholds: &out.Households, &bucketOutboxChat: &out.Outbox, &bucketInbox: &out.Inbox, &bucketDead: &out.Dead,
			} {
				*n = int(t.size(*name))
			}
			out.Bytes = t.tx.Size()
			return nil
		})
	})
	return out, err
}
