package idb

import (
	"context"
	"slices"
	"strconv"
	"strings"
	"syscall/js"

	"loomwright/storage"
)

// The count is the number of edits saved in each build, kept in local storage beside the database. Its only use is to
// notice that the database is not what it was: a count can be behind the database, never ahead of it. It is a
// quote and words, BUILD=EDITS: the framework reads all of local storage at its start and takes JSON for its own.

func countKey(name string) string { return name + ".saved" }

// readCount returns the count, or nothing where there is none that can be read.
func readCount(name string) map[string]int {
	v, err := try(func() js.Value { return js.Global().Get("localStorage").Call("getItem", countKey(name)) })
	if err != nil {
		return nil
	}
	return parseCount(v)
}

// parseCount reads the words of a count.
func parseCount(v js.Value) map[string]int {
	if v.Type() != js.TypeString {
		return nil
	}
	count := map[string]int{}
	for entry := range strings.FieldsSeq(strings.TrimPrefix(v.String(), "'")) {
		build, number, _ := strings.Cut(entry, "=")
		n, err := strconv.Atoi(number)
		if err != nil {
			return nil
		}
		count[build] = n
	}
	return count
}

// writeCount keeps the count. Where local storage is refused or full there is none: the database does not need it.
func writeCount(name string, count map[string]int) {
	var entries []string
	for build, n := range count {
		entries = append(entries, build+"="+strconv.Itoa(n))
	}
	slices.Sort(entries)
	_, _ = try(func() js.Value {
		local := js.Global().Get("localStorage")
		if len(count) == 0 {
			return local.Call("removeItem", countKey(name))
		}
		return local.Call("setItem", countKey(name), "'"+strings.Join(entries, " "))
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
