package publish

import (
	"regexp"
	"strings"
	"unicode"
	"unicode/utf8"

	"bowlwright/bot/read"
	"bowlwright/bot/read/alarm"
	"bowlwright/bot/say"
)

// The most characters of a text that is published, and of a line of one: a name,
// a reason (our own choice).
const (
	MostText = 2000
	MostLine = 300
)

// Text is what somebody typed as it may be shown to others: without characters
// that nobody sees or that turn the direction of what follows.
func Text(typed string) string {
	typed = strings.Map(func(r rune) rune {
		if unicode.Is(unicode.Cf, r) && r != '\u200d' { // this one joins emoji
			return -1
		}
		return r
	}, say.Printable(strings.ReplaceAll(typed, "\r\n", "\n")))
	var lines []string
	for line := range strings.SplitSeq(typed, "\n") {
		line = strings.Join(strings.Fields(line), " ")
		if line != "" || len(lines) > 0 && lines[len(lines)-1] != "" {
			lines = append(lines, line)
		}
	}
	return strings.TrimSpace(strings.Join(lines, "\n"))
}

// Line is likewise one line.
func Line(typed string) string { return strings.Join(strings.Fields(Text(typed)), " ") }

// textTrouble says why a text of at most so many characters cannot be
// published; empty where it can.
func textTrouble(text string, most int) string {
	if wrong := plainTrouble(text, most); wrong != "" {
		return wrong
	}
	if claim := read.Claim(text); claim != "" {
		return msg("text.claim", "words", say.Short(claim))
	}
	if no, found := alarm.Unfit(text); found {
		return msg("text.unfit", "name", no.Typed)
	}
	return ""
}

// plainTrouble is likewise of a text that only those see who keep a recipe, or
// its author.
func plainTrouble(text string, most int) string {
	if n := utf8.RuneCountInString(text); n > most {
		return msg("text.long", "n", n, "most", most)
	}
	if link := linked(text); link != "" {
		return msg("text.link", "words", say.Short(link))
	}
	return ""
}

// links are what phones make links of: addresses, names, tags, commands and
// telephone numbers (Telegram's documentation of message entities; the ends of
// addresses are those in common use, no source).
var links = []*regexp.Regexp{
	regexp.MustCompile(`(?i)\b[a-z][a-z0-9+.-]*://\S*`),
	regexp.MustCompile(`(?i)\b(mailto|tel|sms|tg):\S+`),
	regexp.MustCompile(`(?i)[\p{L}\d._%+-]+@[\p{L}\d.-]+\.\p{L}{2,}`),
	regexp.MustCompile(`(?i)\b([\p{L}\d-]+\.)+(com|net|org|info|biz|io|co|me|app|dev|shop|store|online|site|website|xyz|club|top|link|click|page|blog|live|pro|vip|eu|de|uk|us|fr|es|nl|ch|at|pl|be|se|dk|fi|cz|ru|ua|cn|jp|au|nz|ca|ie|pt|gr|tr|ly|gl|gg|tv|cc|ws|pet|vet|dog)\b(/\S*)?`),
	regexp.MustCompile(`(?i)\b([\p{L}\d-]+\.)+\p{L}{2,}/\S*`),
	regexp.MustCompile(`\b\d{1,3}(\.\d{1,3}){3}\b`),
	regexp.MustCompile(`(^|[^\p{L}\d_/])(@[A-Za-z]\w{3,}|#\p{L}\w*|\$[A-Z]{3,8}\b|/[A-Za-z]\w*)`),
	regexp.MustCompile(`\+\d[\d ()-]{6,}\d|\b0\d[\d ()-]{6,}\d`),
	regexp.MustCompile(`\[[^\]]*\]\([^)]*\)|<[^>]+>`),
}

// linked is the first thing in a text that a phone would make a link of; empty
// where there is none.
func linked(text string) string {
	first, at := "", len(text)
	for _, is := range links {
		if found := is.FindStringIndex(text); found != nil && found[0] < at {
			first, at = strings.TrimSpace(text[found[0]:found[1]]), found[0]
		}
	}
	return first
}
