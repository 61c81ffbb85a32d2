package bot

import (
	"embed"
	"fmt"
	"io/fs"
	"strings"
	"sync"
)

// The catalogue: messages.txt, and a file of its own for each larger subject.
//
//go:embed messages*.txt
var messageFiles embed.FS

// catalogue returns the messages by key. A malformed catalogue is a defect
// of the program and stops it at once.
var catalogue = sync.OnceValue(func() map[string]string {
	m := map[string]string{}
	files, err := fs.Glob(messageFiles, "*.txt")
	if err != nil {
		panic(err)
	}
	for _, name := range files {
		text, err := messageFiles.ReadFile(name)
		if err != nil {
			panic(err)
		}
		if err := parseCatalogue(m, name, string(text)); err != nil {
			panic(err)
		}
	}
	return m
})

// parseCatalogue reads "key: text" entries of a file into m. Lines indented by two spaces
// continue the entry above on a new line; "#" starts a comment line.
func parseCatalogue(m map[string]string, name, s string) error {
	key := ""
	for i, line := range strings.Split(s, "\n") {
		switch {
		case strings.HasPrefix(line, "  ") && key != "":
			m[key] += "\n" + line[2:]
		case strings.TrimSpace(line) == "" || line[0] == '#':
			key = ""
		default:
			k, text, ok := strings.Cut(line, ":")
			if !ok || strings.ContainsAny(k, " \t{") {
				return fmt.Errorf("bot: %s line %d is not \"key: text\"", name, i+1)
			}
			if _, twice := m[k]; twice {
				return fmt.Errorf("bot: %s line %d gives %q a second time", name, i+1, k)
			}
			key = k
			m[k] = strings.TrimPrefix(text, " ")
		}
	}
	return nil
}

// msg returns the message of a key with its places filled in. args are pairs
// of a place's name and its value. {name} is replaced by the value;
// {name|one|many} by "one" where the value prints as 1 and by "many"
// elsewhere. A value is never itself expanded, so what a carer typed stays
// as typed.
func msg(key string, args ...any) string {
	text, ok := catalogue()[key]
	if !ok {
		panic("bot: no message " + key)
	}
	var b strings.Builder
	for {
		before, rest, found := strings.Cut(text, "{")
		b.WriteString(before)
		if !found {
			return b.String()
		}
		place, after, closed := strings.Cut(rest, "}")
		if !closed {
			panic("bot: message " + key + " has an open place")
		}
		fillPlace(&b, key, place, args)
		text = after
	}
}

func fillPlace(b *strings.Builder, key, place string, args []any) {
	name, forms, plural := strings.Cut(place, "|")
	for i := 0; i+1 < len(args); i += 2 {
		if args[i] != name {
			continue
		}
		value := fmt.Sprint(args[i+1])
		if !plural {
			b.WriteString(value)
			return
		}
		one, many, _ := strings.Cut(forms, "|")
		if value == "1" {
			b.WriteString(one)
		} else {
			b.WriteString(many)
		}
		return
	}
	panic("bot: message " + key + " was not given " + name)
}

// hasMessage reports whether the catalogue holds a key; for keys that are
// made from a code ("problem." + code).
func hasMessage(key string) bool {
	_, ok := catalogue()[key]
	return ok
}
