package device

import (
	"context"
	"fmt"
	"io"
	"syscall/js"

	"loomwright/storage"
)

// held is a Blob of the browser. Others that have one show it by the same method.
type held struct{ js.Value }

// Size implements storage.Blob.
func (h held) Size() int { return h.Get("size").Int() }

// JSValue returns the Blob.
func (h held) JSValue() js.Value { return h.Value }

// valueOf returns the Blob of the browser that b is.
func valueOf(b storage.Blob) js.Value { return b.(interface{ JSValue() js.Value }).JSValue() }

func (fs *files) Choose(ctx context.Context) (Chosen, error) {
	chosen, err := fs.chooser.choose(ctx, nil)
	if err != nil {
		return Chosen{}, err
	}
	name := chosen.Get("name").String()
	return Chosen{Name: name, Read: func(ctx context.Context, keep bool) storage.Source {
		return sourceOf(ctx, name, chosen, keep)
	}}, nil
}

func sourceOf(ctx context.Context, name string, file js.Value, keep bool) *source {
	return &source{ctx, name, loader("files").Call("read", file, keep)}
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
	return storage.Piece{Name: v.Get("name").String(), Hash: v.Get("hash").String(), Blob: held{v.Get("blob")}}, nil
}

func (*files) Make(ctx context.Context) Making { return making{ctx, loader("files").Call("write")} }

// making is a build file that is being written, in web/files.js.
type making struct {
	ctx context.Context
	js  js.Value
}

// Write implements storage.Sink.
func (m making) Write(data []byte) (int, error) {
	_, err := try(func() js.Value {
		array := js.Global().Get("Uint8Array").New(len(data))
		js.CopyBytesToJS(array, data)
		return m.js.Call("text", array)
	})
	return len(data), explain("make a file", err, nil)
}

// Base64 implements storage.Sink.
func (m making) Base64(b storage.Blob) error {
	_, err := await(m.ctx, func() js.Value { return m.js.Call("photo", valueOf(b)) })
	return explain("make a file", err, nil)
}

// Sum implements storage.Sink.
func (m making) Sum() string { return m.js.Call("sum").String() }

func (m making) Done(name, kind string) File {
	return File{Name: name, Type: kind, Outside: held{m.js.Call("blob")}}
}
