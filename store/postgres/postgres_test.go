package postgres_test

import (
	"testing"

	"bowlwright/store"
	"bowlwright/store/postgres/pgtest"
	"bowlwright/store/storetest"
)

func TestMain(m *testing.M) { pgtest.M{M: m}.Run() }

func TestContract(t *testing.T) {
	t.Parallel()
	pgtest.Programs(t)
	storetest.Run(t, func(t testing.TB) store.Store { return pgtest.Open(t, pgtest.Database(t)) })
}
