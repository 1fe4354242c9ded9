package device

import (
	"context"
	"errors"
	"fmt"
	"syscall/js"
	"time"
)

// The packaged code reader, in the folder of the app. Both are loaded at the first scan.
const (
	readerScript = "web/reader/reader.js"
	readerBinary = "web/reader/reader.wasm"
)

// picture is pixels on a canvas that nobody sees.
type picture struct {
	canvas, draw js.Value
	budget       int // milliseconds that the packaged reader may take; 0: as many as it needs
}

func newPicture() picture {
	canvas := document().Call("createElement", "canvas")
	return picture{canvas: canvas, draw: canvas.Call("getContext", "2d", map[string]any{"willReadFrequently": true, "alpha": false})}
}

// show draws the part of source at x, y, of size w, h, onto a picture of size toW, toH.
func (p picture) show(source js.Value, x, y, w, h, toW, toH int) {
	if p.canvas.Get("width").Int() != toW || p.canvas.Get("height").Int() != toH {
		p.canvas.Set("width", toW)
		p.canvas.Set("height", toH)
	}
	p.draw.Call("drawImage", source, x, y, w, h, 0, 0, toW, toH)
}

// decoder finds the QR codes in a picture; none is no error.
type decoder interface {
	decode(ctx context.Context, p picture) ([]string, error)
}

// detector is the browser's own reader.
type detector struct{ js.Value }

// newDetector returns false if the browser has none or it does not read QR codes.
func newDetector(ctx context.Context) (detector, bool) {
	kind := window().Get("BarcodeDetector")
	if !method(kind, "getSupportedFormats") {
		return detector{}, false
	}
	formats, err := await(ctx, func() js.Value { return kind.Call("getSupportedFormats") })
	if err != nil || !method(formats, "includes") || !formats.Call("includes", "qr_code").Truthy() {
		return detector{}, false
	}
	d, err := try(func() js.Value { return kind.New(map[string]any{"formats": []any{"qr_code"}}) })
	return detector{d}, err == nil
}

func (d detector) decode(ctx context.Context, p picture) ([]string, error) {
	codes, err := await(ctx, func() js.Value { return d.Call("detect", p.canvas) })
	if err != nil {
		return nil, explain("detect", err, nil)
	}
	var texts []string
	for i := range codes.Length() {
		texts = append(texts, codes.Index(i).Get("rawValue").String())
	}
	return texts, nil
}

// reader is the packaged code reader in its worker. The worker cannot load anything: it is given the bytes of its wasm.
type reader struct {
	turn    chan struct{} // holds one token: one picture at a time
	worker  js.Value      // undefined until started, and after a failure
	answers chan js.Value // messages of the worker
	stop    func()        // ends the subscriptions to it
	id      int           // of the last picture
}

func newReader() *reader {
	r := &reader{turn: make(chan struct{}, 1)}
	r.turn <- struct{}{}
	return r
}

// take waits for the turn; give ends it.
func (r *reader) take(ctx context.Context) error {
	select {
	case <-r.turn:
		return nil
	case <-ctx.Done():
		return ctx.Err()
	}
}

func (r *reader) give() { r.turn <- struct{}{} }

// load starts the worker if it does not run. Errors wrap ErrNoReader, except the end of ctx.
func (r *reader) load(ctx context.Context) error {
	if err := r.take(ctx); err != nil {
		return err
	}
	defer r.give()
	return r.start(ctx)
}

