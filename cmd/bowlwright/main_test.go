package main

import (
	"context"
	"flag"
	"os"
	"os/exec"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"

	"bowlwright/bot/delivery"
	"bowlwright/store/postgres/pgtest"
)

func TestMain(m *testing.M) {
	if os.Getenv(asProgram) != "" {
		if times, err := strconv.Atoi(os.Getenv(raised)); err == nil {
			for _, l := range []*delivery.Limit{&limits.All, &limits.Chat, &limits.Group} {
				l.Count *= times
			}
		}
		main()
	}
	// These tests wait more than they work: for the pauses that the platform asks
	// for, and for children.
	if err := flag.Set("test.parallel", "8"); err != nil {
		panic(err)
	}
	testscript.Main(pgtest.M{M: m}, map[string]func(){
		"bowlwright": main,
	})
}

// TestCommands runs the scripts of testdata: what a person types at a shell
// and what comes of it.
func TestCommands(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir: "testdata",
		Setup: func(e *testscript.Env) error {
			e.Setenv("XDG_DATA_HOME", e.WorkDir+"/data")
			e.Setenv("HOME", e.WorkDir)
			return nil
		},
		Condition: func(cond string) (bool, error) {
			if cond == "root" {
				return os.Geteuid() == 0, nil
			}
			return false, nil
		},
	})
}

// TestImportsPointInward holds the house's one rule of direction: nothing
// imports a room that lies further out.
func TestImportsPointInward(t *testing.T) {
	t.Parallel()
	may := map[string][]string{
		"bowlwright/nutrition":             {},
		"bowlwright/nutrition/adjust":      {"bowlwright/nutrition"},
		"bowlwright/planner/illness":       {"bowlwright/nutrition"},
		"bowlwright/planner":               {"bowlwright/nutrition", "bowlwright/planner/illness"},
		"bowlwright/planner/judge":         {"bowlwright/nutrition", "bowlwright/planner"},
		"bowlwright/planner/portions":      {"bowlwright/nutrition", "bowlwright/planner"},
		"bowlwright/planner/larder":        {"bowlwright/nutrition", "bowlwright/planner", "bowlwright/planner/portions"},
		"bowlwright/planner/edition":       {"bowlwright/nutrition", "bowlwright/planner"},
		"bowlwright/planner/dogtest":       {},
		"bowlwright/store":                 {"bowlwright/nutrition", "bowlwright/planner"},
		"bowlwright/store/bolt":            {"bowlwright/nutrition", "bowlwright/planner", "bowlwright/store", "bowlwright/store/bolt/schema8"},
		"bowlwright/store/bolt/schema8":    {"bowlwright/nutrition", "bowlwright/planner", "bowlwright/store"},
		"bowlwright/store/postgres":        {"bowlwright/nutrition", "bowlwright/planner", "bowlwright/store"},
		"bowlwright/store/postgres/pgtest": {"bowlwright/store/postgres"},
		"bowlwright/store/storetest":       {"bowlwright/nutrition", "bowlwright/planner", "bowlwright/store"},
		"bowlwright/store/hotcopy":         {},
		"bowlwright/bot/read/rank":         {"bowlwright/bot/read/language", "bowlwright/bot/read/span"},
		"bowlwright/bot/read/language":     {},
		"bowlwright/bot/read/span":         {"bowlwright/nutrition", "bowlwright/planner", "bowlwright/bot/read/language"},
		"bowlwright/bot/read/foodline":     {"bowlwright/nutrition", "bowlwright/planner", "bowlwright/bot/read/language", "bowlwright/bot/read/span"},
		"bowlwright/bot/read/alarm":        {"bowlwright/nutrition", "bowlwright/bot/read/language", "bowlwright/bot/read/span"},
		"bowlwright/bot/read/slots":        {"bowlwright/nutrition", "bowlwright/planner", "bowlwright/bot/read/language", "bowlwright/bot/read/span", "bowlwright/bot/read/foodline", "bowlwright/bot/read/rank"},
		"bowlwright/bot/ical":              {},
		"bowlwright/bot/scheduler":         {"bowlwright/bot/talk", "bowlwright/store"},
		"bowlwright/bot/terminal":          {"bowlwright/store", "bowlwright/bot", "bowlwright/bot/say", "bowlwright/bot/talk", "bowlwright/bot/scheduler"},
		"bowlwright/bot/delivery":          {"bowlwright/store"},
		"bowlwright/bot/telegram":          {"bowlwright/store", "bowlwright/bot", "bowlwright/bot/say", "bowlwright/bot/talk", "bowlwright/bot/delivery"},
		"bowlwright/bot/telegram/standin":  {},
	}
	// The rooms of bot, in the order of the house: each may import the domain
	// and the rooms before it.
	reading := []string{"bowlwright/bot/read/language", "bowlwright/bot/read/span", "bowlwright/bot/read/foodline", "bowlwright/bot/read/alarm"}
	may["bowlwright/bot/read"] = append([]string{"bowlwright/nutrition", "bowlwright/planner/illness", "bowlwright/planner", "bowlwright/bot/read/rank", "bowlwright/bot/read/slots"}, reading...)
	before := append([]string{"bowlwright/nutrition", "bowlwright/nutrition/adjust", "bowlwright/planner/illness", "bowlwright/planner", "bowlwright/planner/judge", "bowlwright/planner/portions", "bowlwright/planner/larder", "bowlwright/planner/edition", "bowlwright/store", "bowlwright/bot/read", "bowlwright/bot/ical"}, reading...)
	for _, room := range []string{"say", "talk", "household", "dogs", "recipes", "balance", "desk", "weighing", "bowls", "menu", "kitchen", "remind", "day", "urgent", "card", "publish", "export"} {
		may["bowlwright/bot/"+room] = slices.Clone(before)
		before = append(before, "bowlwright/bot/"+room)
	}
	may["bowlwright/bot/talk"] = append(may["bowlwright/bot/talk"], "bowlwright/bot/read/slots") // what was typed and not said is told by its values
	may["bowlwright/bot"] = before
	out, err := exec.CommandContext(context.Background(), "go", "list", "-f", "{{.ImportPath}} {{join .Imports \" \"}}", "bowlwright/...").CombinedOutput()
	if err != nil {
		t.Fatalf("go list: %v\n%s", err, out)
	}
	seen := 0
	for _, line := range strings.Split(strings.TrimSpace(string(out)), "\n") {
		fields := strings.Fields(line)
		allowed, ok := may[fields[0]]
		if !ok {
			continue // cmd may import all; other packages are named when they come
		}
		seen++
		for _, imported := range fields[1:] {
			if strings.HasPrefix(imported, "bowlwright/") && !slices.Contains(allowed, imported) {
				t.Errorf("%s imports %s", fields[0], imported)
			}
		}
	}
	if seen != len(may) {
		t.Errorf("saw %d of %d packages", seen, len(may))
	}
}

// must ends a test where what it needs cannot be had.
func must(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}
