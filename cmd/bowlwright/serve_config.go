package main

import (
	"errors"
	"flag"
	"fmt"
	"log/slog"
	"net"
	"net/url"
	"os"
	"regexp"
	"runtime/debug"
	"slices"
	"strconv"
	"strings"

	"github.com/robfig/cron/v3"

	"bowlwright/bot/talk"
	"bowlwright/bot/telegram"
)

// secret is text that prints as dots wherever it is printed.
type secret string

func (s secret) String() string       { return "***" }
func (s secret) GoString() string     { return "***" }
func (s secret) LogValue() slog.Value { return slog.StringValue("***") }

// serveConfig is the command line and environment of serve, checked whole.
type serveConfig struct {
	place   place
	token   secret
	api     string // empty: the platform's own
	webhook string // empty: long polling
	listen  string
	health  string // empty: none
	allow   []string
	authors []string // who may publish; empty: everybody
	private bool     // nobody may
	json    bool
	level   slog.Level

	backupAt, purgeAt, digestAt, unheardAt cron.Schedule // nil: never
	backupDir                              string
	backupKeep                             int

	warnings []string // of what is set, and may not be meant
}

// setting is one thing that can be set, by a flag or a variable.
type setting struct {
	flag, usage string
	value       string
}

// variable is the environment's name of a setting: BOWLWRIGHT_TOKEN_FILE of
// token-file.
func (s *setting) variable() string {
	return "BOWLWRIGHT_" + strings.ToUpper(strings.ReplaceAll(s.flag, "-", "_"))
}

// parseServe reads flags, and for those not given variables. The error names
// everything that is wrong at once.
func parseServe(args []string, getenv func(string) string) (serveConfig, error) {
	all := []*setting{
		{flag: "data", usage: "directory of the data file"},
		{flag: "store", usage: "address of a database, in the place of that file"},
		{flag: "store-file", usage: "file that holds this address"},
		{flag: "token-file", usage: "file that holds the bot's token"},
		{flag: "api-url", usage: "address of another Bot API server"},
		{flag: "webhook-url", usage: "https address that leads here; without it, long polling"},
		{flag: "listen", usage: "address to take webhook calls at, as 127.0.0.1:8080"},
		{flag: "health", usage: "address of /healthz, /readyz and /metrics"},
		{flag: "allow", usage: "ids or usernames of those who may use it, with commas"},
		{flag: "publishing", usage: "on, or off: nobody may publish", value: "on"},
		{flag: "authors", usage: "ids or usernames of those who may publish, with commas"},
		{flag: "backup-at", usage: "when to make a backup, as \"30 3 * * *\""},
		{flag: "backup-dir", usage: "directory of these backups"},
		{flag: "backup-keep", usage: "how many of them to keep", value: "7"},
		{flag: "digest-at", usage: "when to log a line of counts, as \"0 8 * * 1\""},
		{flag: "log-unheard", usage: "when to log how many messages were not understood, as \"0 8 * * 1\""},
		{flag: "purge-at", usage: "when to forget what has had its time", value: "17 * * * *"},
		{flag: "log", usage: "text or json", value: "text"},
		{flag: "log-level", usage: "debug, info, warn or error", value: "info"},
	}
	f := newFlags("serve")
	by := map[string]*setting{}
	for _, s := range all {
		by[s.flag] = s
		if v := getenv(s.variable()); v != "" {
			s.value = v
		}
		f.StringVar(&s.value, s.flag, s.value, s.usage)
	}
	rest, err := anywhere(f, args)
	if err != nil {
		if strings.Contains(err.Error(), "-token") {
			return serveConfig{}, usageError{"a token on the command line can be read by every user of the machine: use BOWLWRIGHT_TOKEN or --token-file"}
		}
		return serveConfig{json: by["log"].value == "json"}, err
	}
	return checkServe(f, rest, by, getenv)
}

// checkServe makes what is set a configuration; of one that is wrong, how it
// logs is good all the same.
func checkServe(f *flag.FlagSet, rest []string, by map[string]*setting, getenv func(string) string) (serveConfig, error) {
	c := serveConfig{
		api: by["api-url"].value, webhook: by["webhook-url"].value,
		listen: by["listen"].value, health: by["health"].value,
	}
	var wrong []string
	note := func(format string, args ...any) { wrong = append(wrong, fmt.Sprintf(format, args...)) }
	if len(rest) > 0 {
		note("serve takes no %q", rest[0])
	}
	var err error
	if c.place, err = placeOf(by["data"].value, by["store"].value, by["store-file"].value, isGiven(f, "store")); err != nil {
		note("%v", err)
	}
	if isGiven(f, "data") && (isGiven(f, "store") || isGiven(f, "store-file")) {
		note("--data and --store are two places for the data: name one")
	}
	if c.token, err = readToken(by["token-file"].value, getenv("BOWLWRIGHT_TOKEN")); err != nil {
		note("%v", err)
	}
	if info, err := os.Stat(by["token-file"].value); err == nil && info.Mode().Perm()&othersRead != 0 {
		c.warnings = append(c.warnings, "every user of this machine can read the token file: chmod 600")
	}
	if c.api != "" && !isAddress(c.api, "http", "https") {
		note("--api-url is not an http address")
	}
	switch {
	case c.webhook != "" && !isAddress(c.webhook, "https") && !(isAddress(c.webhook, "http") && c.api != ""):
		note("--webhook-url must begin with https://")
	case c.webhook != "" && c.listen == "":
		note("--webhook-url needs --listen, the address to take the calls at")
	case c.webhook == "" && c.listen != "":
		note("--listen is of use with --webhook-url only")
	}
	for _, name := range []string{"listen", "health"} {
		if v := by[name].value; v != "" {
			if _, _, err := net.SplitHostPort(v); err != nil {
				note("--%s is not an address such as 127.0.0.1:8081", name)
			}
		}
	}
	people := func(name string) (all []string) {
		for _, who := range strings.FieldsFunc(by[name].value, func(r rune) bool { return r == ',' || r == ' ' }) {
			if !person.MatchString(who) {
				note("--%s: %q is neither an id nor a username", name, who)
			}
			all = append(all, who)
		}
		if by[name].value != "" && len(all) == 0 {
			note("--%s names nobody", name)
		}
		return all
	}
	c.allow, c.authors = people("allow"), people("authors")
	if len(c.allow) == 0 {
		c.warnings = append(c.warnings, "anyone on the platform can use this bot: --allow names those who may")
	}
	switch by["publishing"].value {
	case "on":
	case "off":
		c.private = true
		if len(c.authors) > 0 {
			note("--publishing off goes with no --authors")
		}
	default:
		note("--publishing is on or off")
	}
	switch by["log"].value {
	case "json":
		c.json = true
	case "text":
	default:
		note("--log is text or json")
	}
	c.checkJobs(by, note)
	if err := c.level.UnmarshalText([]byte(by["log-level"].value)); err != nil {
		note("--log-level is debug, info, warn or error")
	}
	if len(wrong) > 0 {
		return c, usageError{strings.Join(wrong, "\n  and: ")}
	}
	return c, nil
}

