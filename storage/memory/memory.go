// Package memory is a store that forgets: for tests, for native tools, and for site generation.
package memory

import (
	"bytes"
	"cmp"
	"context"
	"fmt"
	"maps"
	"slices"
	"sync"

	"loomwright/storage"
)

// Store is one tab on a database in memory. Make the first with New and others on the same database with Tab.
type Store struct {
	db       *database
	watchers map[int]func(storage.Event) // guarded by db
	next     int
}

type database struct {
	sync.Mutex
	tabs      []*Store // the first one writes
	builds    map[string]*build
	blobs     map[string][]byte
	meta      map[string]string
	snapshots map[string]storage.Snapshot
}

type build struct {
	about storage.About
	lines map[storage.Ref]storage.Line
}

var _ storage.Store = (*Store)(nil)

// New returns a store on an empty database.
func New() *Store {
	db := &database{}
	db.clear()
	return db.tab()
}

// Tab returns another store on the same database, as a second tab of a browser would have it.
func (s *Store) Tab() *Store { return s.db.tab() }

func (db *database) tab() *Store {
	db.Lock()
	defer db.Unlock()
	s := &Store{db: db, watchers: map[int]func(storage.Event){}}
	db.tabs = append(db.tabs, s)
	return s
}

func (db *database) clear() {
	db.builds = map[string]*build{}
	db.blobs = map[string][]byte{}
	db.meta = map[string]string{}
	db.snapshots = map[string]storage.Snapshot{}
}

func (db *database) writer() *Store {
	if len(db.tabs) == 0 {
		return nil
	}
	return db.tabs[0]
}

// read calls f with the database locked.
func (s *Store) read(ctx context.Context, f func(*database) error) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	s.db.Lock()
	defer s.db.Unlock()
	return f(s.db)
}

// write calls f with the database locked, if this tab may write.
func (s *Store) write(ctx context.Context, f func(*database) error) error {
	return s.read(ctx, func(db *database) error {
		if db.writer() != s {
			return storage.ErrReadOnly
		}
		return f(db)
	})
}

// tell sends an event to the watchers of some tabs, with nothing locked.
func (db *database) tell(e storage.Event, to func(*Store) bool) {
	db.Lock()
	var watchers []func(storage.Event)
	for _, s := range db.tabs {
		if to(s) {
			for _, id := range slices.Sorted(maps.Keys(s.watchers)) {
				watchers = append(watchers, s.watchers[id])
			}
		}
	}
	db.Unlock()
	for _, f := range watchers {
		f(e)
	}
}

func (s *Store) others(t *Store) bool { return t != s }

// Builds implements storage.Store.
func (s *Store) Builds(ctx context.Context) (list []storage.About, err error) {
	err = s.read(ctx, func(db *database) error {
		for _, id := range slices.Sorted(maps.Keys(db.builds)) {
			list = append(list, db.builds[id].about)
		}
		return nil
	})
	return list, err
}

// Load implements storage.Store.
func (s *Store) Load(ctx context.Context, id string) (saved storage.Saved, err error) {
	err = s.read(ctx, func(db *database) error {
		if db.builds[id] == nil {
			return fmt.Errorf("storage: build %q: %w", id, storage.ErrMissing)
		}
		saved.Snapshot = db.snapshots[id]
		for _, line := range db.builds[id].sorted() {
			if line.N > saved.Snapshot.Counts[line.Device] {
				saved.Lines = append(saved.Lines, line)
			}
		}
		return nil
	})
	return saved, err
}

func (b *build) sorted() []storage.Line {
	return slices.SortedFunc(maps.Values(b.lines), func(a, b storage.Line) int {
		return cmp.Or(cmp.Compare(a.Device, b.Device), cmp.Compare(a.N, b.N))
	})
}

// batch is how many lines Lines hands over at once.
const batch = 1000

// Lines implements storage.Store.
func (s *Store) Lines(ctx context.Context, id string, f func([]storage.Line) error) error {
	var lines []storage.Line
	err := s.read(ctx, func(db *database) error {
		if b := db.builds[id]; b != nil {
			lines = b.sorted()
		}
		return nil
	})
	if err != nil {
		return err
	}
	for part := range slices.Chunk(lines, batch) {
		if err := cmp.Or(ctx.Err(), f(part)); err != nil {
			return err
		}
	}
	return nil
}

// Raw implements storage.Store.
func (s *Store) Raw(ctx context.Context, id string) (data []byte, err error) {
	err = s.Lines(ctx, id, func(lines []storage.Line) error {
		for _, line := range lines {
			data = append(append(data, line.Raw...), '\n')
		}
		return nil
	})
	return data, err
}

