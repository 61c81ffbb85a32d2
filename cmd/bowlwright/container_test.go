package main

import (
	"encoding/json"
	"errors"
	"io"
	"os"
	"os/exec"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// top is the directory of the module.
const top = "../.."

// instruction is one of the Dockerfile, without its options.
type instruction struct {
	name    string
	options []string
	args    string
}

// words are the arguments, in either of the notations.
func (i instruction) words(t *testing.T) []string {
	t.Helper()
	if !strings.HasPrefix(i.args, "[") {
		return strings.Fields(i.args)
	}
	var words []string
	if err := json.Unmarshal([]byte(i.args), &words); err != nil {
		t.Fatalf("%s %s: %v", i.name, i.args, err)
	}
	return words
}

func dockerfile(t *testing.T) []instruction {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(top, "Dockerfile"))
	must(t, err)
	var all []instruction
	for line := range strings.Lines(strings.ReplaceAll(string(data), "\\\n", "")) {
		if line = strings.TrimSpace(line); line == "" || line[0] == '#' {
			continue
		}
		var i instruction
		i.name, i.args, _ = strings.Cut(line, " ")
		for i.args = strings.TrimSpace(i.args); strings.HasPrefix(i.args, "--"); i.args = strings.TrimSpace(i.args) {
			var option string
			option, i.args, _ = strings.Cut(i.args, " ")
			i.options = append(i.options, option)
		}
		all = append(all, i)
	}
	return all
}

// TestContainer holds the Dockerfile to what the program is: what it copies is
// there, what it sets is what serve asks for, and what it runs are commands.
func TestContainer(t *testing.T) {
	env, asked := map[string]string{"BOWLWRIGHT_TOKEN": "7000001:token-of-no-value-at-all"}, map[string]bool{}
	getenv := func(name string) string {
		asked[name] = true
		return env[name]
	}
	var entry, command, health, volume []string
	for _, i := range dockerfile(t) {
		switch words := i.words(t); i.name {
		case "COPY":
			if len(i.options) > 0 {
				continue // from the build
			}
			for _, source := range words[:len(words)-1] {
				if _, err := os.Stat(filepath.Join(top, source)); err != nil {
					t.Errorf("it copies what is not there: %v", err)
				}
			}
		case "ENV":
			for _, w := range words {
				name, value, _ := strings.Cut(w, "=")
				env[name] = value
				t.Setenv(name, value)
			}
		case "RUN":
			if strings.Contains(i.args, "go build") && !strings.Contains(i.args, "-X main.stamped=$VERSION") {
				t.Errorf("it does not tell the program its version: %s", i.args)
			}
		case "HEALTHCHECK":
			if words[0] != "CMD" {
				t.Fatalf("the health check is %q", i.args)
			}
			health = instruction{args: strings.TrimSpace(strings.TrimPrefix(i.args, "CMD"))}.words(t)
		case "ENTRYPOINT":
			entry = words
		case "CMD":
			command = words
		case "VOLUME":
			volume = words
		}
	}
	if len(entry) != 1 || len(command) == 0 || command[0] != "serve" {
		t.Fatalf("it runs %q %q", entry, command)
	}
	c, err := parseServe(command[1:], getenv)
	if err != nil {
		t.Errorf("it does not start: %v", err)
	}
	for name := range env {
		if !asked[name] {
			t.Errorf("serve does not ask for %s", name)
		}
	}
	if !slices.Equal(volume, []string{c.place.data}) {
		t.Errorf("the data is in %q, the volume is %q", c.place.data, volume)
	}
	if len(health) < 2 || health[0] != entry[0] {
		t.Fatalf("the health check runs %q, the program is %q", health, entry)
	}
	// Nobody answers, or somebody else does; it only must be a command line.
	var usage usageError
	if err := run(t.Context(), health[1:], nil, io.Discard, io.Discard); errors.As(err, &usage) {
		t.Errorf("the health check: %v", err)
	}
}

// TestContainerContext holds .dockerignore to what the program is built of.
func TestContainerContext(t *testing.T) {
	t.Parallel()
	data, err := os.ReadFile(filepath.Join(top, ".dockerignore"))
	must(t, err)
	var let, kept []string
	for line := range strings.Lines(string(data)) {
		switch line = strings.TrimSpace(line); {
		case line == "" || line[0] == '#':
		case line == "*" || line[0] == '/': // the build needs nothing of the top but what is let in
		case line[0] == '!':
			let = append(let, line[1:])
		default:
			kept = append(kept, path.Base(line))
		}
	}
	list := exec.Command("go", "list", "-deps", "-f",
		`{{if .Module}}{{if .Module.Main}}{{$p := .ImportPath}}{{range .GoFiles}}{{$p}}/{{.}}{{"\n"}}{{end}}{{range .EmbedFiles}}{{$p}}/{{.}}{{"\n"}}{{end}}{{end}}{{end}}`, ".")
	list.Env = append(os.Environ(), "GOOS=linux", "CGO_ENABLED=0")
	out, err := list.Output()
	must(t, err)
	files := strings.Fields(string(out))
	if len(files) < 100 {
		t.Fatalf("the program is built of %d files", len(files))
	}
	for _, f := range append(files, "bowlwright/go.mod", "bowlwright/go.sum") {
		f = strings.TrimPrefix(f, "bowlwright/")
		if first, _, _ := strings.Cut(f, "/"); !slices.Contains(let, first) {
			t.Errorf("%s is kept out", f)
		}
		for part := range strings.SplitSeq(f, "/") {
			for _, pattern := range kept {
				if ok, err := path.Match(pattern, part); err != nil || ok {
					t.Errorf("%s is kept out by %s, %v", f, pattern, err)
				}
			}
		}
	}
}
