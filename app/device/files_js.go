package device

import (
	"context"
	"fmt"
	"sync"
	"syscall/js"
	"time"
	"unicode/utf8"
)

type files struct{ chooser chooser }

func (fs *files) Save(ctx context.Context, f File) (Way, error) {
	if !(shell{}).Install().phone() || !method(navigator(), "canShare") || !method(navigator(), "share") {
		return Downloaded, fs.Download(f)
	}
	tries := []File{f}
	if utf8.Valid(f.Data) { // of a file outside, too, which is text
		as := f
		as.Name, as.Type = ShareName(f.Name), "text/plain"
		tries = append(tries, as)
	}
	for _, f := range tries {
		data := js.ValueOf(map[string]any{"files": []any{fileOf(f)}})
		if can, err := try(func() js.Value { return navigator().Call("canShare", data) }); err != nil || !can.Truthy() {
			continue
		}
		_, err := await(ctx, func() js.Value { return navigator().Call("share", data) })
		return Shared, explain(fmt.Sprintf("share %q", f.Name), err, map[string]error{
			"AbortError":      ErrCancelled,
			"NotAllowedError": ErrNeedsTap,
		})
	}
	return Downloaded, fs.Download(f)
}

func (*files) Download(f File) error {
	_, err := try(func() js.Value {
		url := js.Global().Get("URL").Call("createObjectURL", fileOf(f))
		// Not put on the page: a click there would reach the router of the framework.
		a := document().Call("createElement", "a")
		a.Set("href", url)
		a.Set("download", f.Name)
		a.Call("click")
		// Some browsers start to read only after a question to the person. A minute is our choice: the bytes stay in
		// memory so long.
		time.AfterFunc(time.Minute, func() {
			defer report("download")
			js.Global().Get("URL").Call("revokeObjectURL", url)
		})
		return js.Undefined()
	})
	return explain(fmt.Sprintf("download %q", f.Name), err, nil)
}

func fileOf(f File) js.Value {
	part, ok := f.outside.(js.Value)
	if !ok {
		part = bufferOf(f.Data)
	}
	return js.Global().Get("File").New([]any{part}, f.Name, map[string]any{"type": f.Type})
}

func (fs *files) Open(ctx context.Context, limit int64) (File, error) {
	// Without accept: phones grey out files whose kind they do not know.
	chosen, err := fs.chooser.choose(ctx, nil)
	if err != nil {
		return File{}, err
	}
	f := File{Name: chosen.Get("name").String(), Type: chosen.Get("type").String()}
	if size := int64(chosen.Get("size").Float()); size > limit {
		return File{}, &TooBigError{f.Name, size, limit}
	}
	buffer, err := await(ctx, func() js.Value { return chosen.Call("arrayBuffer") })
	if err != nil {
		return File{}, explain(fmt.Sprintf("open %q", f.Name), err, nil)
	}
	bytes := js.Global().Get("Uint8Array").New(buffer)
	f.Data = make([]byte, bytes.Length())
	js.CopyBytesToGo(f.Data, bytes)
	return f, nil
}

func (*files) Copy(ctx context.Context, text string) error {
	clipboard := navigator().Get("clipboard")
	if !method(clipboard, "writeText") {
		return fmt.Errorf("device: copy: %w", ErrUnavailable)
	}
	_, err := await(ctx, func() js.Value { return clipboard.Call("writeText", text) })
	return explain("copy", err, map[string]error{"NotAllowedError": ErrNeedsTap})
}

// chooser is the browser's file chooser, one at a time.
type chooser struct {
	mu  sync.Mutex
	end context.CancelFunc // ends the open one
}

// choose opens the chooser with the given attributes of its input and returns the File of the browser.
func (c *chooser) choose(ctx context.Context, attributes map[string]string) (js.Value, error) {
	ctx, end := context.WithCancel(ctx)
	defer end()
	c.mu.Lock()
	if c.end != nil {
		c.end()
	}
	c.end = end
	c.mu.Unlock()

	input := document().Call("createElement", "input")
	input.Set("type", "file")
	input.Set("hidden", true)
	for name, value := range attributes {
		input.Call("setAttribute", name, value)
	}
	document().Get("body").Call("append", input)
	defer input.Call("remove")
	done := make(chan struct{}, 2)
	tell := func(js.Value) { done <- struct{}{} }
	defer listen(input, "change", tell)()
	// Older browsers say nothing when the chooser is closed: then the next one, or ctx, ends this one.
	defer listen(input, "cancel", tell)()
	if _, err := try(func() js.Value { return input.Call("click") }); err != nil {
		return js.Undefined(), explain("choose a file", err, nil)
	}
	select {
	case <-done:
	case <-ctx.Done():
	}
	if input.Get("files").Length() == 0 {
		return js.Undefined(), fmt.Errorf("device: choose a file: %w", ErrCancelled)
	}
	return input.Get("files").Index(0), nil
}
