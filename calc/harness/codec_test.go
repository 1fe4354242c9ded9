package harness

import (
	"bytes"
	"errors"
	"iter"
	"maps"
	"math"
	"math/rand/v2"
	"reflect"
	"strings"
	"testing"

	"github.com/go-json-experiment/json"
	"github.com/go-json-experiment/json/jsontext"

	"loomwright/calc/unit"
)

// kinds is a record of each kind.
var kinds = []any{Settings{}, Place{}, Run{}, Reading{}, Loom{}, Terminal{}, Lead{}, Wire{}, Joint{}, Tag{},
	Connector{}, Part{}, Tap{}, Circuit{}, Dismissal{}}

// Records are read as the library reads them whose rules these are: what it takes is taken and means the same, what it
// refuses is refused.
func FuzzUnmarshal(f *testing.F) {
	for _, s := range []string{
		`{}`, `null`, `[]`, `""`, `{"name":"a","order":1}`, `{"name":"a","NAME":"b"}`, `{"Name":"a"}`, `{"name":"a","name":"b"}`,
		`{"gone":true,"order":-0,"corners":-0}`, `{"corners":1e2}`, `{"corners":1.0}`, `{"corners":9223372036854775807}`,
		`{"corners":9223372036854775808}`, `{"value":-9223372036854775808}`, `{"order":1e999}`, `{"order":1e-999}`, `{"order":"1"}`,
		`{"from":{"place":"p","terminal":null},"to":null,"via":["a",null],"looms":[],"cut":{"length":5,"at":"x"}}`,
		`{"from":{"place":7}}`, `{"via":["a",7]}`, `{"via":"a"}`, `{"cut":[]}`, `{"cut":{"length":5,"LENGTH":6,"new":[{}]}}`,
		`{"sigmaTape":{"fixed":1,"percent":0.5}}`, `{"name":"\u00e9\ud83d\ude00\n"}`, `{"na\u006de":"escaped"}`, `{"name":"\ud800"}`,
		`{"name":"a"} `, `{"name":"a"}{}`, `{"name":"a"`, `{"name":}`, `{"name" "a"}`, "{\"name\":\"\xff\"}", `{"":1,"~":2,"a/b":{"c":[1,{}]}}`,
		`{"title":"t","ID":"x","id":"y","-":1,"record":{},"Record":{"gone":true}}`, `{"corners":null,"thick":null,"sigma":0}`,
	} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, object []byte) {
		for _, k := range kinds {
			got, want := reflect.New(reflect.TypeOf(k)), reflect.New(reflect.TypeOf(k))
			errGot, errWant := unmarshal(object, got.Interface()), json.Unmarshal(object, want.Interface())
			if (errGot == nil) != (errWant == nil) {
				t.Fatalf("%T from %q: %v, want %v", k, object, errGot, errWant)
			}
			if errGot != nil {
				continue
			}
			if !reflect.DeepEqual(got.Interface(), want.Interface()) {
				t.Fatalf("%T from %q: %+v, want %+v", k, object, got.Elem(), want.Elem())
			}
			again(t, got.Elem().Interface())
		}
	})
}

// again holds that a record is written as the library writes it.
func again(t *testing.T, record any) {
	t.Helper()
	got, errGot := Encode(record)
	want, errWant := json.Marshal(record)
	if (errGot == nil) != (errWant == nil) || errGot == nil && !bytes.Equal(got, want) {
		t.Fatalf("%+v: %s, %v; want %s, %v", record, got, errGot, want, errWant)
	}
}

// Every field of every kind is written and read back, whatever its value.
func TestEveryFieldThereAndBack(t *testing.T) {
	random := rand.New(rand.NewPCG(7, 7))
	for _, k := range kinds {
		for range 300 {
			record := reflect.New(reflect.TypeOf(k))
			scatter(random, record.Elem())
			object, err := Encode(record.Elem().Interface())
			if err != nil {
				t.Fatal(err)
			}
			again(t, record.Elem().Interface())
			got := reflect.New(reflect.TypeOf(k))
			if err := unmarshal(object, got.Interface()); err != nil || !reflect.DeepEqual(got.Interface(), record.Interface()) {
				t.Fatalf("%T: %s became %+v, %v", k, object, got.Elem(), err)
			}
			one := reflect.New(reflect.TypeOf(k))
			if err := unmarshalFields(members(t, object), one.Interface()); err != nil || !reflect.DeepEqual(one.Interface(), record.Interface()) {
				t.Fatalf("%T: %s field by field became %+v, %v", k, object, one.Elem(), err)
			}
		}
	}
}

