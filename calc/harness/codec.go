package harness

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"sync"

	"github.com/go-json-experiment/json/jsontext"
)

// Records are read and written by their struct tags, with the exact key case and with unknown keys passed over, as package
// json of the standard library cannot do and the one of its next version does at four times the weight. What records are
// made of is a short list: texts, truth values, numbers, pointers to them, lists, structs of them, and maps from texts to them.

// member is a field of a struct, by its name in JSON.
type member struct {
	name  string
	index []int
	omit  bool // where it is zero
}

// shape is a struct as JSON has it.
type shape struct {
	members []member // in the order of the struct
	byName  map[string]int
}

var shapes sync.Map // of *shape by reflect.Type

func shapeOf(t reflect.Type) *shape {
	if s, ok := shapes.Load(t); ok {
		return s.(*shape)
	}
	s := &shape{byName: map[string]int{}}
	s.gather(t, nil)
	shapes.Store(t, s)
	return s
}

func (s *shape) gather(t reflect.Type, path []int) {
	for i := range t.NumField() {
		f := t.Field(i)
		index := append(path[:len(path):len(path)], i)
		tag := strings.TrimSuffix(strings.TrimPrefix(string(f.Tag), `json:"`), `"`) // ours have no other key, and no escapes
		name, option, _ := strings.Cut(tag, ",")
		switch {
		case f.Anonymous && tag == "":
			s.gather(f.Type, index)
		case name != "-":
			s.byName[name] = len(s.members)
			s.members = append(s.members, member{name, index, option == "omitzero"})
		}
	}
}

// mismatch is a value that is not of its field's type.
type mismatch struct {
	path string // "from/place"
	got  jsontext.Kind
	want string
}

func (e *mismatch) Error() string {
	if e.path == "" {
		return fmt.Sprintf("%s where %s should be", e.got, e.want)
	}
	return fmt.Sprintf("field %q: %s where %s should be", e.path, e.got, e.want)
}

// within puts a name before the path of a mismatch.
func within(err error, name string) error {
	if m, ok := errors.AsType[*mismatch](err); ok {
		m.path = strings.TrimSuffix(name+"/"+m.path, "/")
	}
	return err
}

// reader reads one object after another.
type reader struct {
	dec  *jsontext.Decoder
	buf  bytes.Buffer // not copied by dec
	said [256]string  // some of the texts that were read, so that what comes again is kept once
}

// text returns what bytes say.
func (r *reader) text(b []byte) string {
	if len(b) < 2 || len(b) > 64 {
		return string(b)
	}
	last := len(b) - 1
	at := &r.said[uint8(uint(b[last])+31*uint(b[last-1])+17*uint(b[last/2])+uint(last))]
	if *at != string(b) {
		*at = string(b)
	}
	return *at
}

var readers = sync.Pool{New: func() any {
	r := &reader{}
	r.dec = jsontext.NewDecoder(&r.buf)
	return r
}}

// unmarshal reads an object into the struct that into points to. null empties what it is put into, and a name may not come
// twice.
func unmarshal(object []byte, into any) error {
	r := readers.Get().(*reader)
	defer readers.Put(r)
	return r.whole(object, reflect.ValueOf(into).Elem())
}

// whole reads a value that is all there is.
func (r *reader) whole(raw []byte, into reflect.Value) error {
	r.buf = *bytes.NewBuffer(raw)
	r.dec.Reset(&r.buf)
	if err := r.value(into); err != nil {
		return err
	}
	if _, err := r.dec.ReadToken(); err != io.EOF {
		return errors.New("more than one value")
	}
	return nil
}

func (r *reader) value(v reflect.Value) error {
	switch v.Kind() {
	case reflect.Pointer, reflect.Struct, reflect.Slice, reflect.Map:
		return r.composed(v)
	}
	raw, err := r.dec.ReadValue()
	if err != nil {
		return err
	}
	kind, want := raw.Kind(), ""
	if kind == 'n' {
		v.SetZero()
		return nil
	}
	switch v.Kind() {
	case reflect.String:
		if want = "a text"; kind == '"' {
			inner, err := unquoted(raw)
			v.SetString(r.text(inner))
			return err
		}
	case reflect.Bool:
		if want = "true or false"; kind == 't' || kind == 'f' {
			v.SetBool(kind == 't')
			return nil
		}
	case reflect.Int, reflect.Int64:
		if want = "a whole number"; kind == '0' {
			if n, err := strconv.ParseInt(string(raw), 10, 64); err == nil {
				v.SetInt(n)
				return nil
			}
		}
	case reflect.Float64:
		if want = "a number"; kind == '0' {
			if n, err := strconv.ParseFloat(string(raw), 64); err == nil {
				v.SetFloat(n)
				return nil
			}
		}
	default:
		return fmt.Errorf("harness: a field of type %s", v.Type())
	}
	return &mismatch{got: kind, want: want}
}

// composed reads a pointer, a struct or a list.
func (r *reader) composed(v reflect.Value) error {
	kind, want := r.dec.PeekKind(), "an object"
	switch {
	case kind == 'n':
		v.SetZero()
		return r.dec.SkipValue()
	case v.Kind() == reflect.Pointer:
		p := reflect.New(v.Type().Elem())
		v.Set(p)
		return r.value(p.Elem())
	case v.Kind() == reflect.Struct && kind == '{':
		return r.object(v)
	case v.Kind() == reflect.Map && kind == '{':
		return r.dictionary(v)
	case v.Kind() == reflect.Slice && kind == '[':
		return r.list(v)
	case v.Kind() == reflect.Slice:
		want = "a list"
	}
	if err := r.dec.SkipValue(); err != nil {
		return err
	}
	return &mismatch{got: kind, want: want}
}

