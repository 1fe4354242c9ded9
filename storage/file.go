package storage

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"

	"github.com/go-json-experiment/json/jsontext"
)

// The build file, see the package comment.
const (
	Format  = "loomwright-build"
	Version = 1 // the newest that this app reads and the one it writes
)

// Blobs returns the hashes of the blobs that living records name, in order.
func (l *Log) Blobs() []string {
	var out []string
	for _, r := range l.records { // deleted ones do not count
		v := r.value("blob")
		if r.gone() || v.Kind() != '"' {
			continue
		}
		if hash, err := jsontext.AppendUnquote(nil, v); err == nil && validHash(string(hash)) {
			out = append(out, string(hash))
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

func validHash(s string) bool {
	b, err := hex.DecodeString(s)
	return err == nil && len(b) == sha256.Size && hex.EncodeToString(b) == s
}

// Outgoing is a build file that is to be written: what a log held at a moment, whatever is added to the log later.
type Outgoing struct {
	build string
	lines [][]byte
	blobs []string
}

// Outgoing returns the build file of the log as it is now, or ErrNeedsHistory.
func (l *Log) Outgoing() (*Outgoing, error) {
	if l.base != nil {
		return nil, ErrNeedsHistory
	}
	out := &Outgoing{build: l.build, lines: make([][]byte, len(l.lines)), blobs: l.Blobs()}
	for i := range l.lines {
		out.lines[i] = l.lines[i].Raw
	}
	return out, nil
}

// Write writes the file. The same log and blobs give the same bytes. blob returns the bytes of a hash, and is asked
// for one at a time; a blob for which it returns ErrMissing is left out, and blob may be nil for a file without any.
func (o *Outgoing) Write(to Sink, blob func(hash string) (Blob, error)) error {
	out := append(make([]byte, 0, pieceSize), `{"format":"`+Format+`","version":`...)
	out = strconv.AppendInt(out, Version, 10)
	out = append(appendText(append(out, `,"build":`...), o.build), "}\n"...)
	for _, line := range o.lines {
		if len(out)+len(line) >= pieceSize {
			if _, err := to.Write(out); err != nil {
				return err
			}
			out = out[:0]
		}
		out = append(append(out, line...), '\n')
	}
	for _, hash := range o.blobs {
		if blob == nil {
			break
		}
		b, err := blob(hash)
		if errors.Is(err, ErrMissing) {
			continue
		}
		if err == nil {
			_, err = to.Write(append(out, `{"blob":"`+hash+`","data":"`...))
		}
		if err == nil {
			err = to.Base64(b)
		}
		if err != nil {
			return fmt.Errorf("storage: blob %s: %w", hash, err)
		}
		out = append(out[:0], "\"}\n"...)
	}
	if _, err := to.Write(out); err != nil {
		return err
	}
	_, err := fmt.Fprintf(to, `{"end":true,"count":%d,"sha256":"%s"}`+"\n", len(o.lines), to.Sum())
	return err
}

// Encode writes the build file of a log with blobs from Go's memory; see Outgoing.Write.
func Encode(w io.Writer, l *Log, blob func(hash string) ([]byte, error)) error {
	out, err := l.Outgoing()
	if err != nil {
		return err
	}
	var read func(hash string) (Blob, error)
	if blob != nil {
		read = func(hash string) (Blob, error) {
			data, err := blob(hash)
			return Bytes(data), err
		}
	}
	return out.Write(SinkTo(w), read)
}
