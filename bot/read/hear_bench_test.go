package read

import (
	"os"
	"testing"

	"bowlwright/bot/read/rank"
	"bowlwright/bot/read/span"
)

// BenchmarkHear reads the messages of hands that were kept out of building.
func BenchmarkHear(b *testing.B) {
	all, err := rank.WordingsIn(os.DirFS("testdata/wordings"))
	if err != nil {
		b.Fatal(err)
	}
	Hear("fed pip", span.Context{}, nil)
	for i := 0; b.Loop(); i++ {
		w := &all[i%len(all)]
		Hear(w.Text, contextOf(w), nil)
	}
}
