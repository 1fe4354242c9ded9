package harness

import (
	"strings"
	"testing"
)

func TestCheckFields(t *testing.T) {
	for _, test := range []struct {
		name   string
		kind   Kind
		object string
		want   string // part of the error; empty is none
	}{
		{"known fields", KindPlace, `{"name":"split 4","order":2.5,"travel":1000000}`, ""},
		{"null removes", KindRun, `{"corners":null,"hot":null,"became":null,"gone":null}`, ""},
		{"unknown field", KindWire, `{"shade":{"deep":[1,2]}}`, ""},
		{"unknown kind", "photo", `{"name":7}`, ""},
		{"unknown kind, gone is known", "photo", `{"gone":"yes"}`, `"gone"`},
		{"case of a key", KindPlace, `{"NAME":7}`, ""},
		{"text for a number", KindPlace, `{"name":"a","order":"2"}`, `"order"`},
		{"number for a text", KindLoom, `{"name":2}`, `"name"`},
		{"fraction for a count", KindRun, `{"corners":1.5}`, `"corners"`},
		{"length over 64 bits", KindReading, `{"value":9223372036854775808}`, `"value"`},
		{"number over a float", KindPlace, `{"order":1e999}`, `"order"`},
		{"wrong inside", KindWire, `{"from":{"place":3}}`, `"from/place"`},
		{"wrong in a list", KindTag, `{"code":["A"]}`, `"code"`},
		{"name twice", KindJoint, `{"name":"a","name":"b"}`, "duplicate"},
		{"a part of a panel", KindPart, `{"kind":"fuse","rating":7.5,"row":1,"column":2,"feed":"p"}`, ""},
		{"text for a rating", KindPart, `{"rating":"7.5"}`, `"rating"`},
		{"a kind for a list", KindCircuit, `{"feed":"p"}`, `"feed"`},
		{"a speed of a bus", KindCircuit, `{"bitrate":5e5,"resistors":["p","q"]}`, ""},
		{"number for a reason", KindDismissal, `{"rule":"fuse","reason":3}`, `"reason"`},
		{"number for a state", KindTap, `{"crank":12.4}`, `"crank"`},
		{"fraction for a row", KindConnector, `{"rows":1.5}`, `"rows"`},
		{"an act that is a text", KindLead, `{"acted":"use"}`, `"acted"`},
		{"number for a class", KindLoom, `{"classes":["bus",7]}`, `"classes/1"`},
		{"not an object", KindLead, `[]`, "harness: lead"},
	} {
		err := CheckFields(test.kind, []byte(test.object))
		if test.want == "" && err != nil || test.want != "" && (err == nil || !strings.Contains(err.Error(), test.want)) {
			t.Errorf("%s: got %v, want %q", test.name, err, test.want)
		}
	}
}

// Whatever CheckFields lets through field by field, Put takes as one record.
func TestCheckedFieldsMakeARecord(t *testing.T) {
	fields := []string{`"name":"a"`, `"kind":"no such kind"`, `"status":null`, `"travel":-5`, `"order":-1e300`, `"gone":false`, `"new":{}`}
	for _, f := range fields {
		if err := CheckFields(KindPlace, []byte("{"+f+"}")); err != nil {
			t.Fatal(err)
		}
	}
	if _, err := NewBuild("b").Put(KindPlace, "p", []byte("{"+strings.Join(fields, ",")+"}")); err != nil {
		t.Error(err)
	}
}
