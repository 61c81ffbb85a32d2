package bot

import (
	"sync"

	"bowlwright/bot/talk"
)

// MenuItem is a command that an adapter can offer in a menu of its own.
type MenuItem struct{ Command, Text string }

// menuOrder lists the commands of the menu, the most used first.
var menuOrder = []string{"today", "dog", "recipe", "shopping", "scale", "rotation", "transition", "food", "undo", "household", "export", "settings", "help", "start"}

// Menu returns the commands worth a place in an adapter's menu, and what each
// does in a few words. Those that are not there (yet) are left out.
func Menu() []MenuItem {
	var out []MenuItem
	for _, name := range menuOrder {
		if _, ok := commands()[name]; ok && words.Has("menu."+name) {
			out = append(out, MenuItem{name, msg("menu." + name)})
		}
	}
	return out
}

// PrivateText says to a stranger that an operator keeps the bot for some
// people alone.
func PrivateText() string { return msg("adapter.private") }

// EditedText says that a message edited later is not read again.
func EditedText() string { return msg("adapter.edited") }

// FullText says that there is no room to keep what was sent.
func FullText() string { return msg("adapter.full") }

// AnonymousText says to somebody who writes in the name of a group that
// nobody can tell who it is.
func AnonymousText() string { return msg("adapter.anonymous") }

// FloodText says that more came at once than is read, but for the newest n.
func FloodText(n int) string { return msg("adapter.flood", "n", n) }

// commands are those of all rooms; Meant asks for them at every message of a group.
var commands = sync.OnceValue(func() map[string]talk.Command { return rooms().Commands })

// Meant reports whether an event is for the assistant. In a group that is a
// press, what is addressed to it, and a command that it has.
func Meant(e talk.Event) bool { return e.Meant(commands()) }
