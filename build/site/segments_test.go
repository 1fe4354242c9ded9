package site

import (
	"bytes"
	"encoding/binary"
	"math/rand/v2"
	"testing"
)

// wasmOf is a program with one section before its data and one behind.
func wasmOf(data []byte) []byte {
	section := func(id byte, body []byte) []byte {
		return append(binary.AppendUvarint([]byte{id}, uint64(len(body))), body...)
	}
	out := append([]byte("\x00asm\x01\x00\x00\x00"), section(5, []byte{1, 0, 16})...)
	return append(append(out, section(dataSection, data)...), section(0, []byte("\x04name"))...)
}

func dataOf(segments []segment) []byte {
	out := binary.AppendUvarint(nil, uint64(len(segments)))
	for _, s := range segments {
		out = appendSigned(append(out, activeSegment, constant), s.offset)
		out = append(binary.AppendUvarint(append(out, endOfInit), uint64(len(s.data))), s.data...)
	}
	return out
}

// memory is what a program finds at its start.
func memory(t *testing.T, program []byte) (image []byte, pieces int) {
	t.Helper()
	for at := wasmHead; at < len(program); {
		size, n := binary.Uvarint(program[at+1:])
		body := program[at+1+n:][:size]
		if program[at] == dataSection {
			segments, err := readSegments(body)
			if err != nil {
				t.Fatal(err)
			}
			for _, s := range segments {
				if end := s.offset + len(s.data); end > len(image) {
					image = append(image, make([]byte, end-len(image))...)
				}
				copy(image[s.offset:], s.data)
			}
			pieces = len(segments)
		}
		at += 1 + n + int(size)
	}
	return image, pieces
}

func TestJoinedKeepsTheMemory(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 3))
	for range 50 {
		var segments []segment
		at := random.IntN(100_000)
		for range random.IntN(300) {
			data := make([]byte, random.IntN(200))
			for i := range data {
				data[i] = byte(1 + random.IntN(255))
			}
			segments = append(segments, segment{at, data})
			at += len(data) + random.IntN(3*widest)
		}
		// The linker does not write them in their order.
		random.Shuffle(len(segments), func(i, j int) { segments[i], segments[j] = segments[j], segments[i] })
		before := wasmOf(dataOf(segments))
		after, err := joined(before)
		if err != nil {
			t.Fatal(err)
		}
		want, _ := memory(t, before)
		got, pieces := memory(t, after)
		if !bytes.Equal(got, bytes.TrimRight(want, "\x00")) || pieces > len(segments) {
			t.Fatalf("%d pieces became %d, %d bytes of memory became %d", len(segments), pieces, len(want), len(got))
		}
		if !bytes.HasPrefix(after, before[:wasmHead+5]) || !bytes.HasSuffix(after, []byte("\x04name")) {
			t.Fatal("another section changed")
		}
	}
	some := []segment{{0, []byte{1}}, {widest + 1, []byte{2}}, {2*widest + 3, []byte{3}}, {1 << 27, []byte{4}}}
	after, err := joined(wasmOf(dataOf(some)))
	if _, pieces := memory(t, after); err != nil || pieces != 3 {
		t.Errorf("gaps of %d, %d and many zeros: %d pieces, %v; want the first two as one", widest, widest+1, pieces, err)
	}
}

func TestJoinedRefuses(t *testing.T) {
	good := dataOf([]segment{{8, []byte("abc")}, {400, []byte("def")}})
	for name, program := range map[string][]byte{
		"cut off":           wasmOf(good)[:20],
		"passive segment":   wasmOf([]byte{1, 1, 3, 'a', 'b', 'c'}),
		"computed address":  wasmOf([]byte{1, 0, 0x23, 0, endOfInit, 1, 'a'}),
		"longer expression": wasmOf([]byte{1, 0, constant, 8, 0x6a, endOfInit, 1, 'a'}),
		"short segment":     wasmOf([]byte{1, 0, constant, 8, endOfInit, 9, 'a'}),
		"more behind":       wasmOf(append(append([]byte(nil), good...), 0)),
		"overlapping":       wasmOf(dataOf([]segment{{8, []byte("abc")}, {10, []byte("def")}})),
		"counted":           append(wasmOf(good), countSection, 1, 2),
	} {
		if out, err := joined(program); err == nil {
			t.Errorf("%s: %d bytes were taken", name, len(out))
		}
	}
}

func TestSignedNumbers(t *testing.T) {
	for _, v := range []int{0, 1, -1, 63, 64, -64, -65, 127, 128, 1 << 20, 1<<31 - 1, -1 << 31} {
		b := appendSigned(nil, v)
		r := bytesReader{data: b}
		if got := r.signed(); got != v || r.err != nil || r.at != len(b) {
			t.Errorf("%d became % x, then %d, %v", v, b, got, r.err)
		}
	}
}
