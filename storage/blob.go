package storage

import (
	"bufio"
	"bytes"
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"fmt"
	"hash"
	"io"
)

// Blob is the bytes of a photo, wherever they are. In the browser they stay with it: Go knows their number and their
// hash, and hands the blob from one room to the next. It is used once: a store, a sink or a screen that has taken it lets
// its bytes go.
type Blob interface {
	Size() int    // bytes
	Hash() string // see BlobHash
}

// Bytes is a blob in Go's memory, as native tools and tests have it.
type Bytes []byte

// Size implements Blob.
func (b Bytes) Size() int { return len(b) }

// Hash implements Blob.
func (b Bytes) Hash() string { return BlobHash(b) }

// BlobHash returns the name of a blob: its SHA-256 in lower-case hexadecimal.
func BlobHash(data []byte) string {
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:])
}

// pieceSize is how many bytes of a file are written or read at once. Our choice.
const pieceSize = 64 << 10

// Sink takes a build file as it is written.
type Sink interface {
	io.Writer
	// Base64 writes the bytes of a blob as base64.
	Base64(b Blob) error
	// Sum returns the SHA-256 of all that was written so far, in lower-case hexadecimal.
	Sum() string
}

// SinkTo returns a sink that writes to w. Its blobs are Bytes.
func SinkTo(w io.Writer) Sink { return &sink{w, sha256.New()} }

type sink struct {
	w   io.Writer
	sum hash.Hash
}

func (s *sink) Write(data []byte) (int, error) {
	s.sum.Write(data)
	return s.w.Write(data)
}

func (s *sink) Base64(b Blob) error {
	data, ok := b.(Bytes)
	if !ok {
		return fmt.Errorf("storage: a blob of %d bytes that is not in memory", b.Size())
	}
	_, err := s.Write(base64.StdEncoding.AppendEncode(nil, data))
	return err
}

func (s *sink) Sum() string { return hex.EncodeToString(s.sum.Sum(nil)) }

// Source is a build file to be read.
type Source interface {
	// Next returns the next piece, or io.EOF after the last.
	Next() (Piece, error)
}

// Piece is a piece of a build file: lines as text, or the line of a blob whose bytes stay outside Go.
//
// A line is never parted between pieces. The line that begins with EndOfFile is a piece of its own, and so is one that
// is longer than it may be: the rest of that one is not read.
type Piece struct {
	Text []byte // lines, each with its newline; the file's last may lack it
	Sum  string // with EndOfFile: the SHA-256 of all before it, in lower-case hexadecimal

	Name string // of a blob, where there is no text: its hash as the line has it
	Blob Blob   // where the source only checks, only its hash is known
}

// How the lines begin that a source must know.
const (
	BlobLine  = `{"blob":`
	EndOfFile = `{"end":`
)

// MaxBlobLine is how long the line of a blob may be.
const MaxBlobLine = (MaxBlob+2)/3*4 + 256

// lineLimit returns how long a line may be that begins so.
func lineLimit(line []byte) int {
	if bytes.HasPrefix(line, []byte(BlobLine)) {
		return MaxBlobLine
	}
	return MaxLine
}

// SourceOf returns the build file that r holds. Its blobs are among the lines: Read makes Bytes of them.
func SourceOf(r io.Reader) Source {
	return &source{bufio.NewReaderSize(r, pieceSize), sha256.New()}
}

type source struct {
	in  *bufio.Reader
	sum hash.Hash
}

func (s *source) Next() (Piece, error) {
	var p Piece
	for {
		part, err := s.in.ReadSlice('\n')
		p.Text = append(p.Text, part...)
		if err == bufio.ErrBufferFull && len(p.Text) <= lineLimit(p.Text)+1 {
			continue
		}
		if err != nil && err != bufio.ErrBufferFull && (err != io.EOF || len(p.Text) == 0) {
			return Piece{}, err
		}
		if bytes.HasPrefix(p.Text, []byte(EndOfFile)) {
			p.Sum = hex.EncodeToString(s.sum.Sum(nil))
		}
		s.sum.Write(p.Text)
		return p, nil
	}
}
