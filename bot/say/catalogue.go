package say

import (
	_ "embed"
	"fmt"
	"maps"
	"strings"
)

//go:embed messages.txt
var messages string

// common are the messages that every room says.
var common = parse(messages)

// Catalogue holds the messages of a room, and knows those that every room says.
type Catalogue map[string]string

// NewCatalogue reads the messages of a room: entries "key: text", whose lines
// that are indented by two spaces go on from the line above; "#" starts a
// comment line. Advice to see a vet is marked, see OneVet. A malformed catalogue is a defect of the program and stops it at
// once.
func NewCatalogue(text string) Catalogue {
	c := parse(text)
	for key := range c {
		if _, twice := common[key]; twice {
			panic(fmt.Sprintf("say: %q is a message of every room already", key))
		}
	}
	return c
}

// Words are the messages of a room, and what says one of them.
func Words(text string) (c Catalogue, msg func(key string, args ...any) string) {
	c = NewCatalogue(text)
	return c, c.Msg
}

func parse(text string) Catalogue {
	c, err := parseCatalogue(text)
	if err != nil {
		panic(err)
	}
	return c
}

func parseCatalogue(s string) (Catalogue, error) {
	c, key := Catalogue{}, ""
	for i, line := range strings.Split(marks.Replace(s), "\n") {
		switch {
		case strings.HasPrefix(line, "  ") && key != "":
			c[key] += "\n" + line[2:]
		case strings.TrimSpace(line) == "" || line[0] == '#':
			key = ""
		default:
			k, text, ok := strings.Cut(line, ":")
			if !ok || strings.ContainsAny(k, " \t{") {
				return nil, fmt.Errorf("say: line %d is not \"key: text\"", i+1)
			}
			if _, twice := c[k]; twice {
				return nil, fmt.Errorf("say: line %d gives %q a second time", i+1, k)
			}
			key = k
			c[k] = strings.TrimPrefix(text, " ")
		}
	}
	return c, nil
}

// text is the message of a key, as it is written.
func (c Catalogue) text(key string) (text string, ok bool) {
	if text, ok = c[key]; !ok {
		text, ok = common[key]
	}
	return text, ok
}

// With is the catalogue together with the messages that every room says.
func (c Catalogue) With() map[string]string {
	all := maps.Clone(map[string]string(common))
	maps.Copy(all, c)
	return all
}

// Has reports whether there is a message of a key; for keys that are made from a
// code ("problem." + code).
func (c Catalogue) Has(key string) bool {
	_, ok := c.text(key)
	return ok
}

// Msg returns the message of a key with its places filled in. args are pairs
// of a place's name and its value. {name} is replaced by the value;
// {name|one|many} by "one" where the value prints as 1 and by "many"
// elsewhere. A value is never itself expanded, so what a carer typed stays
// as typed.
func (c Catalogue) Msg(key string, args ...any) string {
	text, ok := c.text(key)
	if !ok {
		panic("say: no message " + key)
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
			panic("say: message " + key + " has an open place")
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
	panic("say: message " + key + " was not given " + name)
}

// Msg returns a message that every room says.
func Msg(key string, args ...any) string { return common.Msg(key, args...) }
