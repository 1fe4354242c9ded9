package kit

import "testing"

func TestPress(t *testing.T) {
	for _, row := range []struct {
		name string
		keys []string
		want Entry
	}{
		{"three digits", []string{"4", "1", "2"}, "412"},
		{"a digit taken back", []string{"4", "1", KeyBack, "7"}, "47"},
		{"back on nothing", []string{KeyBack}, ""},
		{"fractions add up", []string{"1", "4", "1/2", "1/8"}, "14 5/8"},
		{"sixteenths reduce", []string{"1/16", "1/16"}, "1/8"},
		{"a sum of an inch is not taken", []string{"1/2", "1/2"}, "1/2"},
		{"back takes a fraction whole", []string{"1", "4", "1/2", KeyBack}, "14"},
		{"no digit after a fraction", []string{"1", "1/2", "3"}, "1 1/2"},
		{"feet, inches and a fraction", []string{"1", KeyFoot, "2", "1/2"}, "1' 2 1/2"},
		{"feet and a fraction alone", []string{"1", KeyFoot, "1/2"}, "1' 1/2"},
		{"back to the feet", []string{"1", KeyFoot, "1/2", KeyBack}, "1' "},
		{"back takes the foot mark", []string{"1", KeyFoot, KeyBack}, "1"},
		{"one point only", []string{"3", ".", "5", ".", "1"}, "3.51"},
	} {
		t.Run(row.name, func(t *testing.T) {
			var e Entry
			for _, k := range row.keys {
				e = e.Press(k)
			}
			if e != row.want {
				t.Errorf("%q, want %q", e, row.want)
			}
		})
	}
}

func TestAddr(t *testing.T) {
	a := Addr{Build: "0b6a7c1e-6f7b-4a35-9c53-2f9f7a8f1a11", Page: "walk", Record: "x1", Mode: "table"}
	if got := ParseAddr(a.String()); got != a {
		t.Errorf("ParseAddr(%q) = %+v, want %+v", a.String(), got, a)
	}
	if got := ParseAddr("#7k3f9q2m"); got != (Addr{Tag: "7K3F9Q2M"}) {
		t.Errorf("a bare code gave %+v", got)
	}
	for _, hostile := range []string{"b=<script>", "p=../../x&b=%00", "b=a;b&p=%zz", "b=" + string(make([]byte, 90))} {
		if got := ParseAddr(hostile); got.Build != "" || got.Page != "" {
			t.Errorf("ParseAddr(%q) = %+v, want nothing", hostile, got)
		}
	}
}

func TestTypedKeysAreTakenAsTheyAre(t *testing.T) {
	for _, row := range []struct{ typed, want string }{
		{"14 1/2", "14 1/2"}, {"14 5/", "14 5/"}, {"36,8 cm", "36,8 cm"}, {"1'-2 1/2\"", "1'-2 1/2\""},
		{"1/2/3", "1/2/3"}, {"x4Q1", "41"}, {"1234567890123456789012345", "123456789012345678901234"},
	} {
		e := Entry("")
		for _, sign := range row.typed {
			if next, ok := e.Type(string(sign)); ok {
				e = next
			}
		}
		if string(e) != row.want {
			t.Errorf("%q became %q, want %q", row.typed, e, row.want)
		}
	}
	e, _ := Entry("14 5/8").Type("Backspace")
	if e != "14 5/" {
		t.Errorf("backspace left %q, want one sign less", e)
	}
	if e, ok := Entry("").Type("Backspace"); e != "" || !ok {
		t.Errorf("backspace on nothing left %q, %v", e, ok)
	}
	for _, key := range []string{"F5", "Enter", "ArrowLeft", "Shift", ""} {
		if _, ok := Entry("1").Type(key); ok {
			t.Errorf("%q is taken as a sign", key)
		}
	}
}
