package main

import (
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"time"

	"bowlwright/bot/balance"
	"bowlwright/nutrition"
)

// mostRecipe is how much of a recipe file is read, in bytes.
const mostRecipe = 1 << 20

// analyse compares the recipe of a file with a requirement profile.
func analyse(args []string, stdin io.Reader, stdout, stderr io.Writer) error {
	var profile, dog, view, lab string
	f := newFlags("analyse")
	asJSON := f.Bool("json", false, "print JSON")
	f.StringVar(&profile, "profile", "", "requirement profile")
	f.StringVar(&dog, "dog", "", "the dog, as \"20 kg moderate\"")
	f.StringVar(&view, "view", "", "as-fed, kcal, dry or dog")
	f.StringVar(&lab, "lab", "", "a file of what a laboratory measured")
	file, err := fileAndFlags(f, args, "a file, or - for standard input")
	if err != nil {
		return err
	}
	text, err := readRecipe(file, stdin)
	if err != nil {
		return err
	}
	measured := ""
	if lab != "" {
		if measured, err = readRecipe(lab, stdin); err != nil {
			return err
		}
	}
	r, err := balance.MakeReport(text, balance.ReportOptions{Profile: profile, Dog: dog, View: nutrition.View(view), Lab: measured, Now: time.Now()})
	var option balance.ErrOption
	switch {
	case errors.As(err, &option):
		return usageError{option.Text}
	case err != nil && !errors.Is(err, balance.ErrNothingRead):
		return err
	}
	return writeReport(r, err, *asJSON, stdout, stderr)
}

func readRecipe(file string, stdin io.Reader) (string, error) {
	in := stdin
	if file != "-" {
		f, err := os.Open(file)
		if err != nil {
			return "", failure{fmt.Sprintf("cannot read the recipe: %v", err), err}
		}
		defer f.Close()
		in = f
	}
	text, err := io.ReadAll(io.LimitReader(in, mostRecipe+1))
	if err != nil {
		return "", failure{fmt.Sprintf("cannot read the recipe: %v", err), err}
	}
	if len(text) > mostRecipe {
		return "", failure{"the file is too long to be a recipe", nil}
	}
	return string(text), nil
}

// writeReport prints a report: JSON with its problems in it, or a table with
// the problems on the error stream. nothing is balance.ErrNothingRead or nil. To
// a program that asked, figures that leave a line out are no success.
func writeReport(r balance.Report, nothing error, asJSON bool, stdout, stderr io.Writer) error {
	var err error
	if asJSON {
		e := json.NewEncoder(stdout)
		e.SetIndent("", "  ")
		e.SetEscapeHTML(false)
		err = e.Encode(r)
	} else {
		if nothing == nil {
			err = r.WriteTable(stdout)
		}
		err = cmp.Or(err, r.WriteProblems(stderr))
	}
	if err == nil && nothing == nil && r.Unread > 0 {
		return failure{"the figures are without the lines that were not read", nil}
	}
	return cmp.Or(err, nothing)
}
