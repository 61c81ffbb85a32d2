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
func (c *client) fetch(ctx context.Context, d *document) (data []byte, err error) {
	err = call(ctx, "getFile", func(ctx context.Context) error {
		if d.Size > largestFile {
			data = []byte("too large")
			return nil
		}
		f, err := c.bot.GetFile(ctx, &tg.GetFileParams{FileID: d.ID})
		if err != nil {
			return err
		}
		req, err := http.NewRequestWithContext(ctx, http.MethodGet, c.bot.FileDownloadLink(f), nil)
		if err != nil {
			return errNoFile
		}
		resp, err := c.http.Do(req)
		if err != nil {
			return errNoFile
		}
		defer resp.Body.Close()
		if resp.StatusCode != http.StatusOK {
			return errNoFile
		}
		if data, err = io.ReadAll(io.LimitReader(resp.Body, largestFile)); err != nil || len(data) == 0 {
			return errNoFile
		}
		return nil
	})
	return data, err
}

var errNoFile = errors.New("telegram: a file could not be fetched")
