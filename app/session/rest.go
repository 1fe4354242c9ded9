package session

import (
	"context"
	"errors"
	"strconv"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/storage"
)

// Rest writes a snapshot of the open build, so that it opens at once the next time, and what the first page says
// of it. Call it when the app goes out of sight or the build is left: never while a tap waits.
func (s *Session) Rest() {
	if s.log == nil {
		return
	}
	s.Remember()
	if !s.Store.Writer() || s.log.Len() < snapshotFrom || s.rested == s.log.Clock() {
		return
	}
	s.rested = s.log.Clock()
	s.edits = s.log.Len()
	snapshot := s.log.Snapshot(s.Device.Shell.Program())
	go func() {
		// Only what is saved may be in a snapshot. Losing one loses nothing.
		if s.Settle() == nil {
			_ = s.Store.PutSnapshot(context.Background(), snapshot)
		}
	}()
}

// Warm reads what opening a build left for later, so that no tap has to wait for it: deleted records and what phones
// disagree on, and what the readings say.
func (s *Session) Warm(build string) {
	if s.ID() == build {
		s.log.Conflicts()
		s.Graph()
	}
}

// Pause is told now and then that nobody has tapped for a while: it rests where much has happened since the last time.
func (s *Session) Pause() {
	if s.log != nil && s.log.Len()-s.edits >= snapshotFrom && s.Mark().Pending == 0 {
		s.Rest()
	}
}

// snapshotFrom is the number of edits from which a snapshot opens faster than the edits themselves. Our choice.
const snapshotFrom = 200

// BackupDue returns how many edits came since the last backup of the open build.
func (s *Session) BackupDue() int {
	if s.log == nil {
		return 0
	}
	at, _ := strconv.Atoi(s.Device.Prefs.Get("backup:" + s.ID()))
	return s.log.Len() - at
}

// AskToKeep asks the browser, in a tap, to keep the data for good. The answer is shown on the phone's page.
func (s *Session) AskToKeep(ctx app.Context) {
	ctx.Async(func() { _, _ = s.Device.Storage.Persist(context.Background()) })
}

// TakeOver makes this tab the writer and reads the open build again.
func (s *Session) TakeOver(ctx app.Context) {
	build := s.ID()
	ctx.Async(func() {
		err := s.Store.TakeOver(context.Background())
		var log *storage.Log
		if err == nil && build != "" {
			log, err = storage.Open(context.Background(), s.Store, build, s.Device.Shell.Program())
		}
		s.Later(ctx, func(app.Context) {
			if err != nil {
				s.Say(Notice{Tone: "bad", Text: "This tab could not take over: " + err.Error() + ". Nothing was changed."})
				return
			}
			if log != nil {
				s.use(log)
			}
			s.rev++
		})
	})
}

// Update starts the newer version of the app once everything is saved.
func (s *Session) Update(ctx app.Context) {
	ctx.Async(func() {
		err := s.Settle()
		s.Later(ctx, func(app.Context) {
			if err != nil {
				s.Say(Notice{Tone: "bad", Text: "Not yet: the last entries are not saved. Save a backup first."})
				return
			}
			s.Device.Shell.ApplyUpdate()
		})
	})
}

// Erase takes every build off this phone.
func (s *Session) Erase(ctx app.Context, then func(app.Context, error)) {
	s.Close()
	ctx.Async(func() {
		_ = s.Settle() // what is still on its way must not arrive after the wipe
		err := s.Store.Wipe(context.Background())
		var use func()
		if err == nil {
			use = s.Begin(context.Background())
		}
		s.Later(ctx, func(ctx app.Context) {
			if use != nil {
				use()
			}
			then(ctx, err)
		})
	})
}

// Follow handles news from the store: another tab wrote, or the right to write moved.
func (s *Session) Follow(ctx app.Context, e storage.Event) {
	switch e.What {
	case storage.Changed:
		if e.Build == s.ID() && !s.Store.Writer() {
			s.reload(ctx)
		}
	case storage.WriterGained:
		s.reload(ctx)
	case storage.Blocked:
		s.Say(Notice{Tone: "warn", Text: "Another tab with an older version keeps the data. Close it."})
	case storage.Closed:
		s.Say(Notice{Tone: "warn", Text: "The app was updated in another tab. What was saved is safe. Reload this page."})
	}
	s.rev++
}

// Rebase handles a store that is ahead of this page: it reads the open build again and makes the edits that are not
// saved once more, on top of what is stored.
func (s *Session) Rebase(ctx app.Context) {
	build := s.ID()
	if build == "" || s.rebasing || !errors.Is(s.Mark().Err, storage.ErrStale) {
		return
	}
	s.rebasing = true
	ctx.Async(func() {
		log, err := storage.Open(context.Background(), s.Store, build, s.Device.Shell.Program())
		s.Later(ctx, func(app.Context) {
			s.rebasing = false
			if err != nil || s.ID() != build {
				return
			}
			pending := s.saver.withdraw(build)
			s.use(log)
			for _, l := range pending {
				if err := s.Do(l.Changes...); err != nil {
					s.Say(Notice{Tone: "bad", Text: "An entry could not be made again after another tab wrote: " + err.Error() + ". Look at what you entered last."})
				}
			}
		})
	})
}

func (s *Session) reload(ctx app.Context) {
	build := s.ID()
	if build == "" {
		return
	}
	ctx.Async(func() {
		log, err := storage.Open(context.Background(), s.Store, build, s.Device.Shell.Program())
		s.Later(ctx, func(app.Context) {
			if err == nil && s.ID() == build && s.Mark().Pending == 0 {
				s.use(log)
			}
		})
	})
}
