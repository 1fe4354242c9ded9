package storage

import (
	"bytes"
	"cmp"
	"encoding/base64"
	"errors"
	"fmt"
	"io"
)

// Decode reads a build file into Go's memory, blobs too; see Read.
func Decode(r io.Reader, blob func(hash string, data []byte) error) (*Log, error) {
	return Read(SourceOf(r), func(hash string, b Blob) error {
		if blob == nil {
			return nil
		}
		return blob(hash, b.(Bytes))
	})
}

// Read reads a build file: taken whole, or refused whole with a *FileError that says where and why. blob gets every
// blob after its hash was checked; since the file may still be refused after that, read it once with a blob that keeps
// nothing, and then again with one that does.
//
// The reasons are ErrNotOurs, ErrTooNew, ErrForked, ErrTooBig and ErrCorrupt. Where the file ends too early or its
// end does not fit it, Salvage opens the edits before that.
func Read(from Source, blob func(hash string, b Blob) error) (*Log, error) {
	f := &file{from: from, blob: blob}
	if err := f.read(); err != nil {
		return nil, &FileError{Line: f.line, Edits: len(f.lines), Err: err}
	}
	return f.log()
}

// Salvage opens the good edits that a damaged file begins with, for what FileError.Edits counts: show it as a copy
// (see Copy) and keep the file. It returns an error only where there is no header or the edits do not fit together.
func Salvage(from Source) (*Log, error) {
	f := &file{from: from, blob: func(string, Blob) error { return nil }}
	if err := f.read(); err != nil && f.build == "" {
		return nil, &FileError{Line: f.line, Err: err}
	}
	return f.log()
}

// file is a build file being read.
type file struct {
	from   Source
	parser parser
	blob   func(hash string, b Blob) error

	line    int // the one being read, from 1
	size    int // bytes so far, without blobs
	build   string
	lines   []Line
	numbers []int // where each of lines stood
	ended   bool
}

func (f *file) read() error {
	for {
		p, err := f.from.Next()
		switch {
		case errors.Is(err, io.EOF):
			f.line++
			return f.last()
		case err != nil:
			f.line++
			return err
		case p.Blob != nil:
			f.line++
			switch {
			case f.build == "":
				return ErrNotOurs
			case f.ended:
				return afterEnd()
			}
			err = f.take(p.Name, p.Blob)
		default:
			err = f.text(p)
		}
		if err != nil {
			return err
		}
	}
}

func afterEnd() error { return corrupt("more after the end") }

// last judges a file that has no more lines.
func (f *file) last() error {
	switch {
	case f.build == "":
		return ErrNotOurs
	case !f.ended:
		return corrupt("the file has no end: it was cut off after %d edits", len(f.lines))
	}
	return nil
}

// text takes lines.
func (f *file) text(p Piece) error {
	for rest := p.Text; len(rest) > 0; {
		f.line++
		raw, after, whole := bytes.Cut(rest, []byte{'\n'})
		rest = after
		isBlob := bytes.HasPrefix(raw, []byte(BlobLine))
		if !isBlob {
			if f.size += len(raw) + 1; f.size > MaxFile {
				return fmt.Errorf("%w: the file is over %d bytes without blobs", ErrTooBig, MaxFile)
			}
		}
		var err error
		switch limit := lineLimit(raw); {
		case len(raw) > limit && f.build == "":
			return ErrNotOurs
		case len(raw) > limit:
			return fmt.Errorf("%w: the line is over %d bytes", ErrTooBig, limit)
		case f.build == "":
			err = f.header(raw)
		case !whole:
			return corrupt("the file has no end: it was cut off inside this line")
		case f.ended:
			return afterEnd()
		case isBlob:
			err = f.inside(raw)
		case bytes.HasPrefix(raw, []byte(EndOfFile)):
			err = f.end(raw, p.Sum)
		default:
			err = f.edit(raw)
		}
		if err != nil {
			return err
		}
	}
	return nil
}

func (f *file) edit(raw []byte) error {
	line, err := f.parser.line(raw)
	if err == nil {
		f.lines = append(f.lines, line)
		f.numbers = append(f.numbers, f.line)
	}
	return err
}

// log returns the log of the lines that were read.
func (f *file) log() (*Log, error) {
	if err := bearable(f.lines); err != nil {
		return nil, &FileError{Line: f.line, Edits: len(f.lines), Err: err}
	}
	l := New(f.build)
	if _, err := l.Add(f.lines); err != nil {
		return nil, &FileError{Line: f.fork(), Edits: len(f.lines), Err: err}
	}
	return l, nil
}

func (f *file) header(raw []byte) error {
	head, err := f.parser.whole(raw)
	format, errFormat := head.text("format")
	version, errVersion := head.number("version")
	build, errBuild := head.text("build")
	err = cmp.Or(err, errFormat, errVersion, errBuild)
	switch {
	case format != Format:
		return ErrNotOurs
	case version > Version:
		return &TooNewError{int(version), Version}
	case err != nil:
		return corrupt("header: %w", err)
	case version < 1:
		return corrupt("header: version %d", version)
	case !validID(build):
		return corrupt("header: build %.80q: not an id", build)
	}
	f.build = build
	return nil
}

// inside takes a blob whose bytes are in the line.
func (f *file) inside(raw []byte) error {
	b, err := f.parser.whole(raw)
	hash, errHash := b.text("blob")
	text, errText := b.text("data")
	data, errData := base64.StdEncoding.DecodeString(text)
	if err := cmp.Or(err, errHash, errText, errData); err != nil {
		return corrupt("blob: %w", err)
	}
	if len(data) > MaxBlob {
		return fmt.Errorf("%w: blob of %d bytes, the limit is %d", ErrTooBig, len(data), MaxBlob)
	}
	return f.take(hash, Bytes(data))
}

func (f *file) take(name string, b Blob) error {
	if got := b.Hash(); got != name {
		return corrupt("blob %.80q: its bytes have the hash %s", name, got)
	}
	return f.blob(name, b)
}

func (f *file) end(raw []byte, got string) error {
	end, err := f.parser.whole(raw)
	ended, _ := end.Get("end")
	count, errCount := end.number("count")
	sum, errSum := end.text("sha256")
	if err := cmp.Or(err, errCount, errSum); err != nil {
		return corrupt("end: %w", err)
	}
	if !isTrue(ended) || count != int64(len(f.lines)) {
		return corrupt("end: it counts %d edits, the file has %d", count, len(f.lines))
	}
	if got != sum {
		return corrupt("end: the file is not as it was written (SHA-256 is %s, should be %.80s)", got, sum)
	}
	f.ended = true
	return nil
}

// fork returns the number of the first line that has the name of an earlier one and other bytes.
func (f *file) fork() int {
	first := map[Ref][]byte{}
	for i, line := range f.lines {
		if raw, ok := first[line.Ref()]; ok && !bytes.Equal(raw, line.Raw) {
			return f.numbers[i]
		}
		first[line.Ref()] = line.Raw
	}
	return f.line
}
