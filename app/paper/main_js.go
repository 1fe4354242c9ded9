//go:build js && wasm

package main

import (
	"syscall/js"

	"loomwright/app/sheet"
)

// The worker's script has put the order into "order" and takes what is posted: {page, pages} before each page, at last
// {pdf} or {code, error}.
func main() {
	asked := js.Global().Get("order")
	font := sheet.Font{Regular: bytesOf(asked.Get("regular")), Bold: bytesOf(asked.Get("bold"))}
	pdf, err := fill([]byte(asked.Get("order").String()), bytesOf(asked.Get("build")), font, func(page, pages int) {
		post(map[string]any{"page": page, "pages": pages})
	})
	if err != nil {
		post(map[string]any{"code": sheet.Code(err), "error": err.Error()})
		return
	}
	out := js.Global().Get("Uint8Array").New(len(pdf))
	js.CopyBytesToJS(out, pdf)
	post(map[string]any{"pdf": out.Get("buffer")}, out.Get("buffer"))
}

// post sends a message to the page and gives buffers away with it.
func post(message map[string]any, buffers ...any) {
	js.Global().Call("postMessage", message, buffers)
}

// bytesOf copies an ArrayBuffer.
func bytesOf(buffer js.Value) []byte {
	array := js.Global().Get("Uint8Array").New(buffer)
	data := make([]byte, array.Length())
	js.CopyBytesToGo(data, array)
	return data
}
