package storage

import (
	"bytes"
	"errors"
	"fmt"
	"maps"
	"slices"
	"strconv"

	"github.com/go-json-experiment/json/jsontext"

	"loomwright/calc/harness"
)

// The limits of the format. They are our choice: far above any real build, low enough that no file can choke a phone.
const (
	MaxClock  = 1 << 53  // the highest clock; every whole number up to here is exact in any JSON reader
	MaxFile   = 64 << 20 // bytes of a file without its blobs
	MaxLine   = 1 << 20  // bytes of a line
	MaxBlob   = 8 << 20  // bytes of a blob
	MaxString = 4 << 10  // bytes of a string between its quotes, as written
	maxDepth  = 16       // levels of objects and arrays, the line itself being the first
	maxID     = 64       // signs of an id or a kind
)

// ParseLine checks one line by itself and returns it with its bytes, which it keeps: do not change raw afterwards.
// The error wraps ErrCorrupt, or ErrTooBig where a limit is the reason.
func ParseLine(raw []byte) (Line, error) {
	var p parser
	return p.line(raw)
}

// ParseSaved reads lines that a store kept, each with a newline; the last newline may be missing. They were checked
// before they were saved, so the types of fields are not checked again: one that does not fit what this version knows
// is passed over in the state and told by Log.Problems. A build that was saved always opens.
func ParseSaved(data []byte) ([]Line, error) {
	p := parser{saved: true}
	lines := make([]Line, 0, bytes.Count(data, []byte{'\n'})+1)
	for len(data) > 0 {
		raw, rest, _ := bytes.Cut(data, []byte{'\n'})
		line, err := p.line(raw[:len(raw):len(raw)])
		if err != nil {
			return nil, fmt.Errorf("line %d: %w", len(lines)+1, err)
		}
		lines, data = append(lines, line), rest
	}
	return lines, nil
}

// parser reads lines. One that reads many shares the strings that they have in common.
type parser struct {
	saved bool // the lines were checked before
	known map[string]string
	dec   *jsontext.Decoder
	buf   bytes.Buffer // not copied by dec: values that it reads are parts of the bytes given to begin
}

// begin starts to read JSON from raw.
func (p *parser) begin(raw []byte) {
	p.buf = *bytes.NewBuffer(raw)
	if p.dec == nil {
		p.dec = jsontext.NewDecoder(&p.buf)
	} else {
		p.dec.Reset(&p.buf)
	}
}

func corrupt(format string, args ...any) error {
	return fmt.Errorf("%w: %w", ErrCorrupt, fmt.Errorf(format, args...))
}

func (p *parser) line(raw []byte) (Line, error) {
	l := Line{Raw: raw}
	if err := withinLimits(raw); err != nil {
		return l, err
	}
	p.begin(raw)
	err := p.edit(&l)
	if err == nil {
		err = p.alone(raw)
	}
	if err != nil {
		return Line{}, corrupt("edit: %w", err)
	}
	if err := check(&l.Edit); err != nil {
		return Line{}, corrupt("edit %q %d: %w", l.Device, l.N, err)
	}
	return l, nil
}

// withinLimits looks at bytes only; whether they are JSON is for the decoder.
func withinLimits(raw []byte) error {
	if len(raw) > MaxLine {
		return fmt.Errorf("%w: a line of %d bytes, the limit is %d", ErrTooBig, len(raw), MaxLine)
	}
	depth, start := 0, -1
	for i := 0; i < len(raw); i++ {
		switch c := raw[i]; {
		case c == '\n':
			return corrupt("a newline inside a line")
		case start >= 0 && c == '\\':
			i++
		case c == '"' && start >= 0:
			if i-start-1 > MaxString {
				return fmt.Errorf("%w: a text of %d bytes, the limit is %d", ErrTooBig, i-start-1, MaxString)
			}
			start = -1
		case c == '"':
			start = i
		case start >= 0:
		case c == '{' || c == '[':
			if depth++; depth > maxDepth {
				return fmt.Errorf("%w: more than %d levels", ErrTooBig, maxDepth)
			}
		case c == '}' || c == ']':
			depth--
		}
	}
	return nil
}

