package tag

import (
	"errors"
	"strings"
	"testing"
	"unicode/utf8"
)

const good = "7K3F9Q2M" // a code with a check sign that fits

func TestGoodCode(t *testing.T) {
	if err := Check(good); err != nil {
		t.Fatalf("%v; the sign should be %c", err, checkSign([]byte(good[:7])))
	}
}

func address(t *testing.T, text string) Address {
	t.Helper()
	a, err := ParseAddress(text)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

func TestWordsBeginWithTheCodeAndNameNoCommand(t *testing.T) {
	for _, c := range []struct {
		name string
		in   Subject
		want string
	}{
		{"a whole wire", Subject{good, "Coolant temperature", "Controller A14", "Coolant 1", "0.5 mm2", "YE/GN"},
			good + " COOLANT TEMPERATURE FROM CONTROLLER A14 TO COOLANT 1 0.5 MM2 YE/GN"},
		{"nothing known", Subject{Code: good}, good},
		{"accents and signs", Subject{Code: good, Function: "Kühlmittel (Fühler), 5 V ±2 %, 2,2 kΩ"}, good + " KUEHLMITTEL FUEHLER 5 V +-2 % 2 2 KOHM"},
		{"a web address", Subject{Code: good, Function: "https://evil.example/x"}, good + " HTTPS-/ EVIL EXAMPLE/X"},
		{"a network", Subject{Code: good, Function: "WIFI:T:WPA;S:x;P:y;;"}, good + " WIFI-T-WPA S-X P-Y"},
		{"direction signs", Subject{Code: good, Function: "a\u202eb\u2066c\u200fd\x00e\nf"}, good + " ABCDE F"},
		{"micro, and a Greek word", Subject{Code: good, Function: "10 µF", To: "ΜΩΡΑ"}, good + " 10 UF TO ΜΩΡΑ"},
	} {
		got, err := Words.Text(Address{}, c.in)
		if err != nil || got != c.want {
			t.Errorf("%s: %q, %v; want %q", c.name, got, err, c.want)
		}
	}
}

func TestWordsAreShortenedFromTheFunction(t *testing.T) {
	got, err := Words.Text(Address{}, Subject{good, strings.Repeat("very long ", 30), "Controller A14", "Coolant 1", "0.5", "YE"})
	if n := utf8.RuneCountInString(got); err != nil || n > MaxWords || !strings.HasSuffix(got, "FROM CONTROLLER A14 TO COOLANT 1 0.5 YE") {
		t.Errorf("%d signs: %q, %v", n, got, err)
	}
	s, err := NewSymbol(got, FloorLevel)
	if err != nil || s.Version > 4 {
		t.Errorf("version %d, %v; the longest words fit version 4", s.Version, err)
	}
	got, err = Words.Text(Address{}, Subject{good, "", strings.Repeat("x", 300), strings.Repeat("y", 300), strings.Repeat("z", 300), ""})
	if n := utf8.RuneCountInString(got); err != nil || n > MaxWords || !strings.HasPrefix(got, good+" ") {
		t.Errorf("%d signs: %q, %v", n, got, err)
	}
}

func TestTextRefusesWhatIsNoCode(t *testing.T) {
	for _, p := range Payloads {
		if _, err := p.Text(address(t, "https://harness.example/"), Subject{Code: "7K3F9Q2D"}); !errors.Is(err, ErrCheckSign) {
			t.Errorf("%s: %v, want ErrCheckSign", p, err)
		}
	}
	if _, err := Link.Text(Address{}, Subject{Code: good}); err == nil {
		t.Error("a link without an address was made")
	}
	if _, err := Payload("other").Text(Address{}, Subject{Code: good}); err == nil {
		t.Error("an unknown payload was made")
	}
}

func TestAddress(t *testing.T) {
	for _, c := range []struct {
		in, base string
		warn     []WarningKind
	}{
		{"https://Harness.Example/App", "https://harness.example/App/", nil},
		{" HTTPS://HARNESS.EXAMPLE ", "https://harness.example/", nil},
		{"https://harness.example/a/index.html#", "https://harness.example/a/", nil},
		{"https://harness.example:8443/", "https://harness.example:8443/", nil},
		{"http://harness.example/", "http://harness.example/", []WarningKind{PlainHTTP}},
		{"http://localhost:8080/", "http://localhost:8080/", []WarningKind{Loopback, PlainHTTP}},
		{"https://127.0.0.1/", "https://127.0.0.1/", []WarningKind{Loopback}},
		{"https://[::1]/", "https://[::1]/", []WarningKind{Loopback}},
		{"https://0.0.0.0/", "https://0.0.0.0/", []WarningKind{Loopback}},
		{"https://app.localhost/", "https://app.localhost/", []WarningKind{Loopback}},
		{"https://192.168.1.7/", "https://192.168.1.7/", []WarningKind{Private}},
		{"https://10.0.0.7/", "https://10.0.0.7/", []WarningKind{Private}},
		{"https://172.20.0.7/", "https://172.20.0.7/", []WarningKind{Private}},
		{"https://100.64.0.7/", "https://100.64.0.7/", []WarningKind{Private}},
		{"https://[fd00::7]/", "https://[fd00::7]/", []WarningKind{Private}},
		{"https://[::ffff:10.0.0.7]/", "https://[::ffff:10.0.0.7]/", []WarningKind{Private}},
		{"https://169.254.3.3/", "https://169.254.3.3/", []WarningKind{LinkLocal}},
		{"https://[fe80::7]/", "https://[fe80::7]/", []WarningKind{LinkLocal}},
		{"https://bench.local/", "https://bench.local/", []WarningKind{LinkLocal}},
		{"https://bench/", "https://bench/", []WarningKind{Private}},
		{"https://bench.lan/", "https://bench.lan/", []WarningKind{Private}},
		{"https://8.8.8.8/", "https://8.8.8.8/", nil},
		{"https://a-rather-long-host-name.example/app/", "https://a-rather-long-host-name.example/app/", []WarningKind{Long}},
	} {
		a, err := ParseAddress(c.in)
		if err != nil || a.String() != c.base {
			t.Errorf("ParseAddress(%q) = %q, %v; want %q", c.in, a, err, c.base)
			continue
		}
		var kinds []WarningKind
		for _, w := range a.Warnings {
			kinds = append(kinds, w.Kind)
		}
		if len(kinds) != len(c.warn) || strings.Join(strs(kinds), ",") != strings.Join(strs(c.warn), ",") {
			t.Errorf("ParseAddress(%q) warns %v, want %v", c.in, kinds, c.warn)
		}
	}
	for _, in := range []string{"", "harness.example", "ftp://harness.example/", "https://", "https:///x", "https://u:p@harness.example/",
		"https://harness.example/?a=1", "https://harness.example/?", "https://harness.example/#b=1", "javascript:alert(1)", "https://hörness.example/",
		"https://harness.example/" + strings.Repeat("x", 80), "https://a b/", "%", "https://[::1", "https://harness.example/\u202ex"} {
		if a, err := ParseAddress(in); err == nil {
			t.Errorf("ParseAddress(%q) = %q, want an error", in, a)
		}
	}
}

func strs(kinds []WarningKind) (out []string) {
	for _, k := range kinds {
		out = append(out, string(k))
	}
	return out
}

func TestLinkIsAsShortAsItCanBe(t *testing.T) {
	for _, c := range []struct{ address, want string }{
		{"https://harness.example/", "HTTPS://HARNESS.EXAMPLE/#" + good},
		{"https://harness.example/Apps/x/", "HTTPS://HARNESS.EXAMPLE/Apps/x/#" + good},
	} {
		if got := address(t, c.address).Link(good); got != c.want {
			t.Errorf("Link of %s = %s, want %s", c.address, got, c.want)
		}
	}
}

func TestParse(t *testing.T) {
	own := address(t, "https://harness.example/App/")
	for _, c := range []struct {
		name, in string
		class    Class
		code     string
		err      error
	}{
		{"our link", "https://harness.example/App/#" + good, OurLink, good, nil},
		{"our link as it is printed", own.Link(good), OurLink, good, nil},
		{"our link without the slash", "HTTPS://Harness.Example/App#" + good, OurLink, good, nil},
		{"our link with the file", "https://harness.example/App/index.html#" + good, OurLink, good, nil},
		{"another path", "https://harness.example/app/#" + good, OtherLink, good, nil},
		{"a copy elsewhere", "http://192.168.1.7:8080/#" + good, OtherLink, good, nil},
		{"a name in the address", "https://x@harness.example/App/#" + good, OtherLink, good, nil},
		{"our link, damaged", "https://harness.example/App/#7K3F9Q2D", Damaged, "", ErrCheckSign},
		{"our page, no code", "https://harness.example/App/#b=1&p=wires", Foreign, "", nil},
		{"foreign link", "https://evil.example/login#7K3F9Q2D", Foreign, "", nil},
		{"foreign link without fragment", "https://evil.example/" + good, Foreign, "", nil},
		{"code", good, BareCode, good, nil},
		{"code as printed", " 7k3f 9q2m ", BareCode, good, nil},
		{"code with a dash", "7K3F-9Q2M", BareCode, good, nil},
		{"words", good + " COOLANT TEMPERATURE", CodeWords, good, nil},
		{"damaged", "7K3F9Q2D", Damaged, "", ErrCheckSign},
		{"one sign missing", good[:7], Damaged, "", ErrLength},
		{"a letter that codes do not have", "7K3F9Q2O", Damaged, "", ErrSign},
		{"words with a damaged code", "7K3F9Q2D COOLANT", Foreign, "", nil},
		{"network", "WIFI:T:WPA;S:x;P:y;;", Foreign, "", nil},
		{"script", "javascript:alert(1)#" + good, Foreign, "", nil},
		{"nothing", "", Empty, "", nil},
		{"only invisible signs", "\x00\u202e \n", Empty, "", nil},
		{"not text", "\xff\xfe\xfd", Empty, "", nil},
		{"too long", strings.Repeat("A", MaxScan+1), TooLong, "", nil},
	} {
		got := Parse(c.in, own)
		if got.Class != c.class || got.Code != c.code || !errors.Is(got.Err, c.err) || got.Found() != (c.code != "") {
			t.Errorf("%s: Parse(%q) = %+v; want %s, %q, %v", c.name, c.in, got, c.class, c.code, c.err)
		}
	}
	if got := Parse("https://harness.example/App/#"+good, Address{}); got.Class != OtherLink {
		t.Errorf("without an own address a link is %s, want %s", got.Class, OtherLink)
	}
}

// Whatever is made is read back, whatever is read is safe to show, and a code that is found passes its check.
func FuzzTagPayload(f *testing.F) {
	for _, s := range []string{"", good, "https://harness.example/App/#" + good, "WIFI:T:WPA;S:x;P:y;;", "\xff\x00\u202e", "7K3F 9Q2M x",
		"https://[::1", "Ω µ ½ // : . @", strings.Repeat("é", 200)} {
		f.Add(s)
	}
	own, err := ParseAddress("https://harness.example/App/")
	if err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, s string) {
		scan := Parse(s, own)
		if scan.Found() != (Check(scan.Code) == nil) {
			t.Errorf("Parse(%q) found %q", s, scan.Code)
		}
		safe := func(text string) {
			if !utf8.ValidString(text) || Clean(text, 1000) != text {
				t.Errorf("%q from %q is not safe to show", text, s)
			}
		}
		safe(scan.Text)
		for _, c := range scan.Repairs {
			if Check(c) != nil {
				t.Errorf("repair %q of %q is no code", c, s)
			}
		}
		words, err := Words.Text(Address{}, Subject{good, s, s, s, s, s})
		if err != nil {
			t.Fatal(err)
		}
		safe(words)
		if utf8.RuneCountInString(words) > MaxWords || strings.Contains(words, ":") || strings.Contains(words, "//") {
			t.Errorf("words %q from %q", words, s)
		}
		if got := Parse(words, own); got.Code != good {
			t.Errorf("words %q are read as %+v", words, got)
		}
		if a, err := ParseAddress(s); err == nil {
			link := a.Link(good)
			if got := Parse(link, a); got.Class != OurLink || got.Code != good {
				t.Errorf("link %q of address %q is read as %+v", link, s, got)
			}
			if b, err := ParseAddress(a.String()); err != nil || b.String() != a.String() {
				t.Errorf("address %q becomes %q, %v", a, b, err)
			}
		}
	})
}
