package session

import (
	"context"
	"errors"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/storage"
)

// CanUndo tells whether this phone has an edit to take back in the open build.
func (s *Session) CanUndo() bool {
	if s.log == nil {
		return false
	}
	_, ok := s.log.CanUndo(s.Phone)
	return ok
}

// CanRedo tells whether an undo can be taken back.
func (s *Session) CanRedo() bool {
	if s.log == nil {
		return false
	}
	_, ok := s.log.CanRedo(s.Phone)
	return ok
}

// Undo takes back this phone's last edit that is not undone yet.
func (s *Session) Undo(ctx app.Context) { s.step(ctx, "Taken back.", (*storage.Log).Undo) }

// Redo takes back the last undo.
func (s *Session) Redo(ctx app.Context) { s.step(ctx, "Done again.", (*storage.Log).Redo) }

func (s *Session) step(ctx app.Context, word string, move func(l *storage.Log, device, at string) (storage.Line, storage.Report, error)) {
	if s.log == nil || s.Mark().ReadOnly {
		return
	}
	line, report, err := move(s.log, s.Phone, s.at())
	switch {
	case errors.Is(err, storage.ErrNeedsHistory):
		s.history(ctx, func(ctx app.Context) { s.step(ctx, word, move) })
		return
	case errors.Is(err, storage.ErrNothing):
		s.Say(Notice{Text: "Nothing left to take back on this phone."})
		return
	case err != nil:
		s.Say(Notice{Tone: "bad", Text: "That could not be taken back: " + err.Error() + ". Nothing was changed."})
		return
	}
	s.keep(line)
	text := word
	if len(report.Left) > 0 {
		var left []string
		for _, f := range report.Left {
			left = append(left, string(f.Kind)+" "+f.Field)
		}
		text += " Left as it is, because it was changed again since: " + strings.Join(left, ", ") + "."
	}
	s.Say(Notice{Text: text})
}

// history loads the lines that a snapshot stands for and goes on with then.
func (s *Session) history(ctx app.Context, then func(app.Context)) {
	log := s.log
	ctx.Async(func() {
		var lines []storage.Line
		err := s.Store.Lines(context.Background(), log.Build(), func(batch []storage.Line) error {
			lines = append(lines, batch...)
			return nil
		})
		s.Later(ctx, func(ctx app.Context) {
			if s.log != log {
				return
			}
			if err == nil {
				err = log.AddHistory(lines)
			}
			if err != nil {
				s.Say(Notice{Tone: "bad", Text: "The earlier edits could not be read: " + err.Error() + ". Nothing was changed."})
				return
			}
			then(ctx)
		})
	})
}

// History makes sure that the whole log is in memory and goes on with then.
func (s *Session) History(ctx app.Context, then func(app.Context)) {
	if s.log == nil || !s.log.NeedsHistory() {
		then(ctx)
		return
	}
	s.history(ctx, then)
}