func (p *parser) edit(l *Line) error {
	return p.object(func(name string) (err error) {
		switch name {
		case "device":
			l.Device, err = p.text()
		case "n":
			l.N, err = p.number()
		case "clock":
			l.Clock, err = p.number()
		case "at":
			l.At, err = p.unshared()
		case "undoes":
			l.Undoes, err = p.number()
		case "seen":
			l.Seen = map[string]int64{}
			err = p.object(func(device string) (err error) {
				l.Seen[device], err = p.number()
				return err
			})
		case "changes":
			if err = p.token('['); err != nil {
				return err
			}
			for p.dec.PeekKind() != ']' {
				var c Change
				if err := p.change(&c, l.Raw); err != nil {
					return err
				}
				l.Changes = append(l.Changes, c)
			}
			err = p.token(']')
		default:
			err = p.dec.SkipValue()
		}
		return err
	})
}

func (p *parser) change(c *Change, raw []byte) error {
	var set, was []byte // as objects
	err := p.object(func(name string) (err error) {
		switch name {
		case "kind":
			var kind string
			kind, err = p.text()
			c.Kind = harness.Kind(kind)
		case "id":
			c.ID, err = p.text()
		case "set":
			c.Set, set, err = p.fields(raw)
		case "was":
			c.Was, was, err = p.fields(raw)
		default:
			err = p.dec.SkipValue()
		}
		return err
	})
	for _, object := range [][]byte{set, was} {
		if err == nil && object != nil && !p.saved {
			if err = harness.CheckFields(c.Kind, object); err != nil {
				err = fmt.Errorf("%s %.80q: %w", c.Kind, c.ID, err)
			}
		}
	}
	return err
}

// fields reads an object, and returns its bytes too.
func (p *parser) fields(raw []byte) (fields Fields, object []byte, err error) {
	if err := p.token('{'); err != nil {
		return nil, nil, err
	}
	start := p.dec.InputOffset() - 1
	err = p.members(func(name string) error {
		v, err := p.value()
		fields = append(fields, Field{name, v})
		return err
	})
	return fields, raw[start:p.dec.InputOffset()], err
}

// whole reads a line that is one object. With an error it returns what came before.
func (p *parser) whole(raw []byte) (Fields, error) {
	p.begin(raw)
	fields, _, err := p.fields(raw)
	if err == nil {
		err = p.alone(raw)
	}
	return fields, err
}

// alone tells whether the value that was read is all there is.
func (p *parser) alone(raw []byte) error {
	if p.dec.InputOffset() != int64(len(bytes.TrimRight(raw, " \t\r"))) {
		return errors.New("more than one value in a line")
	}
	return nil
}

func (p *parser) object(member func(name string) error) error {
	if err := p.token('{'); err != nil {
		return err
	}
	return p.members(member)
}

func (p *parser) members(member func(name string) error) error {
	for p.dec.PeekKind() != '}' {
		name, err := p.text()
		if err != nil {
			return err
		}
		if err := member(name); err != nil {
			return err
		}
	}
	return p.token('}')
}

// value reads any value, as a part of the bytes given to begin.
func (p *parser) value() (jsontext.Value, error) {
	v, err := p.dec.ReadValue()
	return v[:len(v):len(v)], err
}

func (p *parser) token(kind jsontext.Kind) error {
	t, err := p.dec.ReadToken()
	if err == nil && t.Kind() != kind {
		err = fmt.Errorf("%s where %s should be", t.Kind(), kind)
	}
	return err
}

// text reads a string that is likely to come again.
func (p *parser) text() (string, error) {
	inner, err := p.unquoted()
	if err != nil {
		return "", err
	}
	s, ok := p.known[string(inner)]
	if !ok {
		if p.known == nil {
			p.known = map[string]string{}
		}
		s = string(inner)
		p.known[s] = s
	}
	return s, nil
}

func (p *parser) unshared() (string, error) {
	inner, err := p.unquoted()
	return string(inner), err
}

func (p *parser) unquoted() ([]byte, error) {
	v, err := p.dec.ReadValue()
	if err != nil {
		return nil, err
	}
	return unquoted(v)
}

// unquoted returns what a text says, as a part of it where it has no escapes.
func unquoted(v jsontext.Value) ([]byte, error) {
	if v.Kind() != '"' {
		return nil, fmt.Errorf("%s where a text should be", v.Kind())
	}
	if bytes.IndexByte(v, '\\') >= 0 {
		return jsontext.AppendUnquote(nil, v)
	}
	return v[1 : len(v)-1], nil
}

func (p *parser) number() (int64, error) {
	v, err := p.dec.ReadValue()
	if err != nil {
		return 0, err
	}
	return wholeNumber(v)
}

