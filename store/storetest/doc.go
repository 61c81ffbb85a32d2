// Package storetest holds what every store.Store must do, as tests that an
// implementation runs on itself: Run is the contract, Random compares long
// runs of random operations with Memory, a store simple enough to be right at
// a glance.
//
// It leaves to the implementation whatever concerns its file: damage, lack of
// space, locks, migrations.
package storetest