// members goes through the fields of an object.
func members(t *testing.T, object []byte) iter.Seq2[string, []byte] {
	t.Helper()
	var values map[string]jsontext.Value
	if err := json.Unmarshal(object, &values); err != nil {
		t.Fatal(err)
	}
	return func(yield func(string, []byte) bool) {
		for name, v := range values {
			if !yield(name, v) {
				return
			}
		}
	}
}

// scatter gives some of the fields a value.
func scatter(random *rand.Rand, v reflect.Value) {
	texts := []string{"", "a", "é Ω", "<b>&\"\\", "\u2028\u0001\t", "😀", "null", strings.Repeat("long ", 50)}
	numbers := []float64{0, 1, -1.5, 1e21, 1e-7, 123456789.125, math.MaxFloat64, math.SmallestNonzeroFloat64, math.Copysign(0, -1)}
	switch v.Kind() {
	case reflect.Struct:
		for i := range v.NumField() {
			if f := v.Type().Field(i); f.Tag.Get("json") != "-" && random.IntN(3) > 0 {
				scatter(random, v.Field(i))
			}
		}
	case reflect.Pointer:
		v.Set(reflect.New(v.Type().Elem()))
		scatter(random, v.Elem())
	case reflect.Slice:
		v.Set(reflect.MakeSlice(v.Type(), random.IntN(4), 4))
		for i := range v.Len() {
			scatter(random, v.Index(i))
		}
	case reflect.String:
		v.SetString(texts[random.IntN(len(texts))])
	case reflect.Bool:
		v.SetBool(random.IntN(2) == 0)
	case reflect.Float64:
		v.SetFloat(numbers[random.IntN(len(numbers))])
	default:
		v.SetInt(random.Int64() - random.Int64())
	}
}

func TestEncodeRefuses(t *testing.T) {
	for name, record := range map[string]any{
		"not UTF-8":  Place{Name: "a\xffb"},
		"infinite":   Place{Order: math.Inf(1)},
		"no number":  Settings{Volts: math.NaN()},
		"no record":  map[int]int{1: 1},
		"deep below": Wire{Via: []string{"ok", "\xc0"}},
	} {
		if object, err := Encode(record); err == nil {
			t.Errorf("%s: %s", name, object)
		}
	}
}

func TestMaps(t *testing.T) {
	for _, m := range []map[string]int{nil, {}, {"b": 2, "a\"": -1, "": 0}} {
		object, err := Encode(m)
		var got map[string]int
		if err != nil || Decode(object, &got) != nil || !maps.Equal(got, m) {
			t.Errorf("%v: %s, %v, became %v", m, object, err, got)
		}
	}
	var got map[string]int
	if err := Decode([]byte(`{"a":1,"b":"two"}`), &got); err == nil || !strings.Contains(err.Error(), `field "b"`) {
		t.Errorf("a text as a number: %v", err)
	}
}

// What is wrong is told by the whole path to it.
func TestMismatchesNameTheirField(t *testing.T) {
	for object, want := range map[string]string{
		`{"from":{"place":7}}`:     `field "from/place": number where a text should be`,
		`{"via":["a",true]}`:       `field "via/1": true where a text should be`,
		`{"cut":{"length":1.5}}`:   `field "cut/length": number where a whole number should be`,
		`{"trimmed":"yes"}`:        `field "trimmed": string where an object should be`,
		`{"looms":{}}`:             `field "looms": { where a list should be`,
		`{"order":1e999}`:          `field "order": number where a number should be`,
		`7`:                        `number where an object should be`,
		`{"name":"a","name":"b"}`:  "duplicate",
		`{"name":"a","other":1,}`:  "jsontext",
		`{"gone":0,"name":"never"`: `field "gone": number where true or false should be`,
	} {
		w := Wire{}
		err := unmarshal([]byte(object), &w)
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v, want %q", object, err, want)
		}
		if m, ok := errors.AsType[*mismatch](err); ok && m.want == "" {
			t.Errorf("%s: %v does not say what should be there", object, err)
		}
	}
}

func BenchmarkPut(b *testing.B) {
	length := 1200 * unit.Millimetre
	wire, err := Encode(Wire{Name: "W27", Function: "Coolant temperature", From: End{Place: "ecu", Terminal: "t1"}, To: End{Place: "p7"},
		Size: "0.5", Base: "yellow", Tracer: "blue", Looms: []string{"main"}, Lead: "l27", Cut: &Done{Length: length, At: "2026-05-12T10:00:00Z"}, Order: 27})
	if err != nil {
		b.Fatal(err)
	}
	build := NewBuild("b")
	for b.Loop() {
		if _, err := build.Put(KindWire, "w", wire); err != nil {
			b.Fatal(err)
		}
	}
}
