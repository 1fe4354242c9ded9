package idb

import (
	"bytes"
	"context"
	"fmt"
	"maps"
	"slices"
	"syscall/js"

	"loomwright/storage"
)

// batch is how many lines Lines reads at once: about 20 ms of work on a slow phone.
const batch = 500

// Builds implements storage.Store.
func (s *Store) Builds(ctx context.Context) ([]storage.About, error) {
	if err := s.opened(ctx); err != nil {
		return nil, err
	}
	s.mu.Lock()
	list, lost := s.ahead.list, s.lost
	s.ahead.list = nil
	s.mu.Unlock()
	if list == nil {
		var err error
		if list, err = s.list(ctx); err != nil {
			return nil, err
		}
	}
	if lost && len(list) == 0 {
		return list, storage.ErrLost
	}
	return list, s.tooNew()
}

func (s *Store) list(ctx context.Context) (list []storage.About, err error) {
	err = s.read(ctx, []any{meta}, func(t *tx) error {
		rows, err := t.get(meta, "getAll", keys([]any{"build"}, []any{"build", above()}))
		if err != nil {
			return err
		}
		list = abouts(rows)
		return nil
	})
	return list, err
}

func abouts(rows js.Value) (list []storage.About) {
	for i := range rows.Length() {
		list = append(list, aboutOf(rows.Index(i)))
	}
	return list
}

// Small things are kept as the browser keeps objects, not as JSON: nothing has to be parsed before the first page.

func aboutRow(a storage.About) map[string]any {
	return map[string]any{"build": a.Build, "title": a.Title, "car": a.Car, "gone": a.Gone, "edits": a.Edits, "at": a.At}
}

func aboutOf(row js.Value) storage.About {
	return storage.About{Build: text(row, "build"), Title: text(row, "title"), Car: text(row, "car"),
		Gone: row.Get("gone").Truthy(), Edits: number(row, "edits"), At: text(row, "at")}
}

func text(row js.Value, name string) string {
	if v := row.Get(name); v.Type() == js.TypeString {
		return v.String()
	}
	return ""
}

func number(row js.Value, name string) int {
	if v := row.Get(name); v.Type() == js.TypeNumber {
		return v.Int()
	}
	return 0
}

// Load implements storage.Store.
func (s *Store) Load(ctx context.Context, build string) (saved storage.Saved, err error) {
	if err := s.opened(ctx); err != nil {
		return saved, err
	}
	var raw []byte
	if v, ok := s.first("build"); ok && text(v, "id") == build {
		saved.Snapshot, raw = readSnapshot(build, v.Get("snapshot")), join(v.Get("lines"))
	} else if err = s.read(ctx, []any{edits, snapshots}, func(t *tx) error {
		saved, raw = storage.Saved{}, nil
		v, err := t.get(snapshots, "get", build)
		if err != nil {
			return err
		}
		saved.Snapshot = readSnapshot(build, v)
		from := []any{build}
		for _, device := range slices.Sorted(maps.Keys(saved.Snapshot.Counts)) {
			part, err := t.lines(from, []any{build, device})
			if err != nil {
				return err
			}
			raw = append(raw, part...)
			from = []any{build, device, saved.Snapshot.Counts[device]}
		}
		part, err := t.lines(from, []any{build, above()})
		raw = append(raw, part...)
		return err
	}); err != nil {
		return storage.Saved{}, err
	}
	if saved.Lines, err = storage.ParseSaved(raw); err != nil {
		return storage.Saved{}, fmt.Errorf("storage: build %q: %w", build, err)
	}
	if saved.Snapshot.Data == nil && len(saved.Lines) == 0 {
		return storage.Saved{}, fmt.Errorf("storage: build %q: %w", build, storage.ErrMissing)
	}
	return saved, nil
}

// lines returns the lines between two keys, each with a newline.
func (t *tx) lines(lower, upper []any) ([]byte, error) {
	rows, err := t.get(edits, "getAll", keys(lower, upper))
	if err != nil {
		return nil, err
	}
	return join(rows), nil
}

// join brings an array of strings over to Go in one piece, each with a newline, which no line has inside.
func join(rows js.Value) []byte {
	if rows.Length() == 0 {
		return nil
	}
	text := js.Global().Get("TextEncoder").New().Call("encode", rows.Call("join", "\n"))
	return append(toGo(text, 1), '\n')
}

// toGo copies a Uint8Array, with room for more bytes at its end.
func toGo(array js.Value, room int) []byte {
	n := array.Length()
	data := make([]byte, n, n+room)
	js.CopyBytesToGo(data, array)
	return data
}

func toJS(data []byte) js.Value {
	array := js.Global().Get("Uint8Array").New(len(data))
	js.CopyBytesToJS(array, data)
	return array
}

// readSnapshot reads what is kept of a build's snapshot; undefined, or another form, is as good as none.
func readSnapshot(build string, v js.Value) storage.Snapshot {
	if v.Type() != js.TypeObject {
		return storage.Snapshot{}
	}
	devices, data := v.Get("devices"), v.Get("data")
	if devices.Type() != js.TypeObject || !data.InstanceOf(js.Global().Get("Uint8Array")) {
		return storage.Snapshot{}
	}
	out := storage.Snapshot{Build: build, App: text(v, "app"), Counts: map[string]int64{}, Data: toGo(data, 0)}
	for i := range devices.Length() {
		d := devices.Index(i)
		out.Counts[text(d, "id")] = int64(number(d, "last"))
	}
	return out
}

