package idb

import (
	"context"
	"fmt"
	"syscall/js"

	"loomwright/storage"
)

// held is a blob that is a Uint8Array of the browser. Others that have one show it by the same method.
type held struct {
	array js.Value
	hash  string
}

// Size implements storage.Blob.
func (h held) Size() int { return h.array.Length() }

// Hash implements storage.Blob.
func (h held) Hash() string { return h.hash }

// Array returns the bytes.
func (h held) Array() js.Value { return h.array }

// PutBlob implements storage.Store. It takes Bytes, and what has an Array of the browser.
func (s *Store) PutBlob(ctx context.Context, b storage.Blob) (string, error) {
	hash := b.Hash()
	var array js.Value
	if outside, ok := b.(interface{ Array() js.Value }); ok {
		array = outside.Array()
	} else {
		array = toJS(b.(storage.Bytes))
	}
	err := s.write(ctx, "strict", []any{blobs}, func(t *tx) error {
		_, err := t.request(blobs, "put", array, hash)
		return err
	})
	if err == nil {
		letGo(array)
	}
	return hash, err
}

// letGo empties an array. Go knows of it until its next collection, and the browser would keep its bytes as long; one that
// cannot empty it does.
func letGo(array js.Value) {
	_, _ = try(func() js.Value { return array.Get("buffer").Call("transfer", 0) })
}

// Blob implements storage.Store. What it returns has an Array of the browser.
func (s *Store) Blob(ctx context.Context, hash string) (b storage.Blob, err error) {
	if err := s.opened(ctx); err != nil {
		return nil, err
	}
	err = s.read(ctx, []any{blobs}, func(t *tx) error {
		v, err := t.get(blobs, "get", hash)
		if err != nil {
			return err
		}
		if v.IsUndefined() {
			return fmt.Errorf("storage: blob %q: %w", hash, storage.ErrMissing)
		}
		b = held{v, hash}
		return nil
	})
	return b, err
}
