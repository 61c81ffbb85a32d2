package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"math/rand/v2"
	"net/http"
	"net/http/httptest"
	"os"
	"os/exec"
	"sync"
	"sync/atomic"
	"syscall"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"

	"bowlwright/bot/say"
	"bowlwright/bot/telegram/standin"
	"bowlwright/store"
	"bowlwright/store/postgres"
	"bowlwright/store/postgres/pgtest"
)

// raised says how many times the limits of sending are raised in a child.
const raised = "BOWLWRIGHT_TEST_LIMITS"

// fleet is some processes on one database, which a balancer calls in turn.
type fleet struct {
	t       *testing.T
	api     *standin.Server
	db      *pgtest.Server
	address string
	times   int // that the limits are raised
	hook    string

	mu    sync.Mutex
	procs []*exec.Cmd
	at    []string // where each listens
	well  []string // where each says how it is
	turn  atomic.Int64
}

// newFleet makes a database and starts as many processes; with hooks the platform
// calls them, else one of them asks it.
func newFleet(t *testing.T, db *pgtest.Server, n, times int, hooks bool) *fleet {
	t.Helper()
	f := &fleet{t: t, db: db, times: times, procs: make([]*exec.Cmd, n), at: make([]string, n), well: make([]string, n),
		api: platform(t, standin.Options{Rates: true, Times: times})}
	var err error
	f.address, err = db.Create()
	must(t, err)
	f.watch()
	if hooks {
		balancer := httptest.NewServer(http.HandlerFunc(f.balance))
		t.Cleanup(balancer.Close)
		f.hook = balancer.URL + "/hook"
	}
	for i := range n {
		f.start(i)
	}
	t.Cleanup(func() {
		for i := range n {
			f.kill(i)
		}
	})
	return f
}

// watch has the database note every message that is put into the outbox.
func (f *fleet) watch() {
	s, err := postgres.Open(f.t.Context(), f.address)
	must(f.t, err)
	must(f.t, s.Close())
	f.sql(`CREATE TABLE put (chat bytea, record json);
		CREATE FUNCTION note() RETURNS trigger LANGUAGE plpgsql AS 'BEGIN INSERT INTO put VALUES (NEW.chat, NEW.record); RETURN NEW; END';
		CREATE TRIGGER note AFTER INSERT ON outbox FOR EACH ROW EXECUTE FUNCTION note()`)
}

func (f *fleet) sql(text string) {
	f.t.Helper()
	conn, err := pgx.Connect(context.Background(), f.address)
	must(f.t, err)
	defer conn.Close(context.Background())
	_, err = conn.Exec(context.Background(), text)
	must(f.t, err)
}

// start starts a process in a place.
func (f *fleet) start(i int) {
	f.t.Helper()
	self, err := os.Executable()
	must(f.t, err)
	f.well[i] = freeAddress(f.t)
	args := []string{"serve", "--api-url", f.api.URL(), "--log-level", "error", "--health", f.well[i]}
	if f.hook != "" {
		f.at[i] = freeAddress(f.t)
		args = append(args, "--webhook-url", f.hook, "--listen", f.at[i])
	}
	c := exec.Command(self, args...)
	c.Env = append(os.Environ(), asProgram+"=1", raised+"="+fmt.Sprint(f.times), "BOWLWRIGHT_TOKEN="+standin.Token, "BOWLWRIGHT_STORE="+f.address)
	if testing.Verbose() {
		c.Stderr = os.Stderr
	}
	must(f.t, c.Start())
	f.mu.Lock()
	f.procs[i] = c
	f.mu.Unlock()
}

// ready waits until a process is at work, or stands by.
func (f *fleet) ready(i int) {
	f.t.Helper()
	for late := time.Now().Add(time.Minute); ; store.Pause(f.t.Context(), 50*time.Millisecond) {
		if resp, err := http.Get("http://" + f.well[i] + "/readyz"); err == nil {
			resp.Body.Close()
			if resp.StatusCode == http.StatusOK {
				return
			}
		}
		if time.Now().After(late) {
			f.t.Fatal("a process is never ready")
		}
	}
}

// gone takes a process out of its place.
func (f *fleet) gone(i int) *exec.Cmd {
	f.mu.Lock()
	defer f.mu.Unlock()
	c := f.procs[i]
	f.procs[i] = nil
	return c
}

// kill kills a process, which must not have ended by itself.
func (f *fleet) kill(i int) {
	c := f.gone(i)
	if c == nil {
		return
	}
	c.Process.Kill()
	c.Wait()
	if s, ok := c.ProcessState.Sys().(syscall.WaitStatus); ok && !s.Signaled() {
		f.t.Errorf("a process ended by itself: %v", c.ProcessState)
	}
}

// end asks a process to end, as a rolling update does.
func (f *fleet) end(i int) {
	c := f.gone(i)
	must(f.t, c.Process.Signal(syscall.SIGTERM))
	if err := c.Wait(); err != nil {
		f.t.Errorf("ended by SIGTERM: %v", err)
	}
}

// balance passes a call on to the processes in turn, to the next where one does
// not answer.
func (f *fleet) balance(w http.ResponseWriter, r *http.Request) {
	body, err := io.ReadAll(r.Body)
	if err != nil {
		return
	}
	f.mu.Lock()
	at := append([]string(nil), f.at...)
	f.mu.Unlock()
	for range at {
		to := at[int(f.turn.Add(1))%len(at)]
		req, _ := http.NewRequestWithContext(r.Context(), http.MethodPost, "http://"+to+r.URL.Path, bytes.NewReader(body))
		req.Header = r.Header
		resp, err := http.DefaultClient.Do(req)
		if err != nil {
			continue
		}
		resp.Body.Close()
		if resp.StatusCode != http.StatusServiceUnavailable {
			w.WriteHeader(resp.StatusCode)
			return
		}
	}
	w.WriteHeader(http.StatusServiceUnavailable)
}

// disturb kills a process every now and then for a time, cuts connections, and
// restarts the database twice: as in a crash, and in order.
func (f *fleet) disturb(ctx context.Context, random *rand.Rand, every, during time.Duration) (kills int) {
	restarts := 0
	for began := time.Now(); restarts < 2 || time.Since(began) < during; {
		store.Pause(ctx, every/2+time.Duration(random.Int64N(int64(every))))
		i := random.IntN(len(f.procs))
		f.kill(i)
		kills++
		switch past := time.Since(began); {
		case restarts < 2 && past > during*time.Duration(restarts+1)/3:
			f.db.Down(restarts == 0)
			store.Pause(ctx, time.Second)
			must(f.t, f.db.Up())
			restarts++
		case random.IntN(3) == 0:
			f.sql(`SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE application_name = 'bowlwright' AND random() < 0.3`)
		}
		f.start(i)
	}
	return kills
}

// put are the texts of all messages that were ever put into the outbox, by chat.
func (f *fleet) put() map[string][]string {
	conn, err := pgx.Connect(context.Background(), f.address)
	must(f.t, err)
	defer conn.Close(context.Background())
	rows, err := conn.Query(context.Background(), `SELECT convert_from(chat, 'UTF8'), record FROM put`)
	must(f.t, err)
	all := map[string][]string{}
	for rows.Next() {
		var chat string
		var record []byte
		must(f.t, rows.Scan(&chat, &record))
		var m store.Outgoing
		must(f.t, json.Unmarshal(record, &m))
		r, err := say.DecodeReply(m.Body)
		must(f.t, err)
		text := ""
		for _, b := range r.Body {
			text += b.Text + "\n"
		}
		all[chat] = append(all[chat], text)
	}
	must(f.t, rows.Err())
	return all
}
