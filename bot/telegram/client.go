package telegram

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"
	"strings"
	"sync/atomic"
	"time"

	tg "github.com/go-telegram/bot"
	"github.com/go-telegram/bot/models"

	"bowlwright/bot"
	"bowlwright/bot/say"
)

// Our own choices for the connection to the platform. The idle timeout should
// be below the server's, so that no message is written to a connection that the
// server is closing. Many idle connections per host save a burst of messages
// from dialling one by one.
const (
	connections   = 128
	idleTimeout   = 30 * time.Second
	dialTimeout   = 10 * time.Second
	longestAnswer = 64 << 20 // bytes of one answer that are read
	longPoll      = 50 * time.Second
)

// client speaks to the platform: through the library, except for receiving.
type client struct {
	bot   *tg.Bot
	http  *http.Client
	api   string // https://api.telegram.org, without a slash at its end
	token string
	me    user
	now   func() time.Time
	heard atomic.Int64 // when the platform last answered, in nanoseconds since 1970
}

func transport() *http.Transport {
	t := http.DefaultTransport.(*http.Transport).Clone()
	t.MaxIdleConns, t.MaxIdleConnsPerHost, t.MaxConnsPerHost = connections, connections, connections
	t.IdleConnTimeout = idleTimeout
	t.TLSHandshakeTimeout = dialTimeout
	return t
}

// hearing notes when the platform answers, whatever it says but that it is out
// of order.
type hearing struct {
	http.RoundTripper
	c *client
}

func (h hearing) RoundTrip(r *http.Request) (*http.Response, error) {
	resp, err := h.RoundTripper.RoundTrip(r)
	if err == nil && resp.StatusCode < http.StatusInternalServerError {
		h.c.heard.Store(h.c.now().UnixNano())
	}
	return resp, err
}

func newClient(token, api string, now func() time.Time) (*client, error) {
	c := &client{api: strings.TrimSuffix(api, "/"), token: token, now: now}
	c.heard.Store(now().UnixNano())
	c.http = &http.Client{Transport: hearing{transport(), c}}
	var err error
	c.bot, err = tg.New(token, tg.WithSkipGetMe(), tg.WithServerURL(c.api), tg.WithHTTPClient(longPoll, whole{c.http}),
		tg.WithErrorsHandler(func(error) {}), // what it reports is returned by the call too
		tg.WithNotAsyncHandlers())
	if err != nil {
		return nil, ErrToken
	}
	return c, nil
}

// whoAmI asks the platform for the bot's own id and username.
func (c *client) whoAmI(ctx context.Context) error {
	me, err := c.whoIs(ctx)
	if err == nil {
		c.me = me
	}
	return err
}

func (c *client) whoIs(ctx context.Context) (user, error) {
	ask := func(ctx context.Context, _ *struct{}) (*models.User, error) { return c.bot.GetMe(ctx) }
	is, err := call(ctx, "getMe", ask, struct{}{})
	if err != nil {
		return user{}, err
	}
	return user{ID: is.ID, Username: is.Username, FirstName: is.FirstName}, nil
}

// opens is what a link begins with that opens a chat with a bot; a payload follows.
func (u user) opens() string { return "https://t.me/" + u.Username + "?start=" }

// setCommands sets the platform's menu of commands.
func (c *client) setCommands(ctx context.Context) error {
	all := say.Each(bot.Menu(), func(m bot.MenuItem) models.BotCommand {
		return models.BotCommand{Command: m.Command, Description: m.Text}
	})
	_, err := call(ctx, "setMyCommands", c.bot.SetMyCommands, tg.SetMyCommandsParams{Commands: all})
	return err
}

// kinds are the updates that are asked for.
var kinds = []string{"message", "edited_message", "callback_query", "my_chat_member", "chat_member"}

// received is one update as it came.
type received struct {
	id   int64   // 0 where it has none that can be read
	body []byte  // nil where it is no JSON
	is   *update // nil where it has not been read, or cannot be
}

// read returns what an update says, nil where it cannot be read.
func (r *received) read() *update {
	if r.is == nil {
		if u, err := decode(r.body); err == nil {
			r.is = &u
		}
	}
	return r.is
}

