// Command bowlwright plans fresh food for dogs: a chat in the terminal and
// the commands around it.
package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"runtime/debug"
	"slices"
	"strings"
	"syscall"
	"time"
	_ "time/tzdata" // the zone database, for machines without one
)

func main() {
	// A closed pipe is an error of the write, not the end of the process.
	signal.Ignore(syscall.SIGPIPE)
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	err := run(ctx, os.Args[1:], os.Stdin, os.Stdout, os.Stderr)
	stop()
	os.Exit(report(err, os.Stderr))
}

// usageError is a mistake in the command line; the program exits 2.
type usageError struct{ text string }

func (e usageError) Error() string { return e.text }

// failure is an error whose text is meant for the person at the terminal.
type failure struct {
	text string
	err  error
}

func (e failure) Error() string { return e.text }
func (e failure) Unwrap() error { return e.err }

// logged is an error that stands in the log already.
type logged struct{ error }

func (l logged) Unwrap() error { return l.error }

// report prints an error and returns the exit code: 0 for none, 2 for a
// usage error, 1 for any other.
func report(err error, stderr io.Writer) int {
	var usage usageError
	code := 1
	if errors.As(err, &usage) {
		code = 2
	}
	switch {
	case err == nil:
		return 0
	case errors.As(err, new(logged)):
		return code
	case code == 2:
		fmt.Fprintf(stderr, "bowlwright: %s\nRun \"bowlwright help\" for what there is.\n", usage.text)
		return code
	}
	fmt.Fprintf(stderr, "bowlwright: %v\n", err)
	return code
}

const usage = `Bowlwright plans fresh, home-made food for dogs.

  bowlwright chat [--data DIR | --scratch] [--at TIME]
      talk to it here; data is kept in a file in DIR. "#2" or "#Undo" presses a
      button; "%as NAME" goes on as somebody else, "%at TIME" at another time
  bowlwright serve [--data DIR] [--token-file FILE] [--allow IDS] [--health ADDR]
                   [--webhook-url URL --listen ADDR] [--log text|json] [--log-level L]
                   [--backup-at "30 3 * * *" --backup-dir DIR [--backup-keep N]]
                   [--digest-at "0 8 * * 1"] [--purge-at "17 * * * *"]
                   [--log-unheard "0 8 * * 1"] [--publishing off | --authors IDS]
      answer on the phone; the bot's token is in BOWLWRIGHT_TOKEN or FILE,
      and every option can be a variable too: BOWLWRIGHT_HEALTH
  bowlwright foods [--json] [NAME ...]
      search the food table
  bowlwright analyse FILE [--profile aafco-adult] [--dog "20 kg moderate"]
                     [--view as-fed|kcal|dry|dog] [--lab FILE] [--json]
      compare the recipe lines of FILE (- for standard input) with a table
      of requirements; show it per 100 g, per 1000 kcal, on dry matter, or
      per kg of dog and day; --lab has what a laboratory measured of it, a
      figure a line, in place of the table's
  bowlwright read --json
      say what texts are taken for, and what would be done about them: JSON
      lines in, a line each out
  bowlwright backup FILE [--data DIR]
      copy the data into FILE, also while it is in use, and check the copy
  bowlwright verify FILE | --store postgres://...
      check a file from backup, or read all that is in a database
  bowlwright restore FILE [--data DIR] [--unsent drop|send]
      put a file from backup in the place of the data, which is kept; asks
      what becomes of messages that it had not sent, which drops them
  bowlwright move --from FILE --to postgres://USER@HOST/NAME, or back
      take everything over from the data file into a PostgreSQL database,
      which several "serve --store postgres://..." then share
  bowlwright undelivered [--retry | --drop] [--data DIR]
      list what Telegram will never take, without its text; try it again,
      or forget it
  bowlwright published [--withdraw TOKEN --why REASON] [--data DIR]
      list what is published, or withdraw one of it
  bowlwright health [ADDR]
      ask a running "serve --health ADDR" how it is; without ADDR, the one
      that BOWLWRIGHT_HEALTH names
  bowlwright --version
      print the version

serve, undelivered and published take --store postgres://... or --store-file
FILE in the place of --data, too.
`

// run carries out one command line.
func run(ctx context.Context, args []string, stdin io.Reader, stdout, stderr io.Writer) error {
	if len(args) == 0 {
		return usageError{"no command given"}
	}
	if slices.ContainsFunc(args[1:], func(a string) bool { return a == "--help" || a == "-help" || a == "-h" }) {
		_, err := fmt.Fprint(stdout, usage)
		return err
	}
	switch args[0] {
	case "chat":
		return chat(ctx, args[1:], stdin, stdout)
	case "serve":
		return serve(ctx, args[1:], os.Getenv, stderr)
	case "analyse":
		return analyse(args[1:], stdin, stdout, stderr)
	case "read":
		return readCommand(args[1:], stdin, stdout)
	case "foods":
		return foods(args[1:], stdout)
	case "backup":
		return backup(ctx, args[1:], stdout)
	case "verify":
		return verify(ctx, args[1:], stdout)
	case "restore":
		return restore(args[1:], time.Now(), stdin, stdout)
	case "move":
		return move(ctx, args[1:], stdout)
	case "undelivered":
		return undelivered(ctx, args[1:], time.Now(), stdout)
	case "published":
		return published(ctx, args[1:], time.Now(), stdout)
	case "health":
		return health(ctx, args[1:], os.Getenv)
	case "--version", "-version", "version":
		_, err := fmt.Fprintln(stdout, "bowlwright", version())
		return err
	case "help", "--help", "-help", "-h":
		_, err := io.WriteString(stdout, usage)
		return err
	}
	return usageError{fmt.Sprintf("there is no command %q", args[0])}
}

// stamped is the version that a build was told with -ldflags -X, where there is
// no repository to tell: in the container.
var stamped string

// version is the module's version and the revision it was built from, as the
// Go toolchain recorded them.
func version() string {
	if stamped != "" {
		return stamped
	}
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return "(unknown)"
	}
	v, revision := info.Main.Version, ""
	for _, s := range info.Settings {
		if s.Key == "vcs.revision" && len(s.Value) >= 12 && !strings.Contains(v, s.Value[:12]) {
			revision = " " + s.Value[:12]
		}
	}
	if v == "" {
		v = "(devel)"
	}
	return v + revision
}
