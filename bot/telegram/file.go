package telegram

import (
	"context"
	"errors"
	"io"
	"net/http"
	"strings"

	tg "github.com/go-telegram/bot"
)

// largestFile is the most bytes of a file that are fetched: more than anybody
// takes in is not needed to say so (our own choice).
const largestFile = 3 << 20

// document is a file that a person sent.
type document struct {
	ID   string `json:"file_id"`
	Name string `json:"file_name"`
	Size int64  `json:"file_size"`
}

// file is the file that a message is about, nil where it is about its words: a
// label with a text under it is answered by the text.
func (m *message) file() *document {
	if m == nil || m.Document == nil || m.Caption != "" && !strings.HasSuffix(strings.ToLower(m.Document.Name), ".zip") {
		return nil
	}
	return m.Document
}

// fetch reads a file, or its beginning where it is too large. The address has
// the token in it, so no error names it.
func (c *client) fetch(ctx context.Context, d *document) ([]byte, error) {
	if d.Size > largestFile {
		return []byte("too large"), nil
	}
	return call(ctx, "getFile", func(ctx context.Context, p *tg.GetFileParams) ([]byte, error) {
		f, err := c.bot.GetFile(ctx, p)
		if err != nil {
			return nil, err
		}
		req, err := http.NewRequestWithContext(ctx, http.MethodGet, c.bot.FileDownloadLink(f), nil)
		if err != nil {
			return nil, errNoFile
		}
		resp, err := c.http.Do(req)
		if err != nil {
			return nil, errNoFile
		}
		defer resp.Body.Close()
		data, err := io.ReadAll(io.LimitReader(resp.Body, largestFile))
		if err != nil || resp.StatusCode != http.StatusOK || len(data) == 0 {
			return nil, errNoFile
		}
		return data, nil
	}, tg.GetFileParams{FileID: d.ID})
}

var errNoFile = errors.New("telegram: a file could not be fetched")
