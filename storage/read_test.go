package storage_test

import (
	"bytes"
	"testing"

	"loomwright/storage"
	"loomwright/storage/storagetest"
)

func read(_ *testing.T, file []byte) (*storage.Log, map[string][]byte, error) {
	blobs := map[string][]byte{}
	l, err := storage.Decode(bytes.NewReader(file), func(hash string, data []byte) error {
		blobs[hash] = data
		return nil
	})
	return l, blobs, err
}

func TestDecodeRefuses(t *testing.T) { storagetest.Refused(t, read) }

func TestDecodeTakesBlobs(t *testing.T) { storagetest.Taken(t, read) }