// mostBackups is how many backups can be kept; our own choice.
const mostBackups = 10_000

// checkJobs reads when the operator's jobs are done.
func (c *serveConfig) checkJobs(by map[string]*setting, note func(string, ...any)) {
	at := func(name string) cron.Schedule {
		text := by[name].value
		if text == "" {
			return nil
		}
		when, err := parseAt(text)
		if err != nil {
			note("--%s: %q is no cron expression such as \"30 3 * * *\" (minute, hour, day, month, weekday): %v", name, text, err)
		}
		return when
	}
	c.backupAt, c.purgeAt, c.digestAt, c.unheardAt = at("backup-at"), at("purge-at"), at("digest-at"), at("log-unheard")
	c.backupDir = by["backup-dir"].value
	if (by["backup-at"].value == "") != (c.backupDir == "") {
		note("--backup-at and --backup-dir go together")
	}
	if c.backupAt != nil && c.place.address != "" {
		note("--backup-at is for the data file: a database is copied by pg_dump, see \"bowlwright backup --store\"")
	}
	var err error
	c.backupKeep, err = strconv.Atoi(by["backup-keep"].value)
	if err != nil || c.backupKeep < 1 || c.backupKeep > mostBackups {
		note("--backup-keep is a number from 1 to %d", mostBackups)
	}
}

// othersRead is the bit of a file's mode with which everybody may read it.
const othersRead = 0o004

// person is an id or a username (Telegram: 5 to 32 letters, digits and "_";
// some old ones have 4).
var person = regexp.MustCompile(`^(\d{1,19}|@?[A-Za-z][A-Za-z0-9_]{3,31})$`)

// token is what a bot's token looks like, from memory: its id and a key.
var token = regexp.MustCompile(`^\d+:[A-Za-z0-9_-]{20,}$`)

// readToken takes the token from a file or the environment.
func readToken(file, env string) (secret, error) {
	text, from := env, "BOWLWRIGHT_TOKEN"
	switch {
	case file != "" && env != "":
		return "", errors.New("both --token-file and BOWLWRIGHT_TOKEN are given: use one")
	case file != "":
		data, err := os.ReadFile(file)
		if err != nil {
			return "", fmt.Errorf("--token-file cannot be read: %w", err)
		}
		text, from = string(data), "the token file"
	case env == "":
		return "", errors.New("no token: set BOWLWRIGHT_TOKEN or --token-file to what @BotFather gave you")
	}
	text = strings.TrimSpace(text)
	if !token.MatchString(text) {
		return "", fmt.Errorf("%s does not hold a token: it looks like 123456:letters-and-digits", from)
	}
	return secret(text), nil
}

func isAddress(s string, schemes ...string) bool {
	u, err := url.Parse(s)
	return err == nil && u.Host != "" && u.User == nil && slices.Contains(schemes, u.Scheme)
}

// mayPublish reports whether somebody may publish.
func (c *serveConfig) mayPublish(e talk.Event) bool {
	if c.private || len(c.authors) == 0 {
		return !c.private
	}
	return telegram.NewPeople(c.authors).Has(strings.TrimPrefix(e.Person, telegram.Prefix), e.Handle)
}

// Our own choices. What stays in use takes some 40 MB, most of it to understand
// messages; nearly all else that an update needs is garbage at once. Collecting it
// seldom saves a tenth of the processor's time, and the soft limit makes it more
// frequent while many updates are in hand: with 160 MB twice as many went through a
// second, at up to 156 MB (BenchmarkManyHouseholds, 30 November 2026). A limit below what stays in use would
// have the program collect garbage and do little else: TestMemory holds that. The
// file's pages come on top of it, see package store.
const (
	garbage   = 200      // percent of what is in use, until it is collected
	softLimit = 88 << 20 // bytes
)

// tuneMemory sets how often memory is collected, unless the operator has done
// so by the runtime's own variables.
func tuneMemory(getenv func(string) string) {
	if getenv("GOGC") == "" {
		debug.SetGCPercent(garbage)
	}
	if getenv("GOMEMLIMIT") == "" {
		debug.SetMemoryLimit(softLimit)
	}
}
