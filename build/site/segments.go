package site

import (
	"encoding/binary"
	"errors"
	"fmt"
	"slices"
)

// widest is the longest stretch of zeros that is written out.
//
// Source: our choice; measured on the app, shorter and longer ones weigh more.
const widest = 1 << 10

// The parts of a wasm file that are read here. Source: WebAssembly core specification 2.0, 5.5 (binary format, modules).
const (
	wasmHead      = 8 // bytes of magic and version
	dataSection   = 11
	countSection  = 12
	activeSegment = 0
	constant      = 0x41 // i32.const
	endOfInit     = 0x0b
)

// joined returns the same program with its memory written in few pieces. The linker leaves out every short run of zeros and
// so writes 100 000 pieces, whose addresses no compression finds a pattern in: it is 113 KB heavier that way. What the
// memory holds at the start is the same.
func joined(program []byte) ([]byte, error) {
	out := append([]byte(nil), program[:min(len(program), wasmHead)]...)
	for at := wasmHead; at < len(program); {
		r := bytesReader{data: program, at: at + 1}
		size := r.unsigned()
		body := r.take(size)
		if r.err != nil {
			return nil, fmt.Errorf("site: wasm: section at byte %d: %w", at, r.err)
		}
		switch program[at] {
		case countSection:
			return nil, errors.New("site: wasm: it counts its segments, which no version of the linker did before")
		case dataSection:
			data, err := joinedData(body)
			if err != nil {
				return nil, fmt.Errorf("site: wasm: data: %w", err)
			}
			out = append(out, dataSection)
			out = binary.AppendUvarint(out, uint64(len(data)))
			out = append(out, data...)
		default:
			out = append(out, program[at:r.at]...)
		}
		at = r.at
	}
	return out, nil
}

// segment is a piece of memory.
type segment struct {
	offset int
	data   []byte
}

func joinedData(section []byte) ([]byte, error) {
	segments, err := readSegments(section)
	if err != nil {
		return nil, err
	}
	segments = slices.DeleteFunc(segments, func(s segment) bool { return len(s.data) == 0 })
	slices.SortFunc(segments, func(a, b segment) int { return a.offset - b.offset })
	var all []segment
	for _, s := range segments {
		if n := len(all); n > 0 {
			last := &all[n-1]
			gap := s.offset - last.offset - len(last.data)
			if gap < 0 {
				return nil, errors.New("pieces that overlap")
			}
			if gap <= widest {
				last.data = append(append(last.data, make([]byte, gap)...), s.data...)
				continue
			}
		}
		all = append(all, segment{s.offset, append([]byte(nil), s.data...)})
	}
	out := binary.AppendUvarint(nil, uint64(len(all)))
	for _, s := range all {
		out = append(out, activeSegment, constant)
		out = appendSigned(out, s.offset)
		out = append(out, endOfInit)
		out = binary.AppendUvarint(out, uint64(len(s.data)))
		out = append(out, s.data...)
	}
	return out, nil
}

// readSegments reads the data section: pieces at addresses that are constants, of the one memory.
func readSegments(section []byte) ([]segment, error) {
	r := bytesReader{data: section}
	var out []segment
	for n := r.unsigned(); n > 0 && r.err == nil; n-- {
		if kind, op := r.unsigned(), r.take(1); r.err == nil && (kind != activeSegment || op[0] != constant) {
			return nil, errors.New("a piece that is not at a constant address")
		}
		s := segment{offset: r.signed()}
		if end := r.take(1); r.err == nil && end[0] != endOfInit {
			return nil, errors.New("an address that is computed")
		}
		s.data = r.take(r.unsigned())
		out = append(out, s)
	}
	if r.err == nil && r.at != len(section) {
		return nil, errors.New("more than its pieces")
	}
	return out, r.err
}

// bytesReader reads bytes and numbers in LEB128, and keeps the first error.
type bytesReader struct {
	data []byte
	at   int
	err  error
}

var errShort = errors.New("it ends too early")

func (r *bytesReader) take(n int) []byte {
	if r.err != nil || n < 0 || n > len(r.data)-r.at {
		r.err = errShort
		return nil
	}
	r.at += n
	return r.data[r.at-n : r.at]
}

func (r *bytesReader) unsigned() int {
	if r.err != nil {
		return 0
	}
	v, n := binary.Uvarint(r.data[r.at:])
	if n <= 0 || v > 1<<32 {
		r.err = errShort
		return 0
	}
	r.at += n
	return int(v)
}

func (r *bytesReader) signed() int {
	v := 0
	for shift := 0; ; shift += 7 {
		b := r.take(1)
		if r.err != nil || shift > 28 {
			r.err = errShort
			return 0
		}
		v |= int(b[0]&0x7f) << shift
		if b[0]&0x80 == 0 {
			if b[0]&0x40 != 0 {
				v |= -1 << (shift + 7)
			}
			return v
		}
	}
}

// appendSigned appends a number in signed LEB128.
func appendSigned(b []byte, v int) []byte {
	for {
		low := byte(v & 0x7f)
		v >>= 7
		if v == 0 && low&0x40 == 0 || v == -1 && low&0x40 != 0 {
			return append(b, low)
		}
		b = append(b, low|0x80)
	}
}
