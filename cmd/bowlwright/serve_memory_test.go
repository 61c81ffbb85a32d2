package main

import (
	"runtime"
	"testing"

	"bowlwright/bot"
	"bowlwright/bot/read"
	"bowlwright/nutrition"
	"bowlwright/store/storetest"
)

// TestMemory holds the soft limit well above what stays in use.
func TestMemory(t *testing.T) {
	read.Ready()
	a := bot.NewAssistant(storetest.NewMemory(), nutrition.Default())
	runtime.GC()
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	runtime.KeepAlive(a)
	t.Logf("%d MB stay in use", m.HeapAlloc>>20)
	if m.HeapAlloc > softLimit/2 {
		t.Errorf("%d MB stay in use, and the soft limit is %d MB", m.HeapAlloc>>20, softLimit>>20)
	}
}
