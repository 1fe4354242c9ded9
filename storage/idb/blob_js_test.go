package idb

import (
	"bytes"
	"errors"
	"testing"

	"loomwright/storage"
)

// A blob that is kept is let go of, and one that could not be kept is not.
func TestBlobsAreLetGo(t *testing.T) {
	_, open := fresh(t)
	s := open()
	data := []byte("a photo")
	b := held{toJS(data), storage.BlobHash(data)}
	fail(t, "IDBObjectStore", "put", "QuotaExceededError", 1)
	if _, err := s.PutBlob(background(t), b); !errors.Is(err, storage.ErrNoSpace) || b.Size() != len(data) {
		t.Fatalf("on a full device: %v, and %d bytes are left", err, b.Size())
	}
	if _, err := s.PutBlob(background(t), b); err != nil || b.Size() != 0 {
		t.Errorf("kept: %v, and %d bytes are still held", err, b.Size())
	}
	back, err := s.Blob(background(t), b.hash)
	if err != nil || !bytes.Equal(toGo(back.(held).array, 0), data) {
		t.Errorf("read back: %v, %v", back, err)
	}
}
