package device

import (
	"context"
	"fmt"
	"io"
	"syscall/js"

	"loomwright/storage"
)

// held is a photo of web/files.js: its bytes and their hash.
type held struct{ js.Value }

// Size implements storage.Blob.
func (h held) Size() int { return h.Array().Length() }

// Hash implements storage.Blob.
func (h held) Hash() string { return h.Get("hash").String() }

// Array returns the bytes.
func (h held) Array() js.Value { return h.Get("bytes") }

// arrayOf returns the bytes of a blob of the browser. Those of the store show theirs by the same method.
func arrayOf(b storage.Blob) js.Value { return b.(interface{ Array() js.Value }).Array() }

func (fs *files) Choose(ctx context.Context) (Chosen, error) {
	chosen, err := fs.chooser.choose(ctx, nil)
	if err != nil {
		return Chosen{}, err
	}
	return chosenOf(chosen.Get("name").String(), chosen), nil
}

func chosenOf(name string, file js.Value) Chosen {
	return Chosen{Name: name, Read: func(ctx context.Context, keep bool) storage.Source {
		return &source{ctx, name, loader("files").Call("read", file, keep)}
	}}
}

// source reads a build file; web/files.js finds its lines and keeps its photos.
type source struct {
	ctx  context.Context
	name string
	js   js.Value
}

// Next implements storage.Source.
func (s *source) Next() (storage.Piece, error) {
	v, err := await(s.ctx, func() js.Value { return s.js.Call("next") })
	switch {
	case err != nil:
		return storage.Piece{}, explain(fmt.Sprintf("open %q", s.name), err, nil)
	case v.IsNull():
		return storage.Piece{}, io.EOF
	}
	if text := v.Get("text"); text.Truthy() {
		p := storage.Piece{Text: make([]byte, text.Length()), Sum: v.Get("sum").String()}
		js.CopyBytesToGo(p.Text, text)
		return p, nil
	}
	return storage.Piece{Name: v.Get("name").String(), Blob: held{v}}, nil
}

// Own opens a build file that is a file of the app.
func (*files) Own(ctx context.Context, name string) (Chosen, error) {
	buffer, err := fetchBytes(ctx, root()+name)
	if err != nil {
		return Chosen{}, err
	}
	return chosenOf(name, js.Global().Get("Blob").New([]any{buffer})), nil
}

func (*files) Make() Making { return making{loader("files").Call("write")} }

// making is a build file that is being written, in web/files.js.
type making struct{ js.Value }

// Write implements storage.Sink.
func (m making) Write(data []byte) (int, error) {
	return len(data), m.call("text", js.Global().Get("Uint8Array").New(bufferOf(data)))
}

// Base64 implements storage.Sink.
func (m making) Base64(b storage.Blob) error { return m.call("photo", arrayOf(b)) }

func (m making) call(method string, array js.Value) error {
	_, err := try(func() js.Value { return m.Call(method, array) })
	return explain("make a file", err, nil)
}

// Sum implements storage.Sink.
func (m making) Sum() string { return m.Call("sum").String() }

func (m making) Done(name, kind string) File {
	return File{Name: name, Type: kind, outside: m.Call("blob")}
}