// Lines implements storage.Store.
func (s *Store) Lines(ctx context.Context, build string, f func([]storage.Line) error) error {
	return s.batches(ctx, build, func(raw []byte) (last storage.Ref, err error) {
		lines, err := storage.ParseSaved(raw)
		if err != nil {
			return last, fmt.Errorf("storage: build %q: %w", build, err)
		}
		return lines[len(lines)-1].Ref(), f(lines)
	})
}

// batches reads all lines of a build in pieces.
func (s *Store) batches(ctx context.Context, build string, f func(raw []byte) (last storage.Ref, err error)) error {
	if err := s.opened(ctx); err != nil {
		return err
	}
	for from := []any{build}; ; {
		var raw []byte
		err := s.read(ctx, []any{edits}, func(t *tx) error {
			rows, err := t.get(edits, "getAll", keys(from, []any{build, above()}), batch)
			if err == nil {
				raw = join(rows)
			}
			return err
		})
		if err != nil || len(raw) == 0 {
			return err
		}
		last, err := f(raw)
		if err != nil {
			return err
		}
		from = []any{build, last.Device, last.N}
	}
}

// Raw implements storage.Store.
func (s *Store) Raw(ctx context.Context, build string) (data []byte, err error) {
	if err := s.opened(ctx); err != nil {
		return nil, err
	}
	err = s.read(ctx, []any{edits}, func(t *tx) error {
		data, err = t.lines([]any{build}, []any{build, above()})
		return err
	})
	return data, err
}

// Append implements storage.Store.
func (s *Store) Append(ctx context.Context, about storage.About, lines []storage.Line) error {
	save := func(t *tx, lines []storage.Line) error {
		for _, line := range lines {
			if _, err := t.request(edits, "add", string(line.Raw), lineKey(about.Build, line)); err != nil {
				return err
			}
		}
		_, err := t.request(meta, "put", aboutRow(about), []any{"build", about.Build})
		return err
	}
	err := s.write(ctx, "strict", []any{edits, meta}, func(t *tx) error { return save(t, lines) })
	if named(err, "ConstraintError") { // some are there: the same ones, or others?
		err = s.write(ctx, "strict", []any{edits, meta}, func(t *tx) error {
			var fresh []storage.Line
			for _, line := range lines {
				have, err := t.get(edits, "get", lineKey(about.Build, line))
				switch {
				case err != nil:
					return err
				case have.IsUndefined():
					fresh = append(fresh, line)
				case !bytes.Equal([]byte(have.String()), line.Raw):
					return fmt.Errorf("storage: line %q %d: %w", line.Device, line.N, storage.ErrStale)
				}
			}
			return save(t, fresh)
		})
	}
	if err != nil {
		return err
	}
	s.counted(about)
	s.tabs.changed(about.Build)
	return nil
}

func lineKey(build string, line storage.Line) []any { return []any{build, line.Device, line.N} }

// PutSnapshot implements storage.Store.
func (s *Store) PutSnapshot(ctx context.Context, snapshot storage.Snapshot) error {
	var devices []any
	for _, id := range slices.Sorted(maps.Keys(snapshot.Counts)) {
		devices = append(devices, map[string]any{"id": id, "last": snapshot.Counts[id]})
	}
	return s.write(ctx, "relaxed", []any{snapshots}, func(t *tx) error {
		row := map[string]any{"app": snapshot.App, "devices": devices, "data": toJS(snapshot.Data)}
		_, err := t.request(snapshots, "put", row, snapshot.Build)
		return err
	})
}

// Blobs implements storage.Store.
func (s *Store) Blobs(ctx context.Context) (hashes []string, err error) {
	if err := s.opened(ctx); err != nil {
		return nil, err
	}
	err = s.read(ctx, []any{blobs}, func(t *tx) error {
		v, err := t.get(blobs, "getAllKeys")
		if err != nil {
			return err
		}
		hashes = nil
		for i := range v.Length() {
			hashes = append(hashes, v.Index(i).String())
		}
		return nil
	})
	return hashes, err
}

// Meta implements storage.Store.
func (s *Store) Meta(ctx context.Context, key string) (value string, err error) {
	if err := s.opened(ctx); err != nil {
		return "", err
	}
	s.mu.Lock()
	older := s.older
	s.mu.Unlock()
	missing := func() error { return fmt.Errorf("storage: value %q: %w", key, storage.ErrMissing) }
	if older && key == storage.DeviceKey {
		return "", missing()
	}
	if key == storage.DeviceKey {
		if v, ok := s.first("device"); ok {
			return v.String(), nil
		}
	}
	err = s.read(ctx, []any{meta}, func(t *tx) error {
		v, err := t.get(meta, "get", []any{"value", key})
		if err != nil {
			return err
		}
		if v.IsUndefined() {
			return missing()
		}
		value = v.String()
		return nil
	})
	return value, err
}

// SetMeta implements storage.Store.
func (s *Store) SetMeta(ctx context.Context, key, value string) error {
	err := s.write(ctx, "strict", []any{meta}, func(t *tx) error {
		_, err := t.request(meta, "put", value, []any{"value", key})
		return err
	})
	if err == nil && key == storage.DeviceKey {
		err = s.recount(ctx)
	}
	return err
}

// Wipe implements storage.Store.
func (s *Store) Wipe(ctx context.Context) error {
	all := []any{edits, blobs, snapshots, meta}
	err := s.write(ctx, "strict", all, func(t *tx) error {
		for _, store := range all {
			if _, err := t.request(store.(string), "clear"); err != nil {
				return err
			}
		}
		return nil
	})
	if err != nil {
		return err
	}
	s.mu.Lock()
	s.lost, s.older = false, false
	s.mu.Unlock()
	writeCount(s.name, nil)
	s.tabs.changed("")
	return nil
}
