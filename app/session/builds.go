package session

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/google/uuid"
	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/calc/harness"
	"loomwright/calc/sorting"
	"loomwright/calc/tag"
	"loomwright/calc/unit"
	"loomwright/storage"
)

// Begin reads this phone's id and the list of builds. It waits for the store; what it returns puts the answer into
// the session and belongs to the goroutine that draws.
func (s *Session) Begin(ctx context.Context) (use func()) {
	if a := s.ahead; a != nil {
		<-a.begun
		if begin := a.begin; begin != nil {
			a.begin = nil
			return begin
		}
	}
	return s.begin(s.read(ctx))
}

func (s *Session) begin(phone string, builds []storage.About, err error) (use func()) {
	return func() {
		s.Phone, s.builds, s.fault, s.began = phone, builds, err, true
		s.rev++
	}
}

// read returns this phone's id, a fresh one where it has none yet, and the list of builds. The id is "" if it could not be
// read: then nobody knows whose the next edit is, and no build is opened.
func (s *Session) read(ctx context.Context) (phone string, builds []storage.About, err error) {
	phone, err = s.Store.Meta(ctx, storage.DeviceKey)
	if errors.Is(err, storage.ErrMissing) {
		phone, err = s.newPhone(), nil
		if err = s.Store.SetMeta(ctx, storage.DeviceKey, phone); errors.Is(err, storage.ErrReadOnly) {
			err = nil // it is the other tab's to keep
		}
	}
	if err != nil {
		return "", nil, err
	}
	builds, err = s.Store.Builds(ctx)
	return phone, builds, err
}

// newPhone returns a short fresh device id.
func (s *Session) newPhone() string { return strings.ReplaceAll(s.NewID(), "-", "")[:12] }

// Began tells whether the list of builds has been read, and what went wrong.
func (s *Session) Began() (bool, error) { return s.began, s.fault }

// Builds returns the living builds, the last touched first.
func (s *Session) Builds() []storage.About { return living(s.builds, false) }

// GoneBuilds returns the deleted builds.
func (s *Session) GoneBuilds() []storage.About { return living(s.builds, true) }

// note keeps the list of builds up to date with an edit.
func (s *Session) note(a storage.About) {
	for i := range s.builds {
		if s.builds[i].Build == a.Build {
			s.builds[i] = a
			return
		}
	}
	s.builds = append(s.builds, a)
}

// Load reads a build. It waits for the store; use opens it and belongs to the goroutine that draws.
func (s *Session) Load(ctx context.Context, build string) (use func(), err error) {
	return s.LoadRead(ctx, build, nil)
}

// LoadRead is Load of a build that was just read, so that it is not read twice; log may be nil.
func (s *Session) LoadRead(ctx context.Context, build string, log *storage.Log) (use func(), err error) {
	if err := s.Settle(); err != nil {
		return nil, fmt.Errorf("session: the last edits are not saved yet: %w", err)
	}
	known := func() {}
	if s.began && s.Phone == "" { // the start could not read it
		phone, builds, err := s.read(ctx)
		if phone == "" {
			return nil, fmt.Errorf("session: the id of this phone: %w", err)
		}
		known = func() { s.Phone, s.builds, s.fault = phone, builds, err }
	}
	if log != nil {
		return func() { known(); s.use(log) }, nil
	}
	if a := s.ahead; a != nil {
		s.ahead = nil
		if <-a.done; a.log != nil && a.build == build {
			return func() { known(); s.use(a.log) }, nil
		}
	}
	log, err = storage.Open(ctx, s.Store, build, s.Device.Shell.Program())
	if err != nil {
		return nil, err
	}
	return func() { known(); s.use(log) }, nil
}

func (s *Session) use(log *storage.Log) {
	s.log = log
	s.rested, s.edits = 0, 0
	if log.NeedsHistory() { // it was opened from a snapshot
		s.rested, s.edits = log.Clock(), log.Len()
	}
	s.cache = cache{}
	s.notice, s.expected = Notice{}, nil
	s.rev++
	s.saver.mu.Lock()
	s.saver.saved[log.Build()] = log.Counts()[s.Phone]
	s.saver.mu.Unlock()
}

// Close closes the open build. Its edits go on being saved.
func (s *Session) Close() { s.log, s.cache, s.expected = nil, cache{}, nil; s.rev++ }

// Create makes a new build, opens it and starts to save it. With it come a controller to start the walk at and the
// three usual looms.
func (s *Session) Create(settings harness.Settings) error {
	if settings.Unit == "" {
		settings.Unit = unit.Metric
	}
	id := s.NewID()
	log := storage.New(id)
	changes := []storage.Change{
		storage.Put(harness.KindSettings, id, harness.Settings{}, settings),
		storage.Put(harness.KindPlace, s.NewID(), harness.Place{}, harness.Place{Name: "Controller", Kind: harness.Controller}),
	}
	for i, name := range []string{"Main", "Power and ground", "Cabin"} {
		changes = append(changes, storage.Put(harness.KindLoom, s.NewID(), harness.Loom{}, harness.Loom{Name: name, Order: float64(i + 1)}))
	}
	line, err := log.Commit(s.Phone, s.at(), changes)
	if err != nil {
		return fmt.Errorf("session: new build: %w", err)
	}
	s.use(log)
	s.keep(line)
	return nil
}

// Remove deletes a build or brings it back, and tells then. Its lines stay where they are.
func (s *Session) Remove(ctx app.Context, build string, gone bool, then func(app.Context, error)) {
	s.with(ctx, build, func(ctx app.Context, log *storage.Log, err error) {
		if err != nil {
			then(ctx, err)
			return
		}
		change := storage.Undelete(harness.KindSettings, build)
		if gone {
			change = storage.Delete(harness.KindSettings, build)
		}
		line, err := log.Commit(s.Phone, s.at(), []storage.Change{change})
		if err == nil {
			s.store(log, line)
		}
		if gone && s.ID() == build {
			s.Close()
		}
		then(ctx, err)
	})
}

// with hands over the log of a build: the open one, or one that is loaded for it.
func (s *Session) with(ctx app.Context, build string, then func(app.Context, *storage.Log, error)) {
	if s.ID() == build {
		then(ctx, s.log, nil)
		return
	}
	ctx.Async(func() {
		log, err := storage.Open(context.Background(), s.Store, build, s.Device.Shell.Program())
		s.Later(ctx, func(ctx app.Context) { then(ctx, log, err) })
	})
}

// FreshID returns an id for a new record.
func (s *Session) FreshID() string { return s.NewID() }

// FreshCode returns a tag code that no tag of the open build has or had, nor one of the codes in also.
func (s *Session) FreshCode(also ...string) (string, error) {
	return freshCode(s.Random, s.B(), also...)
}

func freshCode(random io.Reader, b *harness.Build, also ...string) (string, error) {
	used := map[string]bool{}
	for _, code := range also {
		used[code] = true
	}
	if b != nil {
		for _, t := range b.Tags.All() {
			used[t.Code] = true
		}
		for _, t := range b.Tags.Gone() {
			used[t.Code] = true
		}
	}
	return tag.NewCode(random, func(code string) bool { return used[code] })
}

// NewUUID is the usual Deps.NewID.
func NewUUID() string { return uuid.NewString() }

func living(all []storage.About, gone bool) []storage.About {
	var out []storage.About
	for _, a := range all {
		if a.Gone == gone {
			out = append(out, a)
		}
	}
	sorting.By(out, func(a, b storage.About) int { return strings.Compare(b.At, a.At) })
	return out
}
