package main

import (
	"bufio"
	"encoding/json"
	"fmt"
	"io"
	"time"

	"bowlwright/bot/read"
	"bowlwright/bot/read/span"
	"bowlwright/planner"
)

// heardLine is a line of the input of "read --json"; all but the text may be
// left out.
type heardLine struct {
	Text    string          `json:"text"`
	Dogs    []string        `json:"dogs"`
	Recipes []string        `json:"recipes"`
	Carers  []string        `json:"carers"`
	Open    string          `json:"open"`
	Units   json.RawMessage `json:"units"` // "kg" or "lb"; or {"pounds": true, "ounces": true}
	Now     string          `json:"now"`   // RFC 3339; empty: now
}

// readCommand reads JSON lines and writes what each text was taken for, with
// the code and the thresholds of the assistant.
func readCommand(args []string, stdin io.Reader, stdout io.Writer) error {
	flags := newFlags("read")
	asJSON := flags.Bool("json", false, "")
	if rest, err := anywhere(flags, args); err != nil || len(rest) > 0 || !*asJSON {
		return usageError{`read takes --json, and JSON lines on standard input`}
	}
	in := bufio.NewScanner(stdin)
	in.Buffer(nil, 1<<20)
	out := bufio.NewWriter(stdout)
	defer out.Flush()
	write := json.NewEncoder(out)
	write.SetEscapeHTML(false)
	for n := 1; in.Scan(); n++ {
		if len(in.Bytes()) == 0 {
			continue
		}
		var line heardLine
		if err := json.Unmarshal(in.Bytes(), &line); err != nil {
			return failure{fmt.Sprintf("line %d: %v", n, err), err}
		}
		c, err := line.context()
		if err != nil {
			return failure{fmt.Sprintf("line %d: %v", n, err), err}
		}
		if err := write.Encode(filled(read.Hear(line.Text, c, nil))); err != nil {
			return err
		}
	}
	return in.Err()
}

func (l *heardLine) context() (span.Context, error) {
	c := span.Context{Names: span.Names{Dogs: namedAll(l.Dogs), Recipes: namedAll(l.Recipes)}, Carers: namedAll(l.Carers), Open: l.Open, Now: time.Now()}
	if l.Now != "" {
		now, err := time.Parse(time.RFC3339, l.Now)
		if err != nil {
			return c, err
		}
		c.Now = now
	}
	var units struct{ Pounds, Ounces bool }
	var unit string
	if len(l.Units) > 0 && json.Unmarshal(l.Units, &unit) == nil {
		units.Pounds, units.Ounces = unit == "lb" || unit == "imperial", unit == "oz" || unit == "imperial"
	} else if len(l.Units) > 0 {
		if err := json.Unmarshal(l.Units, &units); err != nil {
			return c, err
		}
	}
	c.Units = planner.Units{Pounds: units.Pounds, Ounces: units.Ounces}
	return c, nil
}

// namedAll are names with themselves as ids; "-" stands for none.
func namedAll(names []string) (all []span.Named) {
	for _, n := range names {
		if n != "-" {
			all = append(all, span.Named{ID: n, Name: n})
		}
	}
	return all
}

// filled is what was heard with nothing in it that JSON would have null for.
func filled(h read.Heard) read.Heard {
	if h.Says == nil {
		h.Says = []read.Statement{}
	}
	for _, s := range h.Says {
		for i := range s.Readings {
			if r := &s.Readings[i]; r.Slots == nil {
				r.Slots = map[string]string{}
			}
		}
	}
	return h
}
