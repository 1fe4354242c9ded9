package session

import (
	"context"
	"time"

	"loomwright/storage"
)

// ahead is what was begun before the first page asked for it.
type ahead struct {
	begun chan struct{} // closed when the list is read
	begin func()        // the answer of Begin
	done  chan struct{} // closed when the build is read, too
	build string
	log   *storage.Log // nil if it could not be opened: then it is tried again when asked for
}

// Ahead begins to read the list of builds, and the build with that id if it is not empty, while the framework is
// still starting: the page that shows it waits less. Call it once, before anything else.
func (s *Session) Ahead(build string) { s.readAhead(func([]storage.About) string { return build }) }

// AheadOfTag is Ahead where the address is a tag's, which names no build: that of the build touched last is the likeliest.
func (s *Session) AheadOfTag() {
	s.readAhead(func(builds []storage.About) string {
		if builds = living(builds, false); len(builds) > 0 {
			return builds[0].Build
		}
		return ""
	})
}

func (s *Session) readAhead(of func(builds []storage.About) string) {
	a := &ahead{begun: make(chan struct{}), done: make(chan struct{})}
	s.ahead = a
	ctx := context.Background()
	go func() {
		defer close(a.done)
		phone, builds, err := s.read(ctx)
		a.begin = s.begin(phone, builds, err)
		close(a.begun)
		if a.build = of(builds); a.build == "" || phone == "" {
			return
		}
		if log, err := storage.Open(ctx, s.Store, a.build, s.Device.Shell.Program()); err == nil {
			a.log = log
		}
	}()
}

// Await waits until what was begun ahead is read, but not longer than that, and then opens it: the first page that is drawn
// is the one that was asked for. Only before anything is drawn.
func (s *Session) Await(longest time.Duration) {
	a := s.ahead
	select {
	case <-a.done:
	case <-time.After(longest):
		return
	}
	s.Begin(context.Background())()
	if a.log != nil {
		s.ahead = nil
		s.use(a.log)
	}
}
