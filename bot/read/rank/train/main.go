// Train fits the ranker to the wordings of language/wordings and writes its
// weights; with -check it only looks whether they are those that it would
// write. It is run by go generate in bot/read, and takes some minutes.
package main

import (
	"flag"
	"fmt"
	"os"

	"bowlwright/bot/read"
	"bowlwright/bot/read/rank"
	"bowlwright/bot/read/slots"
)

// leastSame is how much of the wordings a model that is trained again reads as
// the one that the program carries does.
const leastSame = 0.995

func main() {
	check := flag.Bool("check", false, "compare with the weights that are there")
	flag.Parse()
	if err := train("language", *check); err != nil {
		fmt.Fprintln(os.Stderr, "train:", err)
		os.Exit(1)
	}
}

func train(folder string, check bool) error {
	all, err := rank.WordingsIn(os.DirFS(folder + "/wordings"))
	if err != nil {
		return err
	}
	introduced, err := rank.WordingsIn(os.DirFS(folder + "/introductions"))
	if err != nil {
		return err
	}
	m, err := rank.Train(rank.Trained{Wordings: all, Introductions: introduced, Lexicon: slots.Lexicon(), Plan: rank.DefaultPlan})
	if err != nil {
		return err
	}
	if check {
		return compare(all, m, read.Ranker())
	}
	f, err := os.Create(folder + "/weights.gob.zst")
	if err != nil {
		return err
	}
	defer f.Close()
	return m.Save(f)
}

// compare reports whether two models take the wordings for the same.
func compare(all []rank.Wording, a, b *rank.Model) error {
	same := 0
	for i := range all {
		if in := &all[i].Input; a.Rank(in)[0].Intent == b.Rank(in)[0].Intent {
			same++
		}
	}
	share := float64(same) / float64(len(all))
	fmt.Printf("%d of %d wordings read the same (%.2f %%)\n", same, len(all), 100*share)
	if share < leastSame {
		return fmt.Errorf("the weights are not those of the wordings: run go generate ./bot/read")
	}
	return nil
}
