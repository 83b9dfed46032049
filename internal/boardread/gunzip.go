package boardread

import (
	"bytes"
	"compress/gzip"
	"errors"
	"fmt"
	"io"

	"ohmward/format"
)

func isGzip(data []byte) bool { return bytes.HasPrefix(data, []byte("\x1f\x8b\x08")) }

// sniff tells a file's kind from its first bytes, in a gzip those of a whole
// board in it; other things in a gzip are unknown.
func sniff(name string, top []byte) format.Kind {
	if !isGzip(top) {
		return format.Sniff(name, top)
	}
	in, err := gzip.NewReader(bytes.NewReader(top))
	if err != nil {
		return format.Unknown
	}
	top, _ = io.ReadAll(io.LimitReader(in, headSize)) // the rest is not here
	if kind := format.Sniff(name, top); kind == format.IPC2581 {
		return kind
	}
	return format.Unknown
}

// gunzip gives what is in a gzip, within the bounds of an archive's entry; of
// one that is cut off what is there, since the reader of the text tells. Data
// that are no gzip are given as they are.
func gunzip(data []byte) ([]byte, error) {
	if !isGzip(data) {
		return data, nil
	}
	in, err := gzip.NewReader(bytes.NewReader(data))
	if err != nil {
		return nil, fmt.Errorf("not a readable gzip (%w)", err)
	}
	limit := min(int64(len(data))*maxRatio+1<<20, maxFile)
	body, err := io.ReadAll(io.LimitReader(in, limit+1))
	switch {
	case int64(len(body)) > limit:
		return nil, fmt.Errorf("swells to more than %d bytes from %d: not unpacked", limit, len(data))
	case err != nil && !errors.Is(err, io.ErrUnexpectedEOF):
		return nil, fmt.Errorf("not a readable gzip (%w): get it again", err)
	}
	return body, nil
}
