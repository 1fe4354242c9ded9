package idb

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"syscall/js"

	"loomwright/storage"
)

// domError is an error that the browser gave.
type domError struct{ name, message string }

func (e *domError) Error() string { return e.name + ": " + e.message }

func fromJS(v js.Value) error {
	if !v.Truthy() {
		return &domError{"AbortError", "the browser gave no reason"}
	}
	return &domError{v.Get("name").String(), v.Get("message").String()}
}

// named reports whether an error is the browser's of one of these names.
func named(err error, names ...string) bool {
	var e *domError
	return errors.As(err, &e) && slices.Contains(names, e.name)
}

// isLost reports whether an error may mean that the browser took the handle away.
func isLost(err error) bool {
	return named(err, "UnknownError", "InvalidStateError", "AbortError")
}

// translate gives an error of the browser the name that a caller decides by.
func translate(err error) error {
	switch {
	case err == nil:
		return nil
	case named(err, "QuotaExceededError"):
		return fmt.Errorf("%w: %w", storage.ErrNoSpace, err)
	default:
		return err
	}
}

// try calls f and returns what it throws as an error.
func try(f func() js.Value) (v js.Value, err error) {
	defer func() {
		switch r := recover().(type) {
		case nil:
		case js.Error:
			v, err = js.Null(), fromJS(r.Value)
		default:
			panic(r)
		}
	}()
	return f(), nil
}

// tx is a transaction. It lives as long as Go does nothing but wait for its own requests.
type tx struct {
	js  js.Value
	ctx context.Context
}

// run runs a transaction and returns nil when it has completed: for a readwrite of durability "strict", when its
// bytes are on the disk. If body returns an error the transaction is aborted and has changed nothing.
func run(ctx context.Context, db js.Value, stores []any, mode, durability string, body func(*tx) error) error {
	t, err := try(func() js.Value {
		return db.Call("transaction", stores, mode, map[string]any{"durability": durability})
	})
	if err != nil {
		return err
	}
	done := make(chan error, 1)
	complete := js.FuncOf(func(js.Value, []js.Value) any {
		done <- nil
		return nil
	})
	abort := js.FuncOf(func(js.Value, []js.Value) any {
		done <- fromJS(t.Get("error"))
		return nil
	})
	release := func() {
		t.Set("oncomplete", js.Null())
		t.Set("onabort", js.Null())
		complete.Release()
		abort.Release()
	}
	t.Set("oncomplete", complete)
	t.Set("onabort", abort)
	failed := body(&tx{t, ctx})
	if failed != nil {
		_, _ = try(func() js.Value { return t.Call("abort") })
	}
	select {
	case err = <-done:
		release()
	case <-ctx.Done():
		_, _ = try(func() js.Value { return t.Call("abort") })
		go func() { <-done; release() }()
		return ctx.Err()
	}
	if failed != nil && !named(failed, "AbortError") {
		return failed // the cause; the abort only followed
	}
	return err
}

// request starts a request on a store and does not wait for it: its failure fails the transaction.
func (t *tx) request(store, method string, args ...any) (js.Value, error) {
	return try(func() js.Value { return t.js.Call("objectStore", store).Call(method, args...) })
}

// get makes a request and waits for its result.
func (t *tx) get(store, method string, args ...any) (js.Value, error) {
	request, err := t.request(store, method, args...)
	if err != nil {
		return js.Null(), err
	}
	return awaitRequest(t.ctx, request, nil)
}

// awaitRequest waits for the result of a request. more are other events that it listens to meanwhile; what they call
// must not wait for anything.
func awaitRequest(ctx context.Context, request js.Value, more map[string]func()) (js.Value, error) {
	done := make(chan error, 1)
	handlers := map[string]js.Func{
		"onsuccess": js.FuncOf(func(js.Value, []js.Value) any {
			done <- nil
			return nil
		}),
		"onerror": js.FuncOf(func(js.Value, []js.Value) any {
			done <- fromJS(request.Get("error"))
			return nil
		}),
	}
	for event, f := range more {
		handlers[event] = js.FuncOf(func(js.Value, []js.Value) any {
			f()
			return nil
		})
	}
	for event, f := range handlers {
		request.Set(event, f)
	}
	release := func() {
		for event, f := range handlers {
			request.Set(event, js.Null())
			f.Release()
		}
	}
	select {
	case err := <-done:
		release()
		if err != nil {
			return js.Null(), err
		}
		return request.Get("result"), nil
	case <-ctx.Done():
		go func() { <-done; release() }()
		return js.Null(), ctx.Err()
	}
}

// keys returns the range of keys between two, without the ends. Go's nil has no place in a key.
func keys(lower, upper []any) js.Value {
	return js.Global().Get("IDBKeyRange").Call("bound", lower, upper, true, true)
}

// above sorts after every text and number in a key.
func above() any { return []any{} }
