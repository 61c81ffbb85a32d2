package day

import (
	"slices"
	"strings"

	"bowlwright/bot/read"
	"bowlwright/bot/read/span"
	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/planner"
)

// DoneByOther takes "Tomas fed Juniper" as what another carer did, and "it was Tomas, not
// me" so of what was told last. It reports whether a text was that.
func DoneByOther(t *talk.Turn, s string) bool {
	if by := read.Find("by-other", s); by != "" && t.DogNamed(by) == nil && doneByElse(t, whoIs(t, by)) {
		return true
	}
	var carers []span.Named
	for _, c := range t.Home.Carers {
		if t.DogNamed(c.Name) == nil {
			carers = append(carers, span.Named{ID: c.Person, Name: c.Name})
		}
	}
	kin, doer := read.Pattern("kin").FindString(s), read.Find("doer", s)
	if kin == "" && !read.In("no-doer", strings.ToLower(doer)) && !strings.HasSuffix(doer, "ly") && t.DogNamed(doer) == nil {
		kin = doer
	}
	by, rest, ok := read.DoneBy(s, append(carers, span.Named{ID: whoIs(t, kin), Name: kin}))
	if !ok {
		return false
	}
	t.By = by
	if SeveralDue(t, rest) || DueWords(t, rest) || GivenWords(t, rest) || talk.Sentence(t, rest) {
		return true
	}
	t.By = ""
	return false
}

// whoIs is the carer who is called so; "my husband" is the one other that there is, and
// anybody else is kept by name.
func whoIs(t *talk.Turn, called string) string {
	var others []string
	for _, c := range t.Home.Carers {
		if strings.EqualFold(c.Name, called) {
			return c.Person
		} else if c.Person != t.Event.Person {
			others = append(others, c.Person)
		}
	}
	if len(others) == 1 && read.Find("kin", called) != "" { // they live as a couple
		return others[0]
	} else if !read.Says("kin", called) {
		called = say.Capital(called)
	}
	return talk.ByName + read.Pattern("of-mine").ReplaceAllString(called, talk.NameOf(t, t.Event.Person)+"’s")
}

// doneByElse has what this carer told last be another's doing.
func doneByElse(t *talk.Turn, by string) bool {
	all := slices.DeleteFunc(slices.Clone(justTold(t)), func(e planner.Entry) bool {
		return !slices.Contains([]planner.EntryKind{planner.Fed, planner.NotFed, planner.Given, planner.NoteDone, planner.Treat}, e.Kind)
	})
	if len(all) == 0 {
		return false
	}
	t.Mutate("did.by", talk.NameOf(t, by))
	var what []string
	for _, e := range all {
		e.Person = by
		what = append(what, strings.TrimSpace(talk.DogNames(t, []string{e.Dog})+" "+talk.EntryText(t, t.Note(e))))
	}
	talk.SayDone(t, say.List(what)+".")
	return true
}
