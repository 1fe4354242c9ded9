package sheet

import (
	"errors"
	"sync"

	"loomwright/calc/tag"
)

// Order is what the program that makes PDF, and what else is heavy, is asked for, written as JSON. Beside it go the build as it stands and the files
// of Options.Font.
type Order struct {
	Kind    string
	Format  Format // empty is PDF
	Build   string // its id
	Options Options
}

// codes names the errors that a caller tells apart, so that they stay apart on their way out of another program.
var codes = sync.OnceValue(func() map[string]error {
	return map[string]error{
		"kind": ErrKind, "format": ErrFormat, "font": ErrFont, "none": ErrNoTags, "small": tag.ErrTooSmall,
	}
})

// Code returns the name of what is wrong, "" for what has none.
func Code(err error) string {
	for code, known := range codes() {
		if errors.Is(err, known) {
			return code
		}
	}
	return ""
}

// Coded returns the error that has this name and text: errors.Is finds what Code has named.
func Coded(code, text string) error { return &coded{text, codes()[code]} }

type coded struct {
	text string
	is   error
}

func (e *coded) Error() string { return e.text }
func (e *coded) Unwrap() error { return e.is }