func (r *reader) start(ctx context.Context) error {
	if r.worker.Truthy() {
		return nil
	}
	bytes, err := fetchBytes(ctx, root()+readerBinary)
	if err != nil {
		return noReader(ctx, err)
	}
	worker, err := try(func() js.Value { return js.Global().Get("Worker").New(root() + readerScript) })
	if err != nil {
		return noReader(ctx, err)
	}
	answers := make(chan js.Value, 8) // far more than are ever under way; a full one drops
	put := func(v js.Value) {
		select {
		case answers <- v:
		default:
		}
	}
	endMessages := listen(worker, "message", func(e js.Value) { put(e.Get("data")) })
	endErrors := listen(worker, "error", func(e js.Value) {
		e.Call("preventDefault")
		put(js.ValueOf(map[string]any{"error": "the worker failed"}))
	})
	r.worker, r.answers = worker, answers
	r.stop = func() { endMessages(); endErrors() }
	_, err = r.ask(ctx, map[string]any{"wasm": bytes}, bytes)
	if err != nil {
		r.drop()
		return noReader(ctx, err)
	}
	return nil
}

// drop ends the worker; the next picture starts a new one.
func (r *reader) drop() {
	r.stop()
	r.worker.Call("terminate")
	r.worker = js.Undefined()
}

func noReader(ctx context.Context, err error) error {
	if ctx.Err() != nil {
		return ctx.Err()
	}
	return fmt.Errorf("device: code reader: %w: %w", ErrNoReader, err)
}

// ask posts a message, gives the buffer away with it, and waits for the answer of the same id.
func (r *reader) ask(ctx context.Context, message map[string]any, buffer js.Value) (js.Value, error) {
	// The longest wait for a slow phone with a big photo. Source: our choice, far above the 30 ms measured for a camera
	// picture and the 0.2 s for the largest photo.
	ctx, end := context.WithTimeoutCause(ctx, 20*time.Second, errors.New("no answer for 20 s"))
	defer end()
	r.worker.Call("postMessage", message, []any{buffer})
	for {
		select {
		case a := <-r.answers:
			if e := a.Get("error"); e.Type() == js.TypeString {
				return a, errors.New(e.String())
			}
			if id := a.Get("id"); id.Type() == js.TypeNumber && id.Int() != r.id {
				continue // of a picture that was given up
			}
			return a, nil
		case <-ctx.Done():
			return js.Undefined(), context.Cause(ctx)
		}
	}
}

func (r *reader) decode(ctx context.Context, p picture) ([]string, error) {
	if err := r.take(ctx); err != nil {
		return nil, err
	}
	defer r.give()
	if err := r.start(ctx); err != nil {
		return nil, err
	}
	w, h := p.canvas.Get("width").Int(), p.canvas.Get("height").Int()
	pixels, err := try(func() js.Value { return p.draw.Call("getImageData", 0, 0, w, h).Get("data").Get("buffer") })
	if err != nil {
		return nil, explain("picture", err, nil)
	}
	r.id++
	answer, err := r.ask(ctx, map[string]any{"id": r.id, "width": w, "height": h, "data": pixels, "budget": p.budget}, pixels)
	if err != nil {
		if ctx.Err() == nil {
			r.drop()
		}
		return nil, noReader(ctx, err)
	}
	found := answer.Get("texts")
	var texts []string
	for i := range found.Length() {
		texts = append(texts, found.Index(i).String())
	}
	return texts, nil
}

// fetchBytes loads a file of the app as an ArrayBuffer.
func fetchBytes(ctx context.Context, url string) (js.Value, error) {
	response, err := await(ctx, func() js.Value { return window().Call("fetch", url) })
	if err != nil {
		return js.Undefined(), err
	}
	if !response.Get("ok").Bool() {
		return js.Undefined(), fmt.Errorf("%s: status %d", url, response.Get("status").Int())
	}
	return await(ctx, func() js.Value { return response.Call("arrayBuffer") })
}

// bytesOf copies an ArrayBuffer into Go.
func bytesOf(buffer js.Value) []byte {
	array := js.Global().Get("Uint8Array").New(buffer)
	data := make([]byte, array.Length())
	js.CopyBytesToGo(data, array)
	return data
}

// bufferOf copies bytes into an ArrayBuffer.
func bufferOf(data []byte) js.Value {
	array := js.Global().Get("Uint8Array").New(len(data))
	js.CopyBytesToJS(array, data)
	return array.Get("buffer")
}
