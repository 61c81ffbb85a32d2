package store

import "testing"

// FuzzRedo reads logs that were damaged in any way. What is read was written,
// in the order in which it was, or the damage is noticed; it never panics.
func FuzzRedo(f *testing.F) {
	logs := []written{writeLog(f, []int{1, 3, 2, 1, 4, 1, 1, 2}), writeLog(f, []int{5}), writeLog(f, []int{1, 1})}
	for i, w := range logs {
		f.Add(i, uint8(0), uint16(0), []byte{})
		f.Add(i, uint8(2), uint16(40), w.data[:60])
		f.Add(i, uint8(1), uint16(0), w.data[w.half:][:min(200, len(w.data)-int(w.half))])
		f.Add(i, uint8(0), uint16(w.half), w.data[:90])
		f.Add(i, uint8(0), uint16(100), []byte{0, 0, 0, 1})
	}
	f.Fuzz(func(t *testing.T, log int, last uint8, at uint16, over []byte) {
		w := logs[uint(log)%uint(len(logs))]
		w.data = append([]byte{}, w.data...)
		if int(at) < len(w.data) {
			copy(w.data[at:], over)
		}
		w.open(t, uint64(last)%uint64(len(w.ends)+1))
		w.data = over // and whatever it is, alone
		w.open(t, 0)
	})
}
