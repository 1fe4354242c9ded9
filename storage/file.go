package storage

import (
	"bufio"
	"bytes"
	"cmp"
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"errors"
	"fmt"
	"hash"
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

// Encode writes the build file of a log. The same log and blobs give the same bytes. blob returns the bytes of a
// hash, and is asked for one at a time; a blob for which it returns ErrMissing is left out, and blob may be nil for a
// file without any.
func Encode(w io.Writer, l *Log, blob func(hash string) ([]byte, error)) error {
	if l.base != nil {
		return ErrNeedsHistory
	}
	sum := sha256.New()
	out := bufio.NewWriterSize(io.MultiWriter(w, sum), 64<<10)
	write := func(line []byte) error { // the first error stays in out
		out.Write(line)
		return out.WriteByte('\n')
	}
	head := append([]byte(nil), `{"format":"`+Format+`","version":`...)
	head = strconv.AppendInt(head, Version, 10)
	head = append(appendText(append(head, `,"build":`...), l.build), '}')
	if err := write(head); err != nil {
		return err
	}
	for _, line := range l.lines {
		if err := write(line.Raw); err != nil {
			return err
		}
	}
	if blob != nil {
		for _, hash := range l.Blobs() {
			data, err := blob(hash)
			if errors.Is(err, ErrMissing) {
				continue
			}
			if err != nil {
				return fmt.Errorf("storage: blob %s: %w", hash, err)
			}
			line := append([]byte(nil), `{"blob":"`+hash+`","data":"`...)
			if err := write(append(base64.StdEncoding.AppendEncode(line, data), `"}`...)); err != nil {
				return err
			}
		}
	}
	if err := out.Flush(); err != nil {
		return err
	}
	_, err := fmt.Fprintf(w, `{"end":true,"count":%d,"sha256":"%x"}`+"\n", len(l.lines), sum.Sum(nil))
	return err
}

// Decode reads a build file: taken whole, or refused whole with a *FileError that says where and why. blob, which may
// be nil, gets every blob after its hash was checked; since the file may still be refused after that, call Decode
// once with nil, and again with a blob that stores them.
//
// The reasons are ErrNotOurs, ErrTooNew, ErrForked, ErrTooBig and ErrCorrupt. Where the file ends too early or its
// end does not fit it, Salvage opens the edits before that.
func Decode(r io.Reader, blob func(hash string, data []byte) error) (*Log, error) {
	f := newFile(r, blob)
	if err := f.read(); err != nil {
		return nil, &FileError{Line: f.line, Edits: len(f.lines), Err: err}
	}
	return f.log()
}

// Salvage opens the good edits that a damaged file begins with, for what FileError.Edits counts: show it as a copy
// (see Copy) and keep the file. It returns an error only where there is no header or the edits do not fit together.
func Salvage(r io.Reader) (*Log, error) {
	f := newFile(r, nil)
	if err := f.read(); err != nil && f.build == "" {
		return nil, &FileError{Line: f.line, Err: err}
	}
	return f.log()
}

// file is a build file being read.
type file struct {
	in     *bufio.Reader
	sum    hash.Hash
	parser parser
	blob   func(hash string, data []byte) error

	line    int // the one being read, from 1
	size    int // bytes so far, without blobs
	build   string
	lines   []Line
	numbers []int // where each of lines stood
	ended   bool
}

func newFile(r io.Reader, blob func(string, []byte) error) *file {
	return &file{in: bufio.NewReaderSize(r, 64<<10), sum: sha256.New(), blob: blob}
}

func (f *file) read() error {
	for {
		f.line++
		raw, err := f.next()
		if err != nil {
			return err
		}
		if raw == nil {
			if f.build == "" {
				return ErrNotOurs
			}
			if !f.ended {
				return corrupt("the file has no end: it was cut off after %d edits", len(f.lines))
			}
			return nil
		}
		if f.ended {
			return corrupt("more after the end")
		}
		switch {
		case f.build == "":
			err = f.header(raw)
		case bytes.HasPrefix(raw, []byte(`{"blob":`)):
			err = f.readBlob(raw)
		case bytes.HasPrefix(raw, []byte(`{"end":`)):
			err = f.end(raw)
		default:
			var line Line
			if line, err = f.parser.line(raw); err == nil {
				f.lines = append(f.lines, line)
				f.numbers = append(f.numbers, f.line)
			}
		}
		if err != nil {
			return err
		}
		f.sum.Write(raw)
		f.sum.Write([]byte{'\n'})
	}
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

// next returns the next line without its newline, or nil at the end. A last line without newline was cut off.
func (f *file) next() ([]byte, error) {
	var line []byte
	for {
		part, err := f.in.ReadSlice('\n')
		line = append(line, part...)
		limit := MaxLine
		isBlob := bytes.HasPrefix(line, []byte(`{"blob":`))
		if isBlob {
			limit = base64.StdEncoding.EncodedLen(MaxBlob) + 256
		} else if f.size += len(part); f.size > MaxFile {
			return nil, fmt.Errorf("%w: the file is over %d bytes without blobs", ErrTooBig, MaxFile)
		}
		if len(line) > limit+1 {
			if f.build == "" {
				return nil, ErrNotOurs
			}
			return nil, fmt.Errorf("%w: the line is over %d bytes", ErrTooBig, limit)
		}
		switch err {
		case nil:
			return line[:len(line)-1], nil
		case bufio.ErrBufferFull:
		case io.EOF:
			if len(line) == 0 {
				return nil, nil
			}
			if f.build == "" {
				return line, nil
			}
			return nil, corrupt("the file has no end: it was cut off inside this line")
		default:
			return nil, err
		}
	}
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

func (f *file) readBlob(raw []byte) error {
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
	if got := BlobHash(data); got != hash {
		return corrupt("blob %.80q: its bytes have the hash %s", hash, got)
	}
	if f.blob == nil {
		return nil
	}
	return f.blob(hash, data)
}

// BlobHash returns the name of a blob: its SHA-256 in lower-case hexadecimal.
func BlobHash(data []byte) string {
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:])
}

func (f *file) end(raw []byte) error {
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
	if got := hex.EncodeToString(f.sum.Sum(nil)); got != sum {
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
