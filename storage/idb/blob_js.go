package idb

import (
	"context"
	"encoding/hex"
	"fmt"
	"syscall/js"

	"loomwright/storage"
)

// A blob's bytes are kept as a Uint8Array, which every version of the app reads, and not as a Blob of the browser.

// held is a Blob of the browser. Others that have one show it by the same method.
type held struct{ js.Value }

// Size implements storage.Blob.
func (h held) Size() int { return h.Get("size").Int() }

// JSValue returns the Blob.
func (h held) JSValue() js.Value { return h.Value }

// PutBlob implements storage.Store. It takes Bytes, and what has a JSValue that is a Blob of the browser.
func (s *Store) PutBlob(ctx context.Context, b storage.Blob) (string, error) {
	array, err := arrayOf(ctx, b)
	if err != nil {
		return "", fmt.Errorf("storage: blob: %w", err)
	}
	hash, err := hashOf(ctx, array)
	if err != nil {
		return "", fmt.Errorf("storage: blob: %w", err)
	}
	return hash, s.write(ctx, "strict", []any{blobs}, func(t *tx) error {
		_, err := t.request(blobs, "put", array, hash)
		return err
	})
}

// arrayOf returns the bytes of a blob as a Uint8Array.
func arrayOf(ctx context.Context, b storage.Blob) (js.Value, error) {
	outside, ok := b.(interface{ JSValue() js.Value })
	if !ok {
		return toJS(b.(storage.Bytes)), nil
	}
	buffer, err := await(ctx, func() js.Value { return outside.JSValue().Call("arrayBuffer") })
	if err != nil {
		return js.Null(), err
	}
	return js.Global().Get("Uint8Array").New(buffer), nil
}

// hashOf returns the SHA-256 of bytes. A page without https has no means of the browser for it.
func hashOf(ctx context.Context, array js.Value) (string, error) {
	subtle := js.Global().Get("crypto").Get("subtle")
	if !subtle.Truthy() {
		return storage.BlobHash(toGo(array, 0)), nil
	}
	sum, err := await(ctx, func() js.Value { return subtle.Call("digest", "SHA-256", array) })
	if err != nil {
		return "", err
	}
	return hex.EncodeToString(toGo(js.Global().Get("Uint8Array").New(sum), 0)), nil
}

// Blob implements storage.Store. What it returns has a JSValue, a Blob of the browser.
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
		b = held{js.Global().Get("Blob").New([]any{v})}
		return nil
	})
	return b, err
}
