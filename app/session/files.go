package session

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/device"
	"loomwright/calc/harness"
	"loomwright/storage"
)

// Incoming is a build file that was read and found good, before anything is done with it.
type Incoming struct {
	Title, Car string
	Edits      int
	Cut        bool // the end is missing: only the first Edits are there
	Here       bool // the build is on this phone
	New        int  // with Here: edits that this phone does not have

	Places, Runs, Wires int // that live in it

	log   *storage.Log
	again func(ctx context.Context) storage.Source // reads the file once more, if there are photos in it
}

// Lines says what is in the file.
func (in *Incoming) Lines() []string {
	lines := []string{fmt.Sprintf("%d entries", in.Edits)}
	if in.Car != "" {
		lines = append([]string{in.Car}, lines...)
	}
	return append(lines, fmt.Sprintf("%d places, %d runs, %d wires", in.Places, in.Runs, in.Wires))
}

// ReadFile lets the person choose a build file, reads and checks it, and tells then. Nothing changes.
func (s *Session) ReadFile(ctx app.Context, then func(app.Context, *Incoming, error)) {
	ctx.Async(func() {
		f, err := s.Device.Files.Choose(context.Background())
		var in *Incoming
		if err == nil {
			in, err = s.incoming(context.Background(), f.Read)
		}
		s.Later(ctx, func(ctx app.Context) { then(ctx, in, err) })
	})
}

// Incoming checks the bytes of a build file. It waits for the store.
func (s *Session) Incoming(ctx context.Context, data []byte) (*Incoming, error) {
	return s.incoming(ctx, func(context.Context, bool) storage.Source { return storage.SourceOf(bytes.NewReader(data)) })
}

// incoming checks a build file that read reads from its beginning, keeping photos or not.
func (s *Session) incoming(ctx context.Context, read func(ctx context.Context, keep bool) storage.Source) (*Incoming, error) {
	in := &Incoming{}
	log, err := storage.Read(read(ctx, false), func(string, storage.Blob) error {
		in.again = func(ctx context.Context) storage.Source { return read(ctx, true) }
		return nil
	})
	var cut *storage.FileError
	if errors.As(err, &cut) && cut.Edits > 0 && errors.Is(err, storage.ErrCorrupt) {
		if log, err = storage.Salvage(read(ctx, false)); err == nil {
			in.Cut = true
		}
	}
	if err != nil {
		return nil, err
	}
	b := log.State()
	in.Title, in.Car, in.Edits, in.log = b.Settings.Title, b.Settings.Car, log.Len(), log
	in.Places, in.Runs, in.Wires = b.Places.Len(), b.Runs.Len(), b.Wires.Len()
	if in.Title == "" {
		in.Title = "A build without a name"
	}
	if in.Cut {
		return in, nil
	}
	have := map[storage.Ref]bool{}
	err = s.Store.Lines(ctx, log.Build(), func(batch []storage.Line) error {
		for _, l := range batch {
			have[l.Ref()] = true
		}
		return nil
	})
	if err != nil && !errors.Is(err, storage.ErrMissing) {
		return nil, err
	}
	in.Here = len(have) > 0
	for _, l := range log.Lines() {
		if !have[l.Ref()] {
			in.New++
		}
	}
	return in, nil
}

// keepPhotos keeps the photos of a file, and then goes on: a record never names one that is not there.
func (s *Session) keepPhotos(ctx app.Context, in *Incoming, then func(app.Context, string, error), on func(app.Context)) {
	if in.again == nil || in.Cut {
		on(ctx)
		return
	}
	ctx.Async(func() {
		_, err := storage.Read(in.again(context.Background()), func(_ string, b storage.Blob) error {
			_, err := s.Store.PutBlob(context.Background(), b)
			return err
		})
		s.Later(ctx, func(ctx app.Context) {
			if err != nil {
				then(ctx, "", err)
				return
			}
			on(ctx)
		})
	})
}

// Take merges a file into the build of this phone, or keeps it beside the others if the build is not here, and
// opens it.
func (s *Session) Take(ctx app.Context, in *Incoming, then func(app.Context, string, error)) {
	s.keepPhotos(ctx, in, then, func(ctx app.Context) { s.take(ctx, in, then) })
}

func (s *Session) take(ctx app.Context, in *Incoming, then func(app.Context, string, error)) {
	if !in.Here {
		s.adopt(in.log)
		then(ctx, in.log.Build(), nil)
		return
	}
	ctx.Async(func() {
		use, err := s.Load(context.Background(), in.log.Build())
		s.Later(ctx, func(ctx app.Context) {
			if err != nil {
				then(ctx, "", err)
				return
			}
			use()
			s.History(ctx, func(ctx app.Context) {
				s.merge(ctx, in, then)
			})
		})
	})
}

// merge merges a file into the open build. A file that holds edits of this phone which the phone does not have, as
// after a restore, is merged under a fresh id: no two edits may ever share a name.
func (s *Session) merge(ctx app.Context, in *Incoming, then func(app.Context, string, error)) {
	merged, err := s.log.Merge(s.Phone, s.at(), in.log.Lines())
	if errors.Is(err, storage.ErrDeviceUsed) {
		fresh := s.newPhone()
		ctx.Async(func() {
			err := s.Store.SetMeta(context.Background(), storage.DeviceKey, fresh)
			s.Later(ctx, func(ctx app.Context) {
				if err != nil {
					then(ctx, "", err)
					return
				}
				s.Phone = fresh
				s.merge(ctx, in, then)
			})
		})
		return
	}
	if err != nil {
		then(ctx, "", err)
		return
	}
	if len(merged.Lines) > 0 {
		s.keep(merged.Lines...)
	}
	s.Say(mergedNotice(merged))
	then(ctx, s.ID(), nil)
}

