package unit

import (
	"errors"
	"fmt"
)

// Figure is a number that is shown, with how it comes about.
type Figure struct {
	What    string // what it is: "Length to cut of W31"
	Value   string // as it is shown, with its unit: "2 850 mm"; "unknown" where it is not known
	Formula string // how it comes from the terms, in words
	Terms   []Term // what went in, and the steps between
	Source  string // where the formula comes from
	Note    string // what is missing, or should be known beside it
	Of, ID  string // the kind and id of the record where it is changed; may be empty
}

// ErrUnexplained is a figure that nobody could follow.
var ErrUnexplained = errors.New("figure without an account")

// Check returns ErrUnexplained, and what is missing, for a figure that says not all of what it is, its terms and its source.
func (f Figure) Check() error {
	missing := ""
	switch {
	case f.What == "":
		missing = "what it is"
	case f.Value == "":
		missing = "its value"
	case len(f.Terms) == 0:
		missing = "its terms"
	case f.Source == "":
		missing = "its source"
	}
	for _, t := range f.Terms {
		switch {
		case t.Name == "":
			missing = "the name of a term"
		case t.String() == "":
			missing = "the value of " + t.Name
		case t.Formula == "" && t.Source == "" && t.Of == "" && t.Card == "":
			missing = "where " + t.Name + " comes from"
		}
	}
	if missing == "" {
		return nil
	}
	return fmt.Errorf("unit: figure %q: %s is missing: %w", f.What, missing, ErrUnexplained)
}