// getUpdates waits up to timeout for updates with ids from offset on, and
// returns them in the order in which they stand in the answer, with those
// that cannot be read in their places.
func (c *client) getUpdates(ctx context.Context, offset int64, timeout time.Duration) ([]received, error) {
	ctx, cancel := context.WithTimeout(ctx, timeout+sendTimeout)
	defer cancel()
	ask, err := json.Marshal(map[string]any{"offset": offset, "timeout": int(timeout.Seconds()), "allowed_updates": kinds})
	if err != nil {
		return nil, err
	}
	req, err := http.NewRequestWithContext(ctx, http.MethodPost, c.api+"/bot"+c.token+"/getUpdates", bytes.NewReader(ask))
	if err != nil {
		return nil, errors.New("telegram: the platform's address is not usable") // the error holds the token
	}
	req.Header.Set("Content-Type", "application/json")
	resp, err := c.http.Do(req)
	if err != nil {
		return nil, fmt.Errorf("telegram: getUpdates: %w", quiet(err))
	}
	defer resp.Body.Close()
	body, err := io.ReadAll(io.LimitReader(resp.Body, longestAnswer))
	if err != nil {
		return nil, fmt.Errorf("telegram: getUpdates: %w", quiet(err))
	}
	return readAnswer(body)
}

// readAnswer takes the answer to getUpdates apart.
func readAnswer(body []byte) ([]received, error) {
	var answer struct {
		OK         bool              `json:"ok"`
		Code       int               `json:"error_code"`
		Result     []json.RawMessage `json:"result"`
		Parameters struct {
			RetryAfter int `json:"retry_after"`
		} `json:"parameters"`
	}
	var kind *json.UnmarshalTypeError
	if err := json.Unmarshal(body, &answer); err != nil && (answer.OK || !errors.As(err, &kind)) {
		// Either no answer of the platform at all, or one with an update that
		// is no JSON: the updates before and after that can still be read.
		all := salvage(body)
		if len(all) == 0 {
			return nil, errors.New("telegram: getUpdates: an answer that cannot be read")
		}
		return all, nil
	}
	switch after := time.Duration(answer.Parameters.RetryAfter) * time.Second; {
	case answer.OK:
	case answer.Code == http.StatusUnauthorized, answer.Code == http.StatusNotFound:
		return nil, ErrToken
	case answer.Code == http.StatusConflict:
		return nil, &callError{"telegram: getUpdates: another program is asking with the same token", after}
	default:
		return nil, &callError{fmt.Sprintf("telegram: getUpdates: the platform answered %d", answer.Code), after}
	}
	all := make([]received, len(answer.Result))
	for i, raw := range answer.Result {
		all[i].body = raw
		all[i].id, _ = idOf(raw)
	}
	return all, nil
}

// idOf reads no more than an update's id.
func idOf(raw []byte) (int64, bool) {
	var u struct {
		ID *int64 `json:"update_id"`
	}
	if err := json.Unmarshal(raw, &u); err != nil || u.ID == nil {
		return 0, false
	}
	return *u.ID, true
}

// quiet returns the cause of a failed call without its address, which holds
// the token.
func quiet(err error) error {
	for _, known := range []error{context.Canceled, context.DeadlineExceeded, io.ErrUnexpectedEOF} {
		if errors.Is(err, known) {
			return known
		}
	}
	return errors.New(reason(err))
}

// whole sends calls with the length of their bodies. The library writes a body
// while it is being sent, and the transport cuts that into a chunk and a write
// for every few bytes; gathered first, a message leaves in one. The transport
// can also repeat a call on another connection if it fails before anything was
// written.
type whole struct{ *http.Client }

// firstSize is enough for the bodies of most messages, in bytes.
const firstSize = 2 << 10

// Do makes a call.
func (c whole) Do(req *http.Request) (*http.Response, error) {
	if req.Body == nil || req.ContentLength > 0 {
		return c.Client.Do(req)
	}
	buf := bytes.NewBuffer(make([]byte, 0, firstSize))
	_, err := buf.ReadFrom(req.Body)
	req.Body.Close() // there is nothing left in it
	if err != nil {
		return nil, err
	}
	body := buf.Bytes()
	req.ContentLength = int64(len(body))
	req.GetBody = func() (io.ReadCloser, error) { return io.NopCloser(bytes.NewReader(body)), nil }
	if req.Body, err = req.GetBody(); err != nil {
		return nil, err
	}
	return c.Client.Do(req)
}

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
