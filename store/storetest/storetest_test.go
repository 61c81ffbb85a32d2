package storetest_test

import (
	"testing"

	"bowlwright/store"
	"bowlwright/store/storetest"
)

func TestMemory(t *testing.T) {
	storetest.Run(t, func(testing.TB) store.Store { return storetest.NewMemory() })
}
