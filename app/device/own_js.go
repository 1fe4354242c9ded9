package device

import (
	"context"
	"syscall/js"
)

func (shell) File(ctx context.Context, name string) ([]byte, error) {
	array, err := fetchBytes(ctx, root()+name)
	if err != nil {
		return nil, err
	}
	return bytesOf(array), nil
}

// Program reads the address that the loader got the program from, which changes with its bytes.
func (shell) Program() string {
	script, err := try(func() js.Value { return document().Call("querySelector", "script[data-wasm]") })
	if err != nil || !script.Truthy() {
		return ""
	}
	return script.Get("dataset").Get("wasm").String()
}
