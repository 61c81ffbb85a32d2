package telegram

import (
	"bytes"
	"io"
	"net/http"
)

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
