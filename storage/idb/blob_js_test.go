package idb

import (
	"bytes"
	"fmt"
	"syscall/js"
	"testing"

	"loomwright/storage"
)

// Every version of the app reads what every other kept: a Uint8Array under its hash.
func TestBlobsAreKeptAsBytes(t *testing.T) {
	_, open := fresh(t)
	s := open()
	want := []byte("a photo of an earlier version")
	hash := storage.BlobHash(want)
	err := s.write(background(t), "strict", []any{blobs}, func(t *tx) error {
		_, err := t.request(blobs, "put", toJS(want), hash)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	b, err := s.Blob(background(t), hash)
	if err != nil {
		t.Fatal(err)
	}
	array, err := arrayOf(background(t), b)
	if err != nil || !bytes.Equal(toGo(array, 0), want) {
		t.Errorf("read %q, %v", toGo(array, 0), err)
	}
	again, err := s.PutBlob(background(t), b)
	if err != nil || again != hash {
		t.Errorf("kept again as %s, %v", again, err)
	}
	err = s.read(background(t), []any{blobs}, func(tx *tx) error {
		v, err := tx.get(blobs, "get", hash)
		if err != nil {
			return err
		}
		if !v.InstanceOf(js.Global().Get("Uint8Array")) || !bytes.Equal(toGo(v, 0), want) {
			return fmt.Errorf("it is kept as %v", v)
		}
		return nil
	})
	if err != nil {
		t.Error(err)
	}
}

// A page without https has no hash of the browser's, and names a blob the same.
func TestHashWithoutTheBrowser(t *testing.T) {
	array := toJS([]byte("a photo"))
	with, err := hashOf(background(t), array)
	if err != nil || with != storage.BlobHash([]byte("a photo")) {
		t.Errorf("hash %s, %v", with, err)
	}
	object := js.Global().Get("Object")
	crypto := js.Global().Get("crypto")
	object.Call("defineProperty", crypto, "subtle", map[string]any{"value": js.Undefined(), "configurable": true})
	defer js.Global().Get("Reflect").Call("deleteProperty", crypto, "subtle")
	if crypto.Get("subtle").Truthy() {
		t.Fatal("the browser's hash is still there")
	}
	without, err := hashOf(background(t), array)
	if err != nil || without != with {
		t.Errorf("hash %s, %v, want %s", without, err, with)
	}
}
