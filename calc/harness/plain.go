package harness

import (
	"bytes"
	"iter"
	"reflect"
)

// Most values are written as Encode writes them: without blanks, escapes or fractions. They are read here, several times
// faster than by the decoder, which reads all others. What is read here must be known to be JSON without a name twice.

// unmarshalFields reads the fields of a struct one by one. Each must be a JSON value, and none may come twice.
func unmarshalFields(fields iter.Seq2[string, []byte], into any) error {
	r := readers.Get().(*reader)
	defer readers.Put(r)
	v := reflect.ValueOf(into).Elem()
	s := shapeOf(v.Type())
	for name, raw := range fields {
		i, known := s.byName[name]
		if !known {
			continue
		}
		f := v.FieldByIndex(s.members[i].index)
		if r.plain(f, raw) {
			continue
		}
		if err := r.whole(raw, f); err != nil {
			return within(err, name)
		}
	}
	return nil
}

// plain reads a value and reports whether it could.
func (r *reader) plain(v reflect.Value, raw []byte) bool {
	rest, ok := r.step(v, raw)
	if !ok || len(rest) > 0 {
		v.SetZero()
		return false
	}
	return true
}

// step reads the value that b begins with, and returns what follows it.
func (r *reader) step(v reflect.Value, b []byte) (rest []byte, ok bool) {
	switch v.Kind() {
	case reflect.String:
		text, rest, ok := plainText(b)
		if ok {
			v.SetString(r.text(text))
		}
		return rest, ok
	case reflect.Bool:
		rest, ok := bytes.CutPrefix(b, []byte("true"))
		v.SetBool(ok)
		return rest, ok
	case reflect.Int64, reflect.Int:
		n, rest, ok := plainNumber(b)
		v.SetInt(n)
		return rest, ok
	case reflect.Float64:
		f, rest, ok := plainFraction(b)
		v.SetFloat(f)
		return rest, ok
	case reflect.Pointer:
		p := reflect.New(v.Type().Elem())
		rest, ok := r.step(p.Elem(), b)
		v.Set(p)
		return rest, ok
	case reflect.Slice:
		return r.stepList(v, b)
	case reflect.Struct:
		return r.stepObject(v, b)
	}
	return nil, false
}

func (r *reader) stepList(v reflect.Value, b []byte) (rest []byte, ok bool) {
	if len(b) < 2 || b[0] != '[' || b[1] == ']' {
		return nil, false
	}
	v.SetZero()
	for i := 0; len(b) > 0 && b[0] != ']'; i++ {
		v.Grow(1)
		v.SetLen(i + 1)
		if b, ok = r.step(v.Index(i), b[1:]); !ok || len(b) == 0 || b[0] != ',' && b[0] != ']' {
			return nil, false
		}
	}
	return b[1:], true
}

func (r *reader) stepObject(v reflect.Value, b []byte) (rest []byte, ok bool) {
	if len(b) < 2 || b[0] != '{' || b[1] == '}' {
		return nil, false
	}
	s := shapeOf(v.Type())
	for len(b) > 0 && b[0] != '}' {
		name, rest, ok := plainText(b[1:])
		i, known := s.byName[string(name)]
		if !ok || !known || len(rest) == 0 || rest[0] != ':' {
			return nil, false
		}
		if b, ok = r.step(v.FieldByIndex(s.members[i].index), rest[1:]); !ok || len(b) == 0 || b[0] != ',' && b[0] != '}' {
			return nil, false
		}
	}
	return b[1:], true
}

// plainText reads a text without escapes.
func plainText(b []byte) (text, rest []byte, ok bool) {
	if len(b) < 2 || b[0] != '"' {
		return nil, nil, false
	}
	end := bytes.IndexByte(b[1:], '"')
	if end < 0 || bytes.IndexByte(b[1:1+end], '\\') >= 0 {
		return nil, nil, false
	}
	return b[1 : 1+end], b[2+end:], true
}

// plainDigits is how many digits a number may have here: it is exact as a float too.
const plainDigits = 15

// plainFraction reads a number that is not negative and has no exponent. Digits and power of ten are exact, so their
// quotient is the number nearest to what is written.
func plainFraction(b []byte) (f float64, rest []byte, ok bool) {
	n, digits, power := int64(0), 0, 0
	for i, c := range b {
		switch {
		case c == '.' && power == 0 && digits > 0:
			power = 1
		case c < '0' || c > '9':
			return float64(n) / float64(max(power, 1)), b[i:], digits > 0 && (c == ',' || c == ']' || c == '}')
		case digits == plainDigits:
			return 0, nil, false
		default:
			n, digits = 10*n+int64(c-'0'), digits+1
			power *= 10
		}
	}
	return float64(n) / float64(max(power, 1)), nil, digits > 0
}

// plainNumber reads a whole number that is not negative.
func plainNumber(b []byte) (n int64, rest []byte, ok bool) {
	for i, c := range b {
		if c < '0' || c > '9' {
			return n, b[i:], i > 0 && (c == ',' || c == ']' || c == '}')
		}
		if i == plainDigits {
			return 0, nil, false
		}
		n = 10*n + int64(c-'0')
	}
	return n, nil, len(b) > 0
}
