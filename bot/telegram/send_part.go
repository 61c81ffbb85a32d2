package telegram

import (
	"bytes"
	"context"
	"strconv"
	"strings"
	"time"

	tg "github.com/go-telegram/bot"
	"github.com/go-telegram/bot/models"

	"bowlwright/bot/delivery"
	"bowlwright/bot/say"
)

// part is one call to the platform.
type part struct {
	html    string
	file    *file // with html as its caption
	buttons [][]say.Button
	inPlace int64  // message to edit; 0: a new one
	settles bool   // it is edited though newer ones are below it
	live    string // the name of the message that it changes or is from now on; see say.Reply
	quiet   bool   // it is not sent where there is no such message
	plain   bool   // it goes without markup
}

// text is the part's text and how it is to be read.
func (p *part) text() (string, models.ParseMode) {
	if p.plain {
		return plainText(p.html), ""
	}
	return p.html, parseMode(p.html)
}

// file is what a part uploads.
type file struct {
	name    string
	picture bool // shown rather than offered
	data    []byte
	alt     string // what it is in words
}

// attachments are the files of a reply, in the order in which they go.
func attachments(r say.Reply) (all []file) {
	if p := r.Picture; p != nil {
		all = append(all, file{p.Name, true, p.PNG, p.Alt})
	}
	if d := r.Document; d != nil {
		all = append(all, file{d.Name, false, d.Data, d.Alt})
	}
	return all
}

// parts says which calls a reply takes: its text is the caption of its first
// file where it is short enough for one, else it goes before it.
func (s *sender) parts(r say.Reply) []part {
	body := r.Body
	if r.Start != "" {
		body = append(body[:len(body):len(body)], say.Block{Text: s.c.me.opens() + r.Start})
	}
	files := attachments(r)
	var out []part
	if len(files) > 0 {
		if texts := renderBody(body, longestCaption); len(texts) <= 1 {
			out = []part{{html: strings.Join(texts, ""), file: &files[0]}}
			files = files[1:]
		}
	}
	if out == nil {
		for _, t := range renderBody(body, longestText) {
			out = append(out, part{html: t})
		}
	}
	for i := range files {
		caption := renderBody([]say.Block{{Text: files[i].alt}}, longestCaption)
		out = append(out, part{html: strings.Join(caption[:min(1, len(caption))], ""), file: &files[i]})
	}
	if len(out) > 0 {
		out[len(out)-1].buttons = r.Buttons
	}
	if len(out) == 1 && out[0].file == nil {
		out[0].inPlace, _ = strconv.ParseInt(r.InPlace, 10, 64)
		out[0].settles, out[0].live, out[0].quiet = r.Settles, r.Live, r.Quiet
	} else if r.Quiet { // it does not fit into the message that it changes
		return nil
	}
	return out
}

// slowestUpload is how many bytes a second an upload is given at least; our
// own choice.
const slowestUpload = 128 << 10

// timeout bounds the call of a part.
func (p *part) timeout() time.Duration {
	if p.file == nil {
		return sendTimeout
	}
	return sendTimeout + time.Duration(len(p.file.data))*time.Second/slowestUpload
}

// part makes one call, within the part's timeout. Where its markup is refused,
// it makes another without. Where the topic is gone, it makes another, and to
// has none from then on: what was said there is worth saying in the chat
// itself.
func (s *sender) part(ctx context.Context, to *target, p part) *delivery.Failure {
	ctx, cancel := context.WithTimeout(ctx, p.timeout())
	defer cancel()
	if p.live != "" {
		done, failed := s.change(ctx, *to, &p)
		if done || failed != nil {
			return failed
		}
	} else if p.inPlace != 0 && (p.settles || s.isLast(*to, p.inPlace)) {
		done, failed := s.edit(ctx, *to, p)
		if done || failed != nil {
			return failed
		}
	}
	sent, method, err := s.call(ctx, *to, p)
	if to.thread() != 0 && says(err, noSuchTopic...) {
		to.topic = ""
		sent, method, err = s.call(ctx, *to, p)
	}
	if !p.plain && markupRefused(err) {
		p.plain = true
		sent, method, err = s.call(ctx, *to, p)
	}
	if err != nil {
		return classify(method, err)
	}
	s.seen(*to, int64(sent.ID))
	if p.live != "" {
		s.keepLive(ctx, to.name, p.live, strconv.Itoa(sent.ID))
	}
	return nil
}

// call sends a part as a new message.
func (s *sender) call(ctx context.Context, to target, p part) (sent *models.Message, method string, err error) {
	said, mode := p.text()
	if p.file == nil {
		sent, err = s.c.bot.SendMessage(ctx, &tg.SendMessageParams{
			ChatID: to.chat(), MessageThreadID: to.thread(), Text: said, ParseMode: mode,
			LinkPreviewOptions: noPreview(p.html), ReplyMarkup: keyboard(p.buttons),
		})
		return sent, "sendMessage", err
	}
	// The reader is used up by a call, so every call makes its own.
	upload := &models.InputFileUpload{Filename: p.file.name, Data: bytes.NewReader(p.file.data)}
	if p.file.picture {
		sent, err = s.c.bot.SendPhoto(ctx, &tg.SendPhotoParams{
			ChatID: to.chat(), MessageThreadID: to.thread(), Photo: upload, Caption: said, ParseMode: mode,
			ReplyMarkup: keyboard(p.buttons),
		})
		return sent, "sendPhoto", err
	}
	sent, err = s.c.bot.SendDocument(ctx, &tg.SendDocumentParams{
		ChatID: to.chat(), MessageThreadID: to.thread(), Document: upload, Caption: said, ParseMode: mode,
		ReplyMarkup: keyboard(p.buttons),
		// A file is to arrive as it is, whatever the platform takes it for.
		DisableContentTypeDetection: true,
	})
	return sent, "sendDocument", err
}
