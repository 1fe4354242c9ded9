package device

import (
	"context"
	"fmt"
	"syscall/js"
)

// The program that makes PDF, in the folder of the app.
const (
	paperScript = "web/paper.js"
	paperBinary = "paper.wasm"
)

// paper makes each file in a new worker. The worker cannot load anything: it is given the bytes of the program and the
// fonts.
type paper struct{}

func (paper) PDF(ctx context.Context, o Order, told func(page, pages int)) ([]byte, error) {
	files := map[string]js.Value{"wasm": {}, "regular": {}, "bold": {}}
	for part, name := range map[string]string{"wasm": paperBinary, "regular": o.Regular, "bold": o.Bold} {
		file, err := fetchBytes(ctx, root()+name)
		if err != nil {
			return nil, noPaper(ctx, err)
		}
		files[part] = file
	}
	worker, err := try(func() js.Value { return js.Global().Get("Worker").New(root() + paperScript) })
	if err != nil {
		return nil, noPaper(ctx, err)
	}
	defer worker.Call("terminate")

	// Pages may come faster than they are told: only the newest counts. The end comes once.
	pages, ends := make(chan js.Value, 1), make(chan js.Value, 1)
	defer listen(worker, "message", func(e js.Value) {
		message := e.Get("data")
		if message.Get("page").Type() != js.TypeNumber {
			put(ends, message)
			return
		}
		select {
		case <-pages:
		default:
		}
		put(pages, message)
	})()
	defer listen(worker, "error", func(e js.Value) {
		e.Call("preventDefault")
		put(ends, js.ValueOf(map[string]any{"code": "stopped", "error": "the worker failed: " + e.Get("message").String()}))
	})()

	build := bufferOf(o.Build)
	worker.Call("postMessage", map[string]any{
		"wasm": files["wasm"], "order": o.What, "build": build, "regular": files["regular"], "bold": files["bold"],
	}, []any{files["wasm"], build, files["regular"], files["bold"]})
	for {
		select {
		case p := <-pages:
			told(p.Get("page").Int(), p.Get("pages").Int())
		case end := <-ends:
			if pdf := end.Get("pdf"); pdf.Truthy() {
				return bytesOf(pdf), nil
			}
			return nil, &PaperError{Code: end.Get("code").String(), Text: end.Get("error").String()}
		case <-ctx.Done():
			return nil, ctx.Err()
		}
	}
}

// put leaves a message for who listens, unless one is there already.
func put(to chan<- js.Value, message js.Value) {
	select {
	case to <- message:
	default:
	}
}

func noPaper(ctx context.Context, err error) error {
	if ctx.Err() != nil {
		return ctx.Err()
	}
	return fmt.Errorf("device: PDF: %w: %w", ErrNoPaper, err)
}
