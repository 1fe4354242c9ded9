package session

import (
	"context"

	"loomwright/storage"
)

// ahead is what was begun before the first page asked for it.
type ahead struct {
	begun chan func() // the answer of Begin
	build string
	log   chan *storage.Log // nil if it could not be opened: then it is tried again when asked for
}

// Ahead begins to read the list of builds, and the build with that id if it is not empty, while the framework is
// still starting: the page that shows it waits less. Call it once, before anything else.
func (s *Session) Ahead(build string) {
	a := ahead{begun: make(chan func(), 1), build: build, log: make(chan *storage.Log, 1)}
	s.ahead = a
	ctx := context.Background()
	go func() { a.begun <- s.begin(ctx) }()
	if build == "" {
		return
	}
	go func() {
		log, err := storage.Open(ctx, s.Store, build, s.Device.Shell.Program())
		if err != nil {
			log = nil
		}
		a.log <- log
	}()
}
