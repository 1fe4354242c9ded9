package sheet

import (
	"encoding/json"
	"errors"
	"fmt"
	"reflect"
	"testing"

	"loomwright/calc/tag"
)

// Every option travels, but for the type and the routes.
func TestOrderCarriesEveryOption(t *testing.T) {
	var sent Order
	n := fill(reflect.ValueOf(&sent).Elem(), 1)
	sent.Options.Font, sent.Options.Graph = Font{}, nil
	text, err := json.Marshal(sent)
	if err != nil {
		t.Fatal(err)
	}
	var got Order
	if err := json.Unmarshal(text, &got); err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(got, sent) || n < 30 {
		t.Errorf("of %d fields sent %+v\ngot %+v", n, sent, got)
	}
}

// fill gives every field a value of its own and returns the next one.
func fill(v reflect.Value, n int) int {
	switch v.Kind() {
	case reflect.Struct:
		for i := range v.NumField() {
			n = fill(v.Field(i), n)
		}
		return n
	case reflect.String:
		v.SetString(fmt.Sprint("text", n))
	case reflect.Int, reflect.Int64:
		v.SetInt(int64(n) << 33)
	case reflect.Bool:
		v.SetBool(true)
	case reflect.Slice:
		v.Set(reflect.MakeSlice(v.Type(), 2, 2))
		return fill(v.Index(1), n)
	}
	return n + 1
}

func TestErrorsStayApart(t *testing.T) {
	all := []error{ErrKind, ErrFormat, ErrFont, ErrNoTags, tag.ErrTooSmall}
	for _, want := range all {
		sent := fmt.Errorf("sheet: 3 of 5 tags: %w: with numbers", want)
		got := Coded(Code(sent), sent.Error())
		if got.Error() != sent.Error() {
			t.Errorf("the text %q became %q", sent, got)
		}
		for _, other := range all {
			if errors.Is(got, other) != (other == want) {
				t.Errorf("%v is %v: %v", got, other, errors.Is(got, other))
			}
		}
	}
	if got := Coded(Code(errors.New("sheet: something")), "sheet: something"); got.Error() != "sheet: something" || errors.Unwrap(got) != nil {
		t.Errorf("an error without a name became %v", got)
	}
}
