package session

import (
	"errors"
	"fmt"
	"io"
	"sync"
	"time"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/device"
	"loomwright/calc/harness"
	"loomwright/storage"
)

// Deps is what a session is given: the parts that differ between a phone and a test.
type Deps struct {
	Store  storage.Store
	Device *device.Device
	Now    func() time.Time
	NewID  func() string // a new UUID of version 4
	Random io.Reader     // for tag codes
}

// Session is the open build and the list of all builds. Make one with New.
type Session struct {
	Deps
	Phone string // this phone's device id in the log; empty until Start

	log      *storage.Log
	rev      int // counts every change of what the pages show
	notice   Notice
	builds   []storage.About
	began    bool
	fault    error // of the store, at the start
	cache    cache
	ahead    *ahead // until it was used
	rested   int64  // the clock of the last snapshot
	edits    int    // lines in the last snapshot, or when the build was opened
	rebasing bool   // the build is being read again, see Rebase

	expected func() // see Expect

	saver saver

	mu       sync.Mutex
	watchers map[int]func()
	nextID   int
}

// Notice is a sentence about what was just done.
type Notice struct {
	Tone string // "", "good", "warn", "bad"
	Text string
	Undo bool // the undo that is offered with it takes back what the text says

	pages int // shown on so many pages already
}

// New returns a session that has not read anything yet.
func New(d Deps) *Session {
	s := &Session{Deps: d, watchers: map[int]func(){}}
	s.saver.init(s)
	return s
}

// Watch calls f, from any goroutine, whenever something changed that did not come from the page itself: a save was
// confirmed or failed, another tab wrote. f must not block.
func (s *Session) Watch(f func()) (stop func()) {
	s.mu.Lock()
	defer s.mu.Unlock()
	id := s.nextID
	s.nextID++
	s.watchers[id] = f
	return func() {
		s.mu.Lock()
		defer s.mu.Unlock()
		delete(s.watchers, id)
	}
}

func (s *Session) tell() {
	s.mu.Lock()
	var all []func()
	for _, f := range s.watchers {
		all = append(all, f)
	}
	s.mu.Unlock()
	for _, f := range all {
		f()
	}
}

// Later runs f on the goroutine that draws and then lets every page draw again. Work that waited uses it in place of
// ctx.Dispatch, which drops f when the button that began the work is gone from the page meanwhile.
func (s *Session) Later(ctx app.Context, f func(app.Context)) {
	ctx.Dispatcher().Dispatch(app.Dispatch{Mode: app.Update, Function: func(ctx app.Context) {
		f(ctx)
		s.rev++
		s.tell()
	}})
}

// B returns the open build, or nil. Its tables must not be changed.
func (s *Session) B() *harness.Build {
	if s.log == nil {
		return nil
	}
	return s.log.State()
}

// Log returns the log of the open build, or nil, for reading.
func (s *Session) Log() *storage.Log { return s.log }

// ID returns the id of the open build, or "".
func (s *Session) ID() string {
	if s.log == nil {
		return ""
	}
	return s.log.Build()
}

// Rev changes whenever the open build may look different. Pages take it as a field, so that they draw again.
func (s *Session) Rev() int { return s.rev }

// Changed says that something changed which pages show and no edit tells of, so that they draw again.
func (s *Session) Changed() { s.rev++ }

// Notice returns the sentence to show, if any.
func (s *Session) Notice() Notice { return s.notice }

// Say shows a sentence on every page until the next one, or until Hush.
func (s *Session) Say(n Notice) { s.notice = n; s.rev++ }

// Turn is told of every new page: a sentence is shown on the page it was said on and on the one after, as it is often
// said on the way to another page.
func (s *Session) Turn() {
	if s.notice.Text == "" {
		return
	}
	if s.notice.pages++; s.notice.pages > 1 {
		s.Hush()
		s.rev++
	}
}

// Hush takes the sentence away.
func (s *Session) Hush() { s.notice = Notice{} }

func (s *Session) at() string { return s.Now().UTC().Format(time.RFC3339) }

// Time is now, as a record keeps it.
func (s *Session) Time() string { return s.at() }

// Do applies one tap to the open build and starts to save it. Whatever it returns, what was shown before is not
// lost: an error means that nothing changed. An edit that changes nothing is no error.
func (s *Session) Do(changes ...storage.Change) error {
	if s.log == nil {
		return errors.New("session: no build is open")
	}
	if m := s.Mark(); m.ReadOnly {
		return storage.ErrReadOnly
	}
	line, err := s.log.Commit(s.Phone, s.at(), changes)
	if errors.Is(err, storage.ErrNothing) {
		return nil
	}
	if err != nil {
		return fmt.Errorf("session: %w", err)
	}
	s.notice = Notice{}
	s.keep(line)
	return nil
}

// keep shows and saves lines of the open build.
func (s *Session) keep(lines ...storage.Line) {
	s.cache.touch(lines...)
	s.store(s.log, lines...)
	if s.expected != nil {
		s.expected()
	}
}

// Expect names what the page that is shown will ask for after an edit; nil is nothing. It is worked out right after the edit,
// while the frame that shows it is awaited: that time passes anyway.
func (s *Session) Expect(f func()) { s.expected = f }

// store saves lines that a log has just taken, and keeps the list of builds up to date with them.
func (s *Session) store(log *storage.Log, lines ...storage.Line) {
	s.rev++
	s.note(log.About())
	s.saver.add(log.About(), lines...)
}
