package harness

import (
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// FoldName returns what a name is compared by: upper case, without spaces and dashes, O for 0. Two names that fold to the
// same cannot be told apart on a greasy tag.
func FoldName(name string) string {
	return strings.Map(folded, name)
}

func folded(r rune) rune {
	switch {
	case r == '0', r == 'o':
		return 'O'
	case 'a' <= r && r <= 'z':
		return r - 'a' + 'A'
	case unicode.IsSpace(r), r == '-':
		return -1
	case r < utf8.RuneSelf:
		return r
	case unicode.Is(unicode.Pd, r), unicode.Is(unicode.Cf, r):
		return -1
	}
	return unicode.ToUpper(r)
}

// WireNamed returns the wire that has this name, or one that cannot be told from it. Wires that are gone count, as their
// tags may still be about; of several the first that lives is returned. The wire with the id except is passed over, and
// an empty name is nobody's. Cost: linear in the wires.
func (b *Build) WireNamed(name, except string) (w Wire, ok bool) {
	fold := FoldName(name)
	if fold == "" {
		return Wire{}, false
	}
	for _, all := range [2][]Wire{b.Wires.All(), b.Wires.Gone()} {
		for _, w := range all {
			if w.ID != except && FoldName(w.Name) == fold {
				return w, true
			}
		}
	}
	return Wire{}, false
}

// wireNumberLimit keeps a name that is a date or a part number from driving the numbers up. Our choice: a hundred times
// the wires of a large harness.
const wireNumberLimit = 100_000

// NextWireName returns a name for a new wire, "W27": one above the highest number that any wire has or had, so that no
// name comes back on another wire.
func (b *Build) NextWireName() string {
	taken := map[string]bool{}
	highest := 0
	for _, all := range [2][]Wire{b.Wires.All(), b.Wires.Gone()} {
		for _, w := range all {
			fold := FoldName(w.Name)
			taken[fold] = true
			digits, ok := strings.CutPrefix(fold, "W")
			n, err := strconv.Atoi(strings.ReplaceAll(digits, "O", "0"))
			if ok && err == nil && n < wireNumberLimit {
				highest = max(highest, n)
			}
		}
	}
	for n := highest + 1; ; n++ {
		if name := "W" + strconv.Itoa(n); !taken[FoldName(name)] {
			return name
		}
	}
}