func mergedNotice(m storage.Merged) Notice {
	if m.Added == 0 {
		return Notice{Text: "Everything in the file was here already."}
	}
	n := Notice{Tone: "good", Text: fmt.Sprintf("%d entries were merged in. Nothing was replaced.", m.Added)}
	if len(m.Conflicts) > 0 {
		n.Tone = "warn"
		word := "values differ"
		if len(m.Conflicts) == 1 {
			word = "value differs"
		}
		n.Text += fmt.Sprintf(" %d %s between the phones: choose under Plan.", len(m.Conflicts), word)
	}
	return n
}

// adopt keeps a whole log that came from elsewhere and opens it.
func (s *Session) adopt(log *storage.Log) {
	s.use(log)
	s.keep(log.Lines()...)
}

// TakeCopy opens a file as a build of its own.
func (s *Session) TakeCopy(ctx app.Context, in *Incoming, then func(app.Context, string, error)) {
	s.keepPhotos(ctx, in, then, func(ctx app.Context) {
		id, err := s.copyOf(in.log)
		then(ctx, id, err)
	})
}

// Duplicate makes a copy of the open build and opens it.
func (s *Session) Duplicate(ctx app.Context, then func(app.Context, string, error)) {
	id, err := s.copyOf(s.log)
	then(ctx, id, err)
}

func (s *Session) copyOf(log *storage.Log) (string, error) {
	var drawn []string
	var failed error
	next := func() string {
		code, err := freshCode(s.Random, log.State(), drawn...)
		failed = errors.Join(failed, err)
		drawn = append(drawn, code)
		return code
	}
	id := s.NewID()
	made, err := storage.Copy(log, id, s.Phone, s.at(), next)
	if err = errors.Join(err, failed); err != nil {
		return "", err
	}
	old := made.State().Settings
	renamed := old
	renamed.Title = strings.TrimSpace(old.Title + " copy")
	if _, err := made.Commit(s.Phone, s.at(), []storage.Change{storage.Put(harness.KindSettings, id, old, renamed)}); err != nil {
		return "", err
	}
	s.adopt(made)
	return id, nil
}

// demoFile is the demo build beside the app's own files.
const demoFile = "demo.build"

// Demo opens the demo build. It is an ordinary build: what is changed in it stays, and opening the demo again merges
// nothing new.
func (s *Session) Demo(ctx app.Context, then func(app.Context, string, error)) {
	ctx.Async(func() {
		f, err := s.Device.Files.Own(context.Background(), demoFile)
		var in *Incoming
		if err == nil {
			in, err = s.incoming(context.Background(), f.Read)
		}
		s.Later(ctx, func(ctx app.Context) {
			if err != nil {
				then(ctx, "", err)
				return
			}
			s.Take(ctx, in, func(ctx app.Context, build string, err error) {
				if err == nil && s.B().Settings.Gone {
					s.Remove(ctx, build, false, func(ctx app.Context, err error) { then(ctx, build, err) })
					return
				}
				then(ctx, build, err)
			})
		})
	})
}

// Backup makes the build file of the open build and tells then; Send hands it over on the next tap. Photos that are not
// on this phone are left out.
func (s *Session) Backup(ctx app.Context, history bool, then func(app.Context, device.File, error)) {
	s.History(ctx, func(ctx app.Context) {
		log, name := s.log, s.fileName()
		var out *storage.Outgoing
		var err error
		if !history {
			name = strings.TrimSuffix(name, ".build") + "-as-it-stands.build"
			log, err = storage.WithoutHistory(log, s.newPhone(), s.at())
		}
		if err == nil {
			out, err = log.Outgoing()
		}
		if err != nil {
			then(ctx, device.File{}, err)
			return
		}
		ctx.Async(func() {
			made := s.Device.Files.Make()
			err := out.Write(made, func(hash string) (storage.Blob, error) { return s.Store.Blob(context.Background(), hash) })
			s.Later(ctx, func(ctx app.Context) { then(ctx, made.Done(name, "application/octet-stream"), err) })
		})
	})
}

// Send hands a file to the share sheet or the download folder, straight after a tap.
func (s *Session) Send(ctx app.Context, f device.File, then func(app.Context, device.Way, error)) {
	ctx.Async(func() {
		way, err := s.Device.Files.Save(context.Background(), f)
		s.Later(ctx, func(ctx app.Context) {
			if err == nil && strings.HasSuffix(f.Name, ".build") {
				s.Device.Prefs.Put("backup", s.at())
				s.Device.Prefs.Put("backup:"+s.ID(), fmt.Sprint(s.log.Len()))
			}
			then(ctx, way, err)
		})
	})
}

// fileName is the title of the build and the day, in signs that every file system takes.
func (s *Session) fileName() string {
	return FileName(s.B().Settings.Title) + "-" + s.Now().Format("2006-01-02") + ".build"
}

// FileName makes a name of plain signs from a title.
func FileName(title string) string {
	var b strings.Builder
	for _, r := range strings.ToLower(title) {
		switch {
		case 'a' <= r && r <= 'z', '0' <= r && r <= '9':
			b.WriteRune(r)
		case b.Len() > 0 && !strings.HasSuffix(b.String(), "-"):
			b.WriteByte('-')
		}
		if b.Len() >= 40 {
			break
		}
	}
	if name := strings.Trim(b.String(), "-"); name != "" {
		return name
	}
	return "build"
}
