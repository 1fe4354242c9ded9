package idb

import (
	"syscall/js"

	"loomwright/storage"
)

// ahead is what the page's loader read from the database while the program was still being fetched, in the form in which
// list, Meta and Load read it. With it a start waits for nothing. Each part is given once, and none after this tab or another
// one has written.
type ahead struct {
	parts js.Value        // null where there are none; guarded by Store.mu, as builds is
	list  []storage.About // read by start, for the first Builds
}

// takeAhead takes over what the loader read of the database of this name, its handle with it. It is null where the loader
// is not done, or knows that another tab has written meanwhile.
func takeAhead(name string) js.Value {
	page := js.Global().Get("loomwright")
	if !page.Truthy() || page.Get("readAhead").Type() != js.TypeFunction {
		return js.Null()
	}
	parts := page.Call("readAhead", name)
	if !parts.Truthy() {
		return js.Null()
	}
	return parts
}

// first returns a part of what was read ahead, the first time it is asked for.
func (s *Store) first(part string) (v js.Value, ok bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.ahead.parts.IsNull() {
		return js.Null(), false
	}
	v = s.ahead.parts.Get(part)
	s.ahead.parts.Delete(part)
	return v, !v.IsUndefined()
}

// written forgets what was read ahead: it may not be the newest any more.
func (s *Store) written() {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.ahead = ahead{parts: js.Null()}
}
