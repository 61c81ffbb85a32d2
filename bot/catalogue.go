package bot

import (
	_ "embed"
	"fmt"
	"strings"
	"sync"
)

//go:embed messages.txt
var messagesText string

// catalogue returns the messages by key. A malformed catalogue is a defect
// of the program and stops it at once.
var catalogue = sync.OnceValue(func() map[string]string {
	m, err := parseCatalogue(messagesText)
	if err != nil {
		panic(err)
	}
	return m
})

// parseCatalogue reads "key: text" entries. Lines indented by two spaces
// continue the entry above on a new line; "#" starts a comment line.
func parseCatalogue(s string) (map[string]string, error) {
	m := map[string]string{}
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
				return nil, fmt.Errorf("bot: messages.txt line %d is not \"key: text\"", i+1)
			}
			if _, twice := m[k]; twice {
				return nil, fmt.Errorf("bot: messages.txt line %d gives %q a second time", i+1, k)
			}
			key = k
			m[k] = strings.TrimPrefix(text, " ")
		}
	}
	return m, nil
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
