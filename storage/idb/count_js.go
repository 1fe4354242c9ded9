package idb

import (
	"context"
	"strings"
	"syscall/js"

	"loomwright/calc/harness"
	"loomwright/storage"
)

// The count is the number of edits saved in each build, kept in local storage beside the database. Its only use is to
// notice that the database is not what it was: a count can be behind the database, never ahead of it.

// notJSON stands before the text: the framework reads all of local storage at its start and takes JSON for its own.
const notJSON = "="

func countKey(name string) string { return name + ".saved" }

// readCount returns the count, or nothing where there is none that can be read.
func readCount(name string) map[string]int {
	v, err := try(func() js.Value { return js.Global().Get("localStorage").Call("getItem", countKey(name)) })
	var count map[string]int
	if err != nil || v.Type() != js.TypeString || harness.Decode([]byte(strings.TrimPrefix(v.String(), notJSON)), &count) != nil {
		return nil
	}
	return count
}

// writeCount keeps the count. Where local storage is refused or full there is none: the database does not need it.
func writeCount(name string, count map[string]int) {
	text, err := harness.Encode(count)
	if err != nil {
		return
	}
	_, _ = try(func() js.Value {
		local := js.Global().Get("localStorage")
		if len(count) == 0 {
			return local.Call("removeItem", countKey(name))
		}
		return local.Call("setItem", countKey(name), notJSON+string(text))
	})
}

// counted notes that a build was saved.
func (s *Store) counted(about storage.About) {
	s.mu.Lock()
	defer s.mu.Unlock()
	count := readCount(s.name)
	if count == nil || s.lost { // what was lost is known to be lost once something else is saved
		count = map[string]int{}
	}
	s.lost = false
	count[about.Build] = about.Edits
	writeCount(s.name, count)
}

// recount takes the database as it is, after the phone took a fresh device id. What is lost altogether stays counted,
// so that it is still told after a reload.
func (s *Store) recount(ctx context.Context) error {
	s.mu.Lock()
	older, lost := s.older, s.lost
	s.older = false
	s.mu.Unlock()
	if !older || lost {
		return nil
	}
	list, err := s.list(ctx)
	if err != nil {
		return err
	}
	count := map[string]int{}
	for _, about := range list {
		count[about.Build] = about.Edits
	}
	writeCount(s.name, count)
	return nil
}

// onVisible calls f whenever the page comes back into sight, for the life of the page.
func onVisible(f func()) {
	document := js.Global().Get("document")
	if !document.Truthy() {
		return
	}
	document.Call("addEventListener", "visibilitychange", js.FuncOf(func(js.Value, []js.Value) any {
		if document.Get("visibilityState").String() == "visible" {
			f()
		}
		return nil
	}))
}
