package storage

import "context"

// About is the entry of a build in the list of builds: cheap to read, written together with every edit.
type About struct {
	Build string `json:"build"`
	Title string `json:"title,omitzero"`
	Car   string `json:"car,omitzero"`
	Gone  bool   `json:"gone,omitzero"` // deleted; its lines are all still there
	Edits int    `json:"edits"`         // lines in its log
	At    string `json:"at,omitzero"`   // of the last line, as its phone's clock had it
}

// DeviceKey is the key of this phone's device id in Meta.
const DeviceKey = "device"

// Store keeps builds. Every method may be called from any goroutine, waits until it is done, and may block: never
// call one from an event handler of the page.
//
// A write is done when it returns nil: whatever happens to the phone after that, it is there. An error means that
// it may not be there: keep the edit, say so and try again. Writing the same lines again is not an error.
type Store interface {
	// Builds lists every build, deleted ones too, in the order of their ids. Together with the list it may return
	// ErrLost, until something is saved or wiped, or ErrTooNew, when nothing can be saved.
	Builds(ctx context.Context) ([]About, error)
	// Load returns the newest snapshot of a build with the lines after it, or no snapshot and all lines. It
	// returns ErrMissing when there is no line of that build.
	Load(ctx context.Context, build string) (Saved, error)
	// Lines hands over all lines of a build in batches, by device and number, and waits between batches so that
	// the page stays alive. An error from batch ends it and is returned.
	Lines(ctx context.Context, build string, batch func([]Line) error) error
	// Raw returns the bytes of all lines of a build as they are stored, each with a newline, and reads nothing into
	// them: what a person can download when a build does not open.
	Raw(ctx context.Context, build string) ([]byte, error)
	// Append writes lines and the build's entry in one transaction: all or nothing. It returns ErrStale if the
	// store holds other bytes under one of their names.
	Append(ctx context.Context, about About, lines []Line) error
	// PutSnapshot replaces the snapshot of its build. Losing it loses nothing.
	PutSnapshot(ctx context.Context, s Snapshot) error

	// PutBlob keeps bytes under their SHA-256 in lower-case hexadecimal, which it returns.
	PutBlob(ctx context.Context, b Blob) (hash string, err error)
	// Blob returns the bytes with this hash, or ErrMissing. A store of the browser leaves them with it.
	Blob(ctx context.Context, hash string) (Blob, error)
	// Blobs lists every hash in order.
	Blobs(ctx context.Context) ([]string, error)

	// Meta returns a small value that is not part of any build, or ErrMissing. Where the store notices that it is
	// older than what was saved in it, DeviceKey is missing until SetMeta gives it a fresh one.
	Meta(ctx context.Context, key string) (string, error)
	// SetMeta keeps such a value.
	SetMeta(ctx context.Context, key, value string) error

	// Wipe erases everything: "erase all data on this phone".
	Wipe(ctx context.Context) error

	// Writer reports whether this tab may write. The others read, say so, and get ErrReadOnly from what would write.
	// Of the tabs on one database one is the writer; when it closes, another becomes it.
	Writer() bool
	// TakeOver makes this tab the writer ("use here"). Load the open build again afterwards.
	TakeOver(ctx context.Context) error
	// Watch calls f for every event from now on, until stop is called. f must not block.
	Watch(f func(Event)) (stop func())
	// Close lets go of the database.
	Close() error
}

// Saved is what Load found: a snapshot, if Snapshot.Data is not nil, and the lines that it does not contain.
type Saved struct {
	Snapshot Snapshot
	Lines    []Line
}

// Event is news from a store.
type Event struct {
	What  What
	Build string // of Changed; empty is all of them
}

// What an event says.
type What string

// The events.
const (
	Changed      What = "changed"       // another tab wrote to a build: load it again
	WriterGained What = "writer gained" // this tab may write now: load the open build again
	WriterLost   What = "writer lost"   // another tab took over: read only from here on
	Blocked      What = "blocked"       // another tab with an older version keeps the database: close it
	Closed       What = "closed"        // the database was closed for a newer version of the app: reload the page
)

// Open loads a build, from its snapshot where app, the version of the program, made it and it fits, else from all
// lines. A log from a snapshot takes edits at once; see Log.NeedsHistory for the rest.
func Open(ctx context.Context, s Store, build, app string) (*Log, error) {
	saved, err := s.Load(ctx, build)
	if err != nil {
		return nil, err
	}
	if saved.Snapshot.Data != nil && saved.Snapshot.App == app {
		l, err := OpenSnapshot(saved.Snapshot, saved.Lines)
		if err == nil {
			return l, nil
		}
	}
	lines := saved.Lines
	if saved.Snapshot.Data != nil {
		if lines, err = AllLines(ctx, s, build); err != nil {
			return nil, err
		}
	}
	l := New(build)
	if _, err := l.Add(lines); err != nil {
		return nil, err
	}
	return l, nil
}

// AllLines returns every line of a build, by device and number: what Log.AddHistory takes.
func AllLines(ctx context.Context, s Store, build string) ([]Line, error) {
	var lines []Line
	err := s.Lines(ctx, build, func(batch []Line) error {
		lines = append(lines, batch...)
		return nil
	})
	return lines, err
}
