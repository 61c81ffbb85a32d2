package telegram

import (
	"context"
	"errors"
	"fmt"
	"net/url"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"

	tg "github.com/go-telegram/bot"

	"bowlwright/bot/delivery"
)

var (
	errUnreadable = errors.New("telegram: an update cannot be read")
	// ErrToken says that the platform does not know the token.
	ErrToken = errors.New("telegram: the platform refuses the token")
)

// leftToPlatform are refusals that have nothing to do with the message: the bot
// may not write in that chat, or knows none of that name until somebody writes
// in it (from memory of the platform's answers).
var leftToPlatform = []string{"chat not found", "not enough rights", "chat_write_forbidden", "need administrator rights", "have no rights", "topic_closed"}

// markupRefused reports that a message was refused because of its markup (from
// memory of the platform's answers).
func markupRefused(err error) bool {
	return errors.Is(err, tg.ErrorBadRequest) && says(err, "can't parse entities")
}

// says reports that an error has some words in it.
func says(err error, words ...string) bool {
	return slices.ContainsFunc(words, func(s string) bool { return err != nil && strings.Contains(strings.ToLower(err.Error()), s) })
}

// classify says what an error of the library means for a message. What it
// returns holds neither the token nor what the platform quotes of a message.
func classify(method string, err error) *delivery.Failure {
	f := &delivery.Failure{Kind: delivery.Retry, Err: fmt.Errorf("%s: %s", method, reason(err))}
	var many *tg.TooManyRequestsError
	var moved *tg.MigrateError
	switch {
	case errors.As(err, &many):
		f.Kind, f.After = delivery.Wait, time.Duration(max(many.RetryAfter, 1))*time.Second
	case errors.As(err, &moved):
		f.Kind, f.NewChat = delivery.Moved, chat{ID: int64(moved.MigrateToChatID)}.name()
	case errors.Is(err, tg.ErrorForbidden):
		f.Kind = delivery.Blocked
	case errors.Is(err, tg.ErrorBadRequest):
		f.Kind = delivery.Never
		if says(err, leftToPlatform...) {
			f.Kind = delivery.Blocked
		}
	case strings.Contains(err.Error(), fmt.Sprintf("for method %s, 413 ", method)):
		f.Kind = delivery.Never // larger than the platform takes
	}
	return f
}

var quoted = regexp.MustCompile(`"[^"]*"`)

// longestReason is how many bytes of a platform's description are kept.
const longestReason = 120

// reason puts an error of the library into a few words that can be logged:
// its own texts can hold a whole answer of the platform, message and all.
func reason(err error) string {
	var many *tg.TooManyRequestsError
	var moved *tg.MigrateError
	var link *url.Error
	switch {
	case err == nil:
		return ""
	case errors.Is(err, context.Canceled):
		return "stopped"
	case errors.Is(err, context.DeadlineExceeded):
		return "no answer in time"
	case errors.As(err, &many):
		return "too many requests, retry after " + strconv.Itoa(many.RetryAfter) + " s"
	case errors.As(err, &moved):
		return "the group is another chat now"
	case errors.As(err, &link):
		return "network: " + strings.ReplaceAll(fmt.Sprint(link.Err), link.URL, "")
	}
	for _, known := range []error{tg.ErrorForbidden, tg.ErrorBadRequest, tg.ErrorUnauthorized, tg.ErrorNotFound, tg.ErrorConflict} {
		if errors.Is(err, known) {
			_, said, _ := strings.Cut(err.Error(), known.Error())
			said = quoted.ReplaceAllString(strings.Trim(said, ", "), "...")
			return known.Error() + ": " + strings.ToValidUTF8(said[:min(len(said), longestReason)], "")
		}
	}
	if m := answered.FindStringSubmatch(err.Error()); m != nil {
		return "the platform answered " + m[1]
	}
	return "an answer that cannot be read"
}

var answered = regexp.MustCompile(`^error response from telegram for method \w+, (\d+) `)
