package device

import (
	"context"
	"errors"
	"fmt"
	"sync"
	"syscall/js"
)

func window() js.Value    { return js.Global() }
func document() js.Value  { return js.Global().Get("document") }
func navigator() js.Value { return js.Global().Get("navigator") }

// refusal is an error of the browser, name being its kind: "NotAllowedError".
type refusal struct{ name, message string }

func (r *refusal) Error() string { return r.name + ": " + r.message }

func refusalOf(v js.Value) error {
	if v.Type() != js.TypeObject {
		return &refusal{"Error", v.String()}
	}
	return &refusal{v.Get("name").String(), v.Get("message").String()}
}

// explain gives err a place and, where the browser's name for it is in the table, its meaning to a page.
func explain(what string, err error, meaning map[string]error) error {
	if err == nil {
		return nil
	}
	if r, ok := errors.AsType[*refusal](err); ok {
		if m := meaning[r.name]; m != nil {
			return fmt.Errorf("device: %s: %w: %w", what, m, err)
		}
	}
	return fmt.Errorf("device: %s: %w", what, err)
}

// try returns what f returns, and what the browser throws in it as an error.
func try(f func() js.Value) (v js.Value, err error) {
	defer func() {
		switch e := recover().(type) {
		case nil:
		case js.Error:
			err = refusalOf(e.Value)
		case *js.ValueError:
			err = e
		default:
			panic(e)
		}
	}()
	return f(), nil
}

// method tells whether v is an object with a method of that name.
func method(v js.Value, name string) bool {
	return (v.Type() == js.TypeObject || v.Type() == js.TypeFunction) && v.Get(name).Type() == js.TypeFunction
}

// await calls f for a promise and waits for its answer, or for the end of ctx. It must not be called inside a callback
// of the browser. A value that is no promise is its own answer.
func await(ctx context.Context, f func() js.Value) (js.Value, error) {
	promise, err := try(f)
	if err != nil {
		return js.Undefined(), err
	}
	type answer struct {
		value js.Value
		err   error
	}
	// Room for one: the callback never waits, even when nobody listens any more.
	answers := make(chan answer, 1)
	var yes, no js.Func
	settle := func(a answer) any {
		answers <- a
		yes.Release()
		no.Release()
		return nil
	}
	yes = js.FuncOf(func(_ js.Value, args []js.Value) any { return settle(answer{value: first(args)}) })
	no = js.FuncOf(func(_ js.Value, args []js.Value) any { return settle(answer{err: refusalOf(first(args))}) })
	js.Global().Get("Promise").Call("resolve", promise).Call("then", yes, no)
	select {
	case a := <-answers:
		return a.value, a.err
	case <-ctx.Done():
		return js.Undefined(), ctx.Err()
	}
}

func first(args []js.Value) js.Value {
	if len(args) == 0 {
		return js.Undefined()
	}
	return args[0]
}

// listen calls f inside the browser's callback, where it must not wait, for each such event until stop.
func listen(target js.Value, event string, f func(js.Value)) (stop func()) {
	call := js.FuncOf(func(_ js.Value, args []js.Value) any {
		defer report(event)
		f(first(args))
		return nil
	})
	target.Call("addEventListener", event, call)
	return sync.OnceFunc(func() {
		target.Call("removeEventListener", event, call)
		call.Release()
	})
}

// subscribe calls f in a goroutine of its own for each of the events at which is holds, until stop.
func subscribe(target js.Value, events []string, is func() bool, f func()) (stop func()) {
	var stops []func()
	for _, event := range events {
		stops = append(stops, listen(target, event, func(js.Value) {
			if is() {
				background(event, f)
			}
		}))
	}
	return func() {
		for _, s := range stops {
			s()
		}
	}
}

// background runs f in a goroutine. A panic there would freeze the whole app without a word, so it is caught.
func background(what string, f func()) {
	go func() {
		defer report(what)
		f()
	}()
}

// report, deferred, writes a panic to the console and ends it.
func report(what string) {
	if p := recover(); p != nil {
		js.Global().Get("console").Call("error", fmt.Sprintf("device: %s: panic: %v", what, p))
	}
}

// root is the address of the app's folder, with its last slash.
func root() string {
	return js.Global().Get("URL").New(".", document().Get("baseURI")).Get("href").String()
}
