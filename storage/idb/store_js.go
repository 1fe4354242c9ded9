package idb

import (
	"context"
	"errors"
	"fmt"
	"sync"
	"syscall/js"

	"loomwright/storage"
)

// Name is the name of the database. It never changes: every build ever saved is under it.
const Name = "loomwright"

// schema is the version of the database's layout, described at upgrade.
const schema = 1

// The object stores.
const (
	edits     = "edits"     // [build, device, n] → the line as a string
	blobs     = "blobs"     // sha-256 → bytes
	snapshots = "snapshots" // build → {app, devices: [{id, last}], data}
	meta      = "meta"      // ["build", id] → its entry as JSON; ["value", key] → string
)

// Store is one tab on the database. Make one with Open.
type Store struct {
	name  string
	ready chan struct{} // closed when the first try to open is over
	tabs  *tabs

	opening sync.Mutex // held while the database is being opened

	mu     sync.Mutex
	ahead  ahead
	db     js.Value // null while there is no handle
	newer  int      // version of a database that is too new to write to, else 0
	fault  error    // why the first try to open failed
	lost   bool     // the database came back empty
	older  bool     // the database came back older than it was
	closed bool
}

var _ storage.Store = (*Store)(nil)

// Open returns the store on this origin's database. It returns at once; every method waits until the database is
// open, and returns why it could not be opened. ctx ends the waiting.
func Open(ctx context.Context) *Store { return OpenNamed(ctx, Name) }

// OpenNamed opens a database of another name, for tests.
func OpenNamed(ctx context.Context, name string) *Store {
	s := &Store{name: name, ready: make(chan struct{}), db: js.Null(), ahead: ahead{parts: js.Null()}}
	s.tabs = newTabs(name, s.written)
	s.tabs.join()
	if s.ahead.parts = takeAhead(name); !s.ahead.parts.IsNull() {
		s.db = s.ahead.parts.Get("db")
		s.listen(s.db)
	}
	go func() {
		defer close(s.ready)
		err := s.start(ctx)
		s.mu.Lock()
		s.fault = err
		s.mu.Unlock()
	}()
	return s
}

// Ready waits until the database is open and it is known whether this tab writes, and returns why it is not.
func (s *Store) Ready(ctx context.Context) error {
	if err := s.opened(ctx); err != nil {
		return err
	}
	select {
	case <-s.tabs.joined:
		return nil
	case <-ctx.Done():
		return ctx.Err()
	}
}

// opened waits until the database is open, which is enough to read, and returns why it is not.
func (s *Store) opened(ctx context.Context) error {
	select {
	case <-s.ready:
	case <-ctx.Done():
		return ctx.Err()
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.fault
}

// start opens the database and compares it with what was counted.
func (s *Store) start(ctx context.Context) error {
	count, list, err := s.compare(ctx)
	if err != nil {
		return err
	}
	have := map[string]int{}
	for _, about := range list {
		have[about.Build] = about.Edits
	}
	missing := false
	for build, n := range count {
		missing = missing || have[build] < n
	}
	s.mu.Lock()
	s.lost, s.older = missing && len(list) == 0, missing
	s.mu.Unlock()
	onVisible(func() { go func() { _, _ = s.list(ctx) }() }) // a handle that was lost in the background is opened again before a tap needs it
	return nil
}

// compare reads what was counted, and then the list: what another tab saves in between is not taken for lost.
func (s *Store) compare(ctx context.Context) (count map[string]int, list []storage.About, err error) {
	if rows, ok := s.first("builds"); ok {
		text, _ := s.first("count")
		list = abouts(rows)
		s.mu.Lock()
		s.ahead.list = list
		s.mu.Unlock()
		return parseCount(text), list, nil
	}
	count = readCount(s.name)
	list, err = s.list(ctx)
	return count, list, err
}

// handle returns the open database, opening it where it is not.
func (s *Store) handle(ctx context.Context) (js.Value, error) {
	s.opening.Lock()
	defer s.opening.Unlock()
	s.mu.Lock()
	db, closed := s.db, s.closed
	s.mu.Unlock()
	if closed {
		return db, errors.New("storage: closed")
	}
	if !db.IsNull() {
		return db, nil
	}
	db, newer, err := s.connect(ctx)
	if err != nil {
		return db, err
	}
	s.mu.Lock()
	s.db, s.newer = db, newer
	s.mu.Unlock()
	return db, nil
}

// drop forgets a handle.
func (s *Store) drop(db js.Value) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.db.Equal(db) {
		s.db = js.Null()
	}
}