func (r *reader) object(v reflect.Value) error {
	s := shapeOf(v.Type())
	if _, err := r.dec.ReadToken(); err != nil {
		return err
	}
	for r.dec.PeekKind() != '}' {
		raw, err := r.dec.ReadValue()
		if err != nil {
			return err
		}
		name, err := unquoted(raw)
		if err != nil {
			return err
		}
		i, known := s.byName[string(name)]
		if !known {
			err = r.dec.SkipValue()
		} else if err = r.value(v.FieldByIndex(s.members[i].index)); err != nil {
			err = within(err, s.members[i].name)
		}
		if err != nil {
			return err
		}
	}
	_, err := r.dec.ReadToken()
	return err
}

func (r *reader) dictionary(v reflect.Value) error {
	if _, err := r.dec.ReadToken(); err != nil {
		return err
	}
	v.Set(reflect.MakeMap(v.Type()))
	for r.dec.PeekKind() != '}' {
		raw, err := r.dec.ReadValue()
		if err != nil {
			return err
		}
		name, err := unquoted(raw)
		if err != nil {
			return err
		}
		key := string(name)
		value := reflect.New(v.Type().Elem()).Elem()
		if err := r.value(value); err != nil {
			return within(err, key)
		}
		v.SetMapIndex(reflect.ValueOf(key), value)
	}
	_, err := r.dec.ReadToken()
	return err
}

func (r *reader) list(v reflect.Value) error {
	if _, err := r.dec.ReadToken(); err != nil {
		return err
	}
	if v.SetZero(); r.dec.PeekKind() == ']' {
		v.Set(reflect.MakeSlice(v.Type(), 0, 0)) // empty, but there
	}
	for i := 0; r.dec.PeekKind() != ']'; i++ {
		v.Grow(1)
		v.SetLen(i + 1)
		if err := r.value(v.Index(i)); err != nil {
			return within(err, strconv.Itoa(i))
		}
	}
	_, err := r.dec.ReadToken()
	return err
}

// unquoted returns what a string says; without an escape it is a part of raw.
func unquoted(raw jsontext.Value) ([]byte, error) {
	if bytes.IndexByte(raw, '\\') >= 0 {
		return jsontext.AppendUnquote(nil, raw)
	}
	return raw[1 : len(raw)-1], nil
}

// marshal appends a value as JSON. What is not valid UTF-8 or no number is an error.
func marshal(b []byte, v reflect.Value) ([]byte, error) {
	switch v.Kind() {
	case reflect.String:
		return jsontext.AppendQuote(b, v.String())
	case reflect.Bool:
		return strconv.AppendBool(b, v.Bool()), nil
	case reflect.Int, reflect.Int64:
		return strconv.AppendInt(b, v.Int(), 10), nil
	case reflect.Float64:
		t := jsontext.Float(v.Float())
		if t.Kind() != '0' {
			return b, fmt.Errorf("a number that is %s", t)
		}
		return append(b, t.String()...), nil
	case reflect.Pointer:
		if v.IsNil() {
			return append(b, "null"...), nil
		}
		return marshal(b, v.Elem())
	case reflect.Slice:
		b = append(b, '[')
		for i := range v.Len() {
			if i > 0 {
				b = append(b, ',')
			}
			var err error
			if b, err = marshal(b, v.Index(i)); err != nil {
				return b, err
			}
		}
		return append(b, ']'), nil
	case reflect.Struct:
		return marshalObject(b, v)
	case reflect.Map:
		if v.Type().Key().Kind() == reflect.String {
			return marshalMap(b, v)
		}
	}
	return b, fmt.Errorf("a field of type %s", v.Type())
}

func marshalObject(b []byte, v reflect.Value) ([]byte, error) {
	b = append(b, '{')
	empty := len(b)
	for _, m := range shapeOf(v.Type()).members {
		f := v.FieldByIndex(m.index)
		if m.omit && f.IsZero() {
			continue
		}
		if len(b) > empty {
			b = append(b, ',')
		}
		b = append(append(append(b, '"'), m.name...), `":`...)
		var err error
		if b, err = marshal(b, f); err != nil {
			return b, fmt.Errorf("field %q: %w", m.name, err)
		}
	}
	return append(b, '}'), nil
}

func marshalMap(b []byte, v reflect.Value) ([]byte, error) {
	names := make([]string, 0, v.Len())
	for _, k := range v.MapKeys() {
		names = append(names, k.String())
	}
	slices.Sort(names)
	b = append(b, '{')
	for i, name := range names {
		if i > 0 {
			b = append(b, ',')
		}
		var err error
		if b, err = jsontext.AppendQuote(b, name); err != nil {
			return b, err
		}
		if b, err = marshal(append(b, ':'), v.MapIndex(reflect.ValueOf(name))); err != nil {
			return b, fmt.Errorf("field %q: %w", name, err)
		}
	}
	return append(b, '}'), nil
}
