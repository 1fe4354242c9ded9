package storage

import (
	"errors"
	"fmt"
)

// One error for each decision a caller makes; test with errors.Is.
var (
	// ErrNotOurs: the bytes are not a build file. Say so; nothing was changed.
	ErrNotOurs = errors.New("storage: not a build file")
	// ErrTooNew: made by a newer version. Update the app, then open it again; errors.As gives a *TooNewError.
	ErrTooNew = errors.New("storage: made by a newer version")
	// ErrCorrupt: a line or the end of a file is not what it must be. Keep the bytes; offer Salvage.
	ErrCorrupt = errors.New("storage: damaged")
	// ErrForked: two different lines carry one device and number. Refuse, and offer a copy (see Copy).
	ErrForked = errors.New("storage: two different edits with one name")
	// ErrDeviceUsed: lines of this device exist that its log does not have, so the database was restored from an
	// older copy. Take a fresh device id and try again.
	ErrDeviceUsed = errors.New("storage: this device id has written elsewhere")
	// ErrTooBig: an edit is over a limit of the format. Shorten the text; nothing was changed.
	ErrTooBig = errors.New("storage: over a limit of the file format")
	// ErrNothing: the edit would change nothing, or there is nothing to undo or redo.
	ErrNothing = errors.New("storage: nothing to change")
	// ErrNeedsHistory: the log was opened from a snapshot, and this needs its earlier lines (see Log.AddHistory).
	ErrNeedsHistory = errors.New("storage: earlier lines not loaded yet")
	// ErrMissing: no such build, blob or value.
	ErrMissing = errors.New("storage: not found")
	// ErrNoSpace: the device is full. The edit is not saved: keep it, say so, offer export.
	ErrNoSpace = errors.New("storage: no space left on this device")
	// ErrStale: the store holds another line under this device and number, or a snapshot does not fit what came
	// after it. Load again.
	ErrStale = errors.New("storage: behind what is stored")
	// ErrReadOnly: another tab writes, or the database is of a newer version.
	ErrReadOnly = errors.New("storage: read only here")
	// ErrLost: the database is empty although edits were saved in it. Offer the backup, never a fresh start.
	ErrLost = errors.New("storage: saved edits are gone from this browser")
)

// TooNewError is ErrTooNew with the two versions.
type TooNewError struct {
	Version int // of the file or database
	Reads   int // the newest that this app reads
}

func (e *TooNewError) Error() string {
	return fmt.Sprintf("%v: version %d, this app reads up to %d", ErrTooNew, e.Version, e.Reads)
}

// Is makes errors.Is(err, ErrTooNew) hold.
func (e *TooNewError) Is(target error) bool { return target == ErrTooNew }

// FileError says where and why a build file was refused. It wraps one of the errors above.
type FileError struct {
	Line  int // from 1; the line after the last when the end is missing
	Edits int // how many good edits stand before it: what Salvage would open
	Err   error
}

func (e *FileError) Error() string { return fmt.Sprintf("line %d: %v", e.Line, e.Err) }
func (e *FileError) Unwrap() error { return e.Err }