// Append implements storage.Store.
func (s *Store) Append(ctx context.Context, about storage.About, lines []storage.Line) error {
	err := s.write(ctx, func(db *database) error {
		b := db.builds[about.Build]
		for _, line := range lines {
			if b == nil {
				break
			}
			if have, ok := b.lines[line.Ref()]; ok && !bytes.Equal(have.Raw, line.Raw) {
				return fmt.Errorf("storage: line %q %d: %w", line.Device, line.N, storage.ErrStale)
			}
		}
		if b == nil {
			b = &build{lines: map[storage.Ref]storage.Line{}}
			db.builds[about.Build] = b
		}
		b.about = about
		for _, line := range lines {
			b.lines[line.Ref()] = line
		}
		return nil
	})
	if err == nil {
		s.db.tell(storage.Event{What: storage.Changed, Build: about.Build}, s.others)
	}
	return err
}

// PutSnapshot implements storage.Store.
func (s *Store) PutSnapshot(ctx context.Context, snapshot storage.Snapshot) error {
	return s.write(ctx, func(db *database) error {
		snapshot.Data = bytes.Clone(snapshot.Data)
		db.snapshots[snapshot.Build] = snapshot
		return nil
	})
}

// PutBlob implements storage.Store. It takes Bytes.
func (s *Store) PutBlob(ctx context.Context, b storage.Blob) (string, error) {
	data, ok := b.(storage.Bytes)
	if !ok {
		return "", fmt.Errorf("storage: a blob of %d bytes that is not in memory", b.Size())
	}
	hash := storage.BlobHash(data)
	return hash, s.write(ctx, func(db *database) error {
		db.blobs[hash] = bytes.Clone(data)
		return nil
	})
}

// Blob implements storage.Store. It returns Bytes.
func (s *Store) Blob(ctx context.Context, hash string) (b storage.Blob, err error) {
	err = s.read(ctx, func(db *database) error {
		have, ok := db.blobs[hash]
		if !ok {
			return fmt.Errorf("storage: blob %q: %w", hash, storage.ErrMissing)
		}
		b = storage.Bytes(bytes.Clone(have))
		return nil
	})
	return b, err
}

// Blobs implements storage.Store.
func (s *Store) Blobs(ctx context.Context) (hashes []string, err error) {
	err = s.read(ctx, func(db *database) error {
		hashes = slices.Sorted(maps.Keys(db.blobs))
		return nil
	})
	return hashes, err
}

// Meta implements storage.Store.
func (s *Store) Meta(ctx context.Context, key string) (value string, err error) {
	err = s.read(ctx, func(db *database) error {
		have, ok := db.meta[key]
		if !ok {
			return fmt.Errorf("storage: value %q: %w", key, storage.ErrMissing)
		}
		value = have
		return nil
	})
	return value, err
}

// SetMeta implements storage.Store.
func (s *Store) SetMeta(ctx context.Context, key, value string) error {
	return s.write(ctx, func(db *database) error {
		db.meta[key] = value
		return nil
	})
}

// Wipe implements storage.Store.
func (s *Store) Wipe(ctx context.Context) error {
	err := s.write(ctx, func(db *database) error {
		db.clear()
		return nil
	})
	if err == nil {
		s.db.tell(storage.Event{What: storage.Changed}, s.others)
	}
	return err
}

// Writer implements storage.Store.
func (s *Store) Writer() bool {
	s.db.Lock()
	defer s.db.Unlock()
	return s.db.writer() == s
}

// TakeOver implements storage.Store.
func (s *Store) TakeOver(ctx context.Context) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	s.db.Lock()
	old := s.db.writer()
	if !slices.Contains(s.db.tabs, s) {
		s.db.Unlock()
		return fmt.Errorf("storage: take over: this tab is closed: %w", storage.ErrReadOnly)
	}
	s.db.tabs = append([]*Store{s}, slices.DeleteFunc(s.db.tabs, func(t *Store) bool { return t == s })...)
	s.db.Unlock()
	if old != s {
		s.db.tell(storage.Event{What: storage.WriterLost}, func(t *Store) bool { return t == old })
		s.db.tell(storage.Event{What: storage.WriterGained}, func(t *Store) bool { return t == s })
	}
	return nil
}

// Watch implements storage.Store.
func (s *Store) Watch(f func(storage.Event)) (stop func()) {
	s.db.Lock()
	defer s.db.Unlock()
	id := s.next
	s.next++
	s.watchers[id] = f
	return func() {
		s.db.Lock()
		defer s.db.Unlock()
		delete(s.watchers, id)
	}
}

// Close implements storage.Store.
func (s *Store) Close() error {
	s.db.Lock()
	was := s.db.writer() == s
	s.db.tabs = slices.DeleteFunc(s.db.tabs, func(t *Store) bool { return t == s })
	now := s.db.writer()
	s.db.Unlock()
	if was && now != nil {
		s.db.tell(storage.Event{What: storage.WriterGained}, func(t *Store) bool { return t == now })
	}
	return nil
}