// wholeNumber returns what a number says.
func wholeNumber(v jsontext.Value) (int64, error) {
	n, err := strconv.ParseInt(string(v), 10, 64)
	if err != nil {
		return 0, fmt.Errorf("%.40s where a whole number should be", v)
	}
	return n, nil
}

// check is what can be said of one edit alone.
func check(e *Edit) error {
	switch {
	case !validID(e.Device):
		return fmt.Errorf("device %.80q: not an id", e.Device)
	case e.N < 1 || e.N > MaxClock:
		return fmt.Errorf("n %d: out of range", e.N)
	case e.Clock < 1 || e.Clock > MaxClock:
		return fmt.Errorf("clock %d: out of range", e.Clock)
	case e.Undoes < 0 || e.Undoes >= e.N:
		return fmt.Errorf("undoes %d: not an earlier line", e.Undoes)
	case len(e.Changes) == 0 && e.Undoes == 0 && len(e.Seen) == 0:
		return fmt.Errorf("neither a change nor a merge")
	}
	for device, n := range e.Seen {
		if !validID(device) || n < 1 || n > MaxClock {
			return fmt.Errorf("seen %.80q %d: not a line", device, n)
		}
	}
	var records map[key]bool
	if len(e.Changes) > 1 {
		records = make(map[key]bool, len(e.Changes))
	}
	for _, c := range e.Changes {
		if !validID(string(c.Kind)) || !validID(c.ID) {
			return fmt.Errorf("record %.80q %.80q: not an id", c.Kind, c.ID)
		}
		if records[key{c.Kind, c.ID}] {
			return fmt.Errorf("%s %q: changed twice in one edit", c.Kind, c.ID)
		}
		if records != nil {
			records[key{c.Kind, c.ID}] = true
		}
	}
	return nil
}

// validID holds for 1 to 64 letters, digits, - and _, so an id is safe in any address and file name.
func validID(s string) bool {
	if s == "" || len(s) > maxID {
		return false
	}
	for i := 0; i < len(s); i++ {
		switch c := s[i]; {
		case 'a' <= c && c <= 'z', 'A' <= c && c <= 'Z', '0' <= c && c <= '9', c == '-', c == '_':
		default:
			return false
		}
	}
	return true
}

// write gives an edit its bytes and reads them back, so that nothing is ever kept that could not be read again.
func (p *parser) write(e Edit) (Line, error) {
	b := append(make([]byte, 0, 256), `{"device":`...)
	b = appendText(b, e.Device)
	b = strconv.AppendInt(append(b, `,"n":`...), e.N, 10)
	b = strconv.AppendInt(append(b, `,"clock":`...), e.Clock, 10)
	if e.At != "" {
		b = appendText(append(b, `,"at":`...), e.At)
	}
	if e.Undoes != 0 {
		b = strconv.AppendInt(append(b, `,"undoes":`...), e.Undoes, 10)
	}
	if len(e.Seen) > 0 {
		b = append(b, `,"seen":{`...)
		for i, device := range slices.Sorted(maps.Keys(e.Seen)) {
			if i > 0 {
				b = append(b, ',')
			}
			b = append(appendText(b, device), ':')
			b = strconv.AppendInt(b, e.Seen[device], 10)
		}
		b = append(b, '}')
	}
	if len(e.Changes) > 0 {
		b = append(b, `,"changes":[`...)
		for i, c := range e.Changes {
			if i > 0 {
				b = append(b, ',')
			}
			b = appendText(append(b, `{"kind":`...), string(c.Kind))
			b = appendText(append(b, `,"id":`...), c.ID)
			if len(c.Set) > 0 {
				b = appendFields(append(b, `,"set":`...), c.Set)
			}
			if len(c.Was) > 0 {
				b = appendFields(append(b, `,"was":`...), c.Was)
			}
			b = append(b, '}')
		}
		b = append(b, ']')
	}
	return p.line(append(b, '}'))
}

// appendText appends a JSON string. What is not valid UTF-8 becomes U+FFFD.
func appendText(b []byte, s string) []byte {
	b, _ = jsontext.AppendQuote(b, s) // the error only tells of invalid UTF-8
	return b
}

func appendFields(b []byte, fields Fields) []byte {
	b = append(b, '{')
	for i, f := range fields {
		if i > 0 {
			b = append(b, ',')
		}
		b = append(append(appendText(b, f.Name), ':'), f.Value...)
	}
	return append(b, '}')
}
