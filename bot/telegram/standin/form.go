package standin

import (
	"encoding/json"
	"errors"
	"io"
	"net/http"
	"strconv"
	"strings"
)

const longestCall = 64 << 20 // bytes

// Upload is a file that came with a call.
type Upload struct {
	Name string // as the call has it
	Data []byte
}

// form reads a call's fields and files: a multipart form, as the library
// sends, or a JSON object. No body at all is no fields.
func form(r *http.Request) (map[string]string, map[string]Upload, error) {
	fields, files := map[string]string{}, map[string]Upload{}
	if strings.HasPrefix(r.Header.Get("Content-Type"), "application/json") {
		var all map[string]json.RawMessage
		if err := json.NewDecoder(io.LimitReader(r.Body, longestCall)).Decode(&all); err != nil {
			return nil, nil, err
		}
		for name, v := range all {
			fields[name] = strings.Trim(string(v), `"`)
			var text string
			if json.Unmarshal(v, &text) == nil {
				fields[name] = text
			}
		}
		return fields, files, nil
	}
	if err := r.ParseMultipartForm(longestCall); errors.Is(err, http.ErrNotMultipart) || errors.Is(err, io.EOF) {
		return fields, files, nil
	} else if err != nil {
		return nil, nil, err
	}
	for name, v := range r.MultipartForm.Value {
		fields[name] = v[0]
	}
	for name, v := range r.MultipartForm.File {
		f, err := v[0].Open()
		if err != nil {
			return nil, nil, err
		}
		data, err := io.ReadAll(f)
		if err != nil {
			return nil, nil, err
		}
		files[name] = Upload{v[0].Filename, data}
	}
	return fields, files, nil
}

// number reads an id, 0 where it is none.
func number(s string) int64 {
	n, _ := strconv.ParseInt(s, 10, 64)
	return n
}
