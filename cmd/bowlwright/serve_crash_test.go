package main

import (
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"slices"
	"strings"
	"syscall"
	"testing"
	"time"

	"bowlwright/bot/telegram/standin"
	"bowlwright/store"
	"bowlwright/store/storetest"
)

// asProgram makes the test binary the program itself.
const asProgram = "BOWLWRIGHT_TEST_AS_PROGRAM"

// long asks for the tests that kill the program for minutes.
const long = "BOWLWRIGHT_KILLS"

// child starts the program on a stand-in and a data directory.
func child(t testing.TB, api *standin.Server, data string) *exec.Cmd {
	t.Helper()
	self, err := os.Executable()
	must(t, err)
	c := exec.Command(self, "serve", "--data", data, "--api-url", api.URL())
	c.Env = append(os.Environ(), asProgram+"=1", "BOWLWRIGHT_TOKEN="+standin.Token)
	c.Stderr = os.Stderr
	if !testing.Verbose() {
		c.Stderr = nil
	}
	must(t, c.Start())
	return c
}

// killAfter kills a child a while after now; the instant is the test's matter.
func killAfter(t *testing.T, c *exec.Cmd, d time.Duration) {
	t.Helper()
	time.Sleep(d)
	must(t, c.Process.Kill())
	c.Wait() // says that it was killed
}

// stop asks a child to end, and wants it to.
func stop(t *testing.T, c *exec.Cmd) {
	t.Helper()
	must(t, c.Process.Signal(syscall.SIGTERM))
	if err := c.Wait(); err != nil {
		t.Errorf("stopped by SIGTERM: %v", err)
	}
}

// bowl names the k-th recipe; its letter stands for a number, which would be
// read as an amount.
func bowl(k int) string { return "Bowl " + string(rune('A'+k)) }

// TestServeCrash kills the program at random instants while households send
// recipes. In the end each recipe is there once, in order, and was answered
// at least once.
func TestServeCrash(t *testing.T) {
	t.Parallel()
	if testing.Short() {
		t.Skip("it runs the program for some seconds: left out with -short")
	}
	households, recipes, kills := 10, 4, 6
	if os.Getenv(long) != "" {
		households, recipes, kills = 50, 6, 40
	}
	api := platform(t, standin.Options{Rates: true})
	data := t.TempDir()
	random := rand.New(rand.NewPCG(4, 1))
	said := 0
	for round := range kills {
		c := child(t, api, data)
		for end := (round + 1) * households * recipes / kills; said < end; said++ {
			who := standin.Person{ID: int64(5000 + said%households), Name: fmt.Sprint("Carer ", said%households)}
			api.Say(who, 0, bowl(said/households)+"\n500 g turkey thigh, no skin\n20 g beef heart")
		}
		killAfter(t, c, time.Duration(random.IntN(400))*time.Millisecond)
	}
	finishAll(t, api, data, households, recipes)
	wantRecipes(t, data, households, recipes)
	// Without what is kept over a kill, 57 and more came within a second.
	for _, b := range api.State().Breaches {
		t.Errorf("the platform's limits were broken: %s", b)
	}
}

// TestServeKeepsRetryAfter kills the program while the platform has asked for
// patience, and starts it again.
func TestServeKeepsRetryAfter(t *testing.T) {
	t.Parallel()
	if testing.Short() {
		t.Skip("it runs the program for some seconds: left out with -short")
	}
	api := platform(t, standin.Options{})
	data := t.TempDir()
	ines := standin.Person{ID: 4711, Name: "Ines"}
	for method, after := range map[string]int{"getMe": 2, "sendMessage": 5} { // more than what is waited anyway
		api.Fail(standin.Fault{Method: method, Code: 429, RetryAfter: after, Description: "Too Many Requests"})
	}
	refused := func(method string) []standin.Call { return api.Calls(method) }
	c := child(t, api, data)
	waitFor(t, api, "getMe", func() bool { return len(refused("getMe")) == 1 })
	killAfter(t, c, 300*time.Millisecond)
	c = child(t, api, data)
	api.Say(ines, 0, "/help")
	waitFor(t, api, "sendMessage", func() bool { return len(refused("sendMessage")) == 1 })
	killAfter(t, c, 300*time.Millisecond)
	c = child(t, api, data)
	waitFor(t, api, "an answer", func() bool { return api.State().Sent == 1 })
	stop(t, c)
	for method, after := range map[string]time.Duration{"getMe": 2 * time.Second, "sendMessage": 5 * time.Second} {
		if calls := refused(method); calls[1].At.Sub(calls[0].At) < after {
			t.Errorf("%s again after %v", method, calls[1].At.Sub(calls[0].At))
		}
	}
}

// finishAll runs the program until everything is answered, and stops it.
func finishAll(t *testing.T, api *standin.Server, data string, households, recipes int) {
	started := len(api.Calls("getMe"))
	c := child(t, api, data)
	ctx, cancel := context.WithTimeout(t.Context(), 3*time.Minute)
	defer cancel()
	err := api.Wait(ctx, func() bool {
		if len(api.Calls("getMe")) == started {
			return false
		}
		for h := range households {
			if missing(api.FromBot(int64(5000+h)), recipes) > 0 {
				return false
			}
		}
		return true
	})
	if err != nil {
		for h := range households {
			if n := missing(api.FromBot(int64(5000+h)), recipes); n > 0 {
				t.Errorf("household %d: %d recipes were not answered", h, n)
			}
		}
	}
	stop(t, c)
}

// missing counts the recipes that no message names.
func missing(all []standin.Message, recipes int) int {
	n := 0
	for k := range recipes {
		if !slices.ContainsFunc(all, func(m standin.Message) bool { return strings.Contains(m.Text, bowl(k)+" is saved") }) {
			n++
		}
	}
	return n
}

func wantRecipes(t *testing.T, data string, households, recipes int) {
	s := openIn(t, data)
	defer s.Close()
	if err := s.Check(); err != nil {
		t.Error(err)
	}
	must(t, storetest.Look(t.Context(), s, func(tx store.Snapshot) error {
		for h := range households {
			name := fmt.Sprint("telegram/", 5000+h)
			id, err := tx.Member(name, name)
			if err != nil {
				return err
			}
			home, err := tx.Household(id)
			if err != nil {
				return err
			}
			var got, want []string
			for _, r := range home.Recipes {
				got = append(got, r.Name)
			}
			for k := range recipes {
				want = append(want, bowl(k))
			}
			if !slices.Equal(got, want) {
				t.Errorf("household %d has %q", h, got)
			}
		}
		return nil
	}))
}
