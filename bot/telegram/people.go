package telegram

import "strings"

// People is a list of people, each by id or by username.
type People map[string]bool

// NewPeople makes a list of ids and usernames; what has digits alone is an id.
func NewPeople(all []string) People {
	p := People{}
	for _, who := range all {
		if strings.Trim(who, "0123456789") != "" {
			who = "@" + strings.ToLower(strings.TrimPrefix(who, "@"))
		}
		p[who] = true
	}
	return p
}

// Has reports whether somebody is in the list.
func (p People) Has(id, username string) bool {
	return p[id] || username != "" && p["@"+strings.ToLower(username)]
}
