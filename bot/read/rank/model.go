// Package rank ranks what a message may mean. It cuts the message into
// statements and gives each intent a probability, by a model that was trained
// from labelled wordings: multinomial logistic regression over words and pairs,
// parts of words, kinds of a lexicon, and the open question.
//
// It knows intents by their names alone, and nothing of dogs or dialogues. The
// same message and model give the same answer.
package rank

import (
	"cmp"
	"encoding/gob"
	"io"
	"math"
	"slices"

	"github.com/klauspost/compress/zstd"
	"gonum.org/v1/gonum/floats"
)

// Weights are a fitted model, small enough to be carried in the program: each
// feature has one for each intent, in steps.
type Weights struct {
	Intents []string
	Hashes  []uint32
	Size    float32 // of a step
	Steps   []byte  // int8, by feature, then by intent
}

// Model ranks what texts mean.
type Model struct {
	Means  Weights // intents
	Splits Weights // whether a new statement begins at a place
	Calls  Weights // whether a word is the name of a dog
	Words  []uint32

	speller *Speller
}

// Ranked is an intent and how likely it is.
type Ranked struct {
	Intent string
	P      float64
}

// Load reads a model that Save wrote.
func Load(r io.Reader, lex *Lexicon) (*Model, error) {
	small, err := zstd.NewReader(r, zstd.WithDecoderConcurrency(1)) // four times as fast as gzip, of which a start notices
	if err != nil {
		return nil, err
	}
	defer small.Close()
	m := new(Model)
	if err := gob.NewDecoder(small).Decode(m); err != nil {
		return nil, err
	}
	m.Use(lex)
	return m, nil
}

// Use has the model go by a lexicon.
func (m *Model) Use(lex *Lexicon) {
	m.speller = &Speller{lex, func(w string) bool {
		_, known := slices.BinarySearch(m.Words, hashOf(aWord, w))
		return known
	}}
}

// Save writes a model.
func (m *Model) Save(w io.Writer) error {
	small, err := zstd.NewWriter(w, zstd.WithEncoderLevel(zstd.SpeedBestCompression), zstd.WithEncoderConcurrency(1), zstd.WithWindowSize(1<<20))
	if err != nil {
		return err
	}
	if err := gob.NewEncoder(small).Encode(m); err != nil {
		return err
	}
	return small.Close()
}

// rank returns the probability of each intent, in the model's order. Those of
// without have none.
func (w *Weights) rank(features []Feature, without ...string) []float64 {
	k := len(w.Intents)
	z := make([]float32, k)
	for _, f := range features {
		at, ok := slices.BinarySearch(w.Hashes, f.Hash)
		if !ok {
			continue
		}
		v := f.Value * w.Size
		for i, step := range w.Steps[at*k : (at+1)*k] {
			z[i] += v * float32(int8(step))
		}
	}
	p := make([]float64, k)
	for i := range z {
		if p[i] = float64(z[i]); slices.Contains(without, w.Intents[i]) {
			p[i] = math.Inf(-1)
		}
	}
	sum := floats.LogSumExp(p)
	for i := range p {
		p[i] = math.Exp(p[i] - sum)
	}
	return p
}

// ranked sorts the intents, likeliest first.
func (w *Weights) ranked(p []float64) []Ranked {
	all := make([]Ranked, len(p))
	for i := range p {
		all[i] = Ranked{w.Intents[i], p[i]}
	}
	slices.SortStableFunc(all, func(a, b Ranked) int { return cmp.Compare(b.P, a.P) })
	return all
}

// Knows reports that a word is one of the wordings or the lexicon, or near
// enough to one.
func (m *Model) Knows(word string) bool {
	return m.speller.knows([]byte(m.speller.mend(plainWord(word))))
}

// Rank returns what a text that says one thing means, likeliest first.
func (m *Model) Rank(in *Input) []Ranked {
	t := readText(in, m.speller)
	return m.Means.ranked(m.means(t, 0, len(t.tokens), in.Open))
}

// means ranks a part of a text.
func (m *Model) means(t *text, from, to int, open string) []float64 {
	if open == "" {
		return m.Means.rank(t.features(from, to, open), "answer")
	}
	return m.Means.rank(t.features(from, to, open))
}