// connect opens the database. newer is its version where that is above ours.
func (s *Store) connect(ctx context.Context) (db js.Value, newer int, err error) {
	factory := js.Global().Get("indexedDB")
	if !factory.Truthy() {
		return js.Null(), 0, errors.New("storage: this browser has no database")
	}
	open := func(args ...any) (js.Value, error) {
		request, err := try(func() js.Value { return factory.Call("open", args...) })
		if err != nil {
			return js.Null(), err
		}
		return awaitRequest(ctx, request, map[string]func(){
			"onupgradeneeded": func() { upgrade(request.Get("result")) },
			"onblocked":       func() { s.tabs.tell(storage.Event{What: storage.Blocked}) },
		})
	}
	db, err = open(s.name, schema)
	if named(err, "VersionError") {
		if db, err = open(s.name); err == nil {
			newer = db.Get("version").Int()
		}
	}
	if err != nil {
		return js.Null(), 0, fmt.Errorf("storage: open the database: %w", err)
	}
	s.listen(db)
	return db, newer, nil
}

// listen lets go of the handle when the browser takes it, or when a newer version of the app needs the database.
func (s *Store) listen(db js.Value) {
	var funcs [2]js.Func
	release := func() {
		db.Set("onclose", js.Null())
		db.Set("onversionchange", js.Null())
		for _, f := range funcs {
			f.Release()
		}
	}
	funcs[0] = js.FuncOf(func(js.Value, []js.Value) any {
		s.drop(db)
		go release()
		return nil
	})
	funcs[1] = js.FuncOf(func(js.Value, []js.Value) any {
		db.Call("close")
		s.drop(db)
		s.tabs.tell(storage.Event{What: storage.Closed})
		go release()
		return nil
	})
	db.Set("onclose", funcs[0])
	db.Set("onversionchange", funcs[1])
}

// upgrade brings a database to our schema. Stores are only ever added.
func upgrade(db js.Value) {
	for _, name := range []string{edits, blobs, snapshots, meta} {
		if !db.Get("objectStoreNames").Call("contains", name).Bool() {
			db.Call("createObjectStore", name)
		}
	}
}

// read runs a transaction that only reads.
func (s *Store) read(ctx context.Context, stores []any, body func(*tx) error) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	return s.twice(ctx, func(db js.Value) error { return run(ctx, db, stores, "readonly", "default", body) })
}

// write runs a transaction that writes, if this tab may. durability is "strict" for all that a person entered.
func (s *Store) write(ctx context.Context, durability string, stores []any, body func(*tx) error) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	if err := s.Ready(ctx); err != nil {
		return err
	}
	done, ok := s.tabs.writing()
	if !ok {
		return storage.ErrReadOnly
	}
	defer done()
	s.written()
	return s.twice(ctx, func(db js.Value) error {
		if err := s.tooNew(); err != nil {
			return err
		}
		return run(ctx, db, stores, "readwrite", durability, body)
	})
}

func (s *Store) tooNew() error {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.newer > 0 {
		return &storage.TooNewError{Version: s.newer, Reads: schema}
	}
	return nil
}

// twice calls f, and once more with a new handle if the browser had taken the old one away.
func (s *Store) twice(ctx context.Context, f func(db js.Value) error) error {
	for again := false; ; again = true {
		db, err := s.handle(ctx)
		if err == nil {
			err = f(db)
		}
		if err == nil || again || !isLost(err) || ctx.Err() != nil {
			return translate(err)
		}
		s.drop(db)
		_, _ = try(func() js.Value { return db.Call("close") })
	}
}

// Writer implements storage.Store.
func (s *Store) Writer() bool {
	s.mu.Lock()
	newer := s.newer
	s.mu.Unlock()
	return newer == 0 && s.tabs.writer()
}

// TakeOver implements storage.Store.
func (s *Store) TakeOver(ctx context.Context) error {
	if err := s.Ready(ctx); err != nil {
		return err
	}
	if err := s.tooNew(); err != nil {
		return err
	}
	return s.tabs.takeOver(ctx)
}

// Watch implements storage.Store.
func (s *Store) Watch(f func(storage.Event)) (stop func()) { return s.tabs.watch(f) }

// Close implements storage.Store.
func (s *Store) Close() error {
	s.opening.Lock()
	defer s.opening.Unlock()
	s.mu.Lock()
	db := s.db
	s.db, s.closed = js.Null(), true
	s.mu.Unlock()
	if !db.IsNull() {
		db.Call("close")
	}
	s.tabs.leave()
	return nil
}
