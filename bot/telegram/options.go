package telegram

import (
	"strings"
	"unicode"
	"unicode/utf8"

	tg "github.com/go-telegram/bot"
	"github.com/go-telegram/bot/models"
)

// Each option is a part of a form, which costs both sides more than the text,
// so options that change nothing are left out.

// parseMode is how a text is to be read: as it is where it has no markup.
func parseMode(html string) models.ParseMode {
	if strings.ContainsAny(html, "<>&") {
		return models.ParseModeHTML
	}
	return ""
}

// noPreview keeps the platform from showing what a link leads to; nil where the
// text cannot have a link.
func noPreview(html string) *models.LinkPreviewOptions {
	if !mayLink(html) {
		return nil
	}
	return &models.LinkPreviewOptions{IsDisabled: tg.True()}
}

// mayLink reports whether the platform could find a link in a text: a scheme,
// a name with a dot in it, or an address of numbers. It says yes in doubt.
func mayLink(s string) bool {
	if strings.Contains(s, "://") || strings.ContainsAny(s, "。．｡") {
		return true
	}
	dots := 0 // of the number that is being read
	for i := 0; i < len(s); i++ {
		switch c := s[i]; {
		case c == '.':
			if r, _ := utf8.DecodeRuneInString(s[i+1:]); unicode.IsLetter(r) || unicode.IsMark(r) {
				return true
			}
			if dots++; dots > 1 && i+1 < len(s) && isDigit(s[i+1]) {
				return true
			}
		case !isDigit(c):
			dots = 0
		}
	}
	return false
}

func isDigit(c byte) bool { return c >= '0' && c <= '9' }
