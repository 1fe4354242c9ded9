package device

import (
	"bytes"
	"context"
	"fmt"
	"math/rand/v2"
	"syscall/js"
	"testing"
	"time"

	"loomwright/calc/harness"
	"loomwright/storage"
	"loomwright/storage/storagetest"
)

func patient(t *testing.T) context.Context {
	ctx, cancel := context.WithTimeout(context.Background(), 20*time.Second)
	t.Cleanup(cancel)
	return ctx
}

func fileWith(data []byte) js.Value { return js.Global().Get("Blob").New([]any{bufferOf(data)}) }

func inside(t *testing.T, blob js.Value) []byte {
	t.Helper()
	buffer, err := await(patient(t), func() js.Value { return blob.Call("arrayBuffer") })
	if err != nil {
		t.Fatal(err)
	}
	return bytesOf(buffer)
}

func read(t *testing.T, file []byte) (*storage.Log, map[string][]byte, error) {
	blobs := map[string][]byte{}
	l, err := storage.Read(chosenOf("x", fileWith(file)).Read(patient(t), true), func(hash string, b storage.Blob) error {
		if data, ok := b.(storage.Bytes); ok {
			blobs[hash] = data
			return nil
		}
		blobs[hash] = bytesOf(arrayOf(b))
		return nil
	})
	return l, blobs, err
}

// What the browser reads is refused and taken as what Go reads.
func TestSourceRefuses(t *testing.T) { storagetest.Refused(t, read) }

func TestSourceTakesBlobs(t *testing.T) { storagetest.Taken(t, read) }

// A source that only checks keeps nothing, and answers the same.
func TestSourceThatOnlyChecks(t *testing.T) {
	storagetest.Refused(t, func(t *testing.T, file []byte) (*storage.Log, map[string][]byte, error) {
		l, err := storage.Read(chosenOf("x", fileWith(file)).Read(patient(t), false), func(_ string, b storage.Blob) error {
			if h, ok := b.(held); ok && h.Array().Truthy() {
				t.Error("a blob was kept")
			}
			return nil
		})
		return l, nil, err
	})
}

// What the browser makes is byte for byte what Go makes, and is read again.
func TestMakingGivesTheSameBytes(t *testing.T) {
	const seed = 7
	random := rand.New(rand.NewPCG(seed, 1))
	l := storage.New("b1")
	blobs := map[string][]byte{}
	var changes []storage.Change
	for i, size := range []int{0, 1, 2, 3, 1000, 3<<16 - 1, 3 << 16, 3<<16 + 1, 500_001} {
		data := make([]byte, size)
		for j := range data {
			data[j] = byte(random.Uint32())
		}
		hash := storage.BlobHash(data)
		blobs[hash] = data
		changes = append(changes, storage.Put(harness.KindPhoto, fmt.Sprint("photo", i), harness.Photo{}, harness.Photo{Blob: hash}))
	}
	for i := range 3000 { // more than one piece of text
		changes = append(changes, storage.Put(harness.KindPlace, fmt.Sprint("place", i), harness.Place{}, harness.Place{Name: fmt.Sprint("Geber 温度 ", i)}))
	}
	for len(changes) > 0 {
		n := min(len(changes), 100)
		if _, err := l.Commit("phone", "2026-03-01T12:00:00Z", changes[:n]); err != nil {
			t.Fatal(err)
		}
		changes = changes[n:]
	}
	var want bytes.Buffer
	if err := storage.Encode(&want, l, func(hash string) ([]byte, error) { return blobs[hash], nil }); err != nil {
		t.Fatal(err)
	}
	out, err := l.Outgoing()
	if err != nil {
		t.Fatal(err)
	}
	made := (&files{}).Make()
	var given []held
	if err := out.Write(made, func(hash string) (storage.Blob, error) {
		array := js.Global().Get("Uint8Array").New(bufferOf(blobs[hash]))
		given = append(given, held{js.ValueOf(map[string]any{"bytes": array, "hash": hash})})
		return given[len(given)-1], nil
	}); err != nil {
		t.Fatal(err)
	}
	f := made.Done("x.build", "application/octet-stream")
	for _, b := range given {
		if b.Size() != 0 {
			t.Errorf("a photo of %d bytes is still held", b.Size())
		}
	}
	got := inside(t, fileOf(f))
	if f.Data != nil || !bytes.Equal(got, want.Bytes()) {
		t.Fatalf("%d bytes in Go, %d in the browser, want %d like those of Go", len(f.Data), len(got), want.Len())
	}
	again, kept, err := read(t, got)
	if err != nil || again.Len() != l.Len() || len(kept) != len(blobs) {
		t.Fatalf("read again: %v, %d blobs, %v", again, len(kept), err)
	}
	for hash, data := range blobs {
		if !bytes.Equal(kept[hash], data) {
			t.Errorf("a blob of %d bytes came back as %d", len(data), len(kept[hash]))
		}
	}
}
