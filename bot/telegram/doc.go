// Package telegram is the adapter to the Telegram Bot API: it receives
// updates by long polling or by webhook, hands them to the assistant as
// events, and puts replies on the wire.
//
// It guarantees that an update is in the store before it is confirmed to the
// platform, and handled by one who claims it; that updates of a household are handled one after another, those
// of different households in parallel; that one update that cannot be read or
// that makes the assistant fail holds up no other and does not come again for
// ever; and that no token, name or text of a message reaches a log or an
// error.
//
// When to send and how often to try belongs to package delivery; what to say
// belongs to package bot. The stand-in for the platform that the tests talk
// to is package standin.
package telegram
