package calc

import (
	"bytes"
	"errors"
	"io"
	"math"
	"strings"
	"testing"

	"github.com/go-json-experiment/json"
	"github.com/go-json-experiment/json/jsontext"
)

func TestAnswers(t *testing.T) {
	tests := []struct{ request, answer, source string }{
		{`{"op":"length","text":"14 1/2","unit":"in"}`, `{"nm":368300000}`, "14.5 × 25.4 mm"},
		{`{"op":"length","text":"36,8 cm"}`, `{"nm":368000000}`, "exact"},
		{`{"op":"survey","readings":[{"path":{"a":1},"value_mm":100,"sigma_mm":2},{"path":{"a":1,"b":1},"value_mm":300,"sigma_mm":2},{"path":{"b":1},"value_mm":200,"sigma_mm":2}]}`,
			`{"length_mm":{"a":100,"b":200},"sigma_mm":{"a":1.633,"b":1.633},"residual_mm":[0,0,0],"standardised":[0,0,0]}`, "σ √(2/3)"},
		{`{"op":"survey","readings":[{"path":{"a":2},"value_mm":100,"sigma_mm":2}]}`,
			`{"length_mm":{"a":50},"sigma_mm":{"a":1},"residual_mm":[0],"standardised":[null]}`, "nothing checks it"},
		{`{"op":"resistance","size":"20 AWG","length_m":1000,"celsius":20}`, `{"ohm":33.3083}`, "ASTM B258 and IEC 60028"},
		{`{"op":"resistance","size":"0.5 mm2","length_m":1000,"celsius":20}`, `{"ohm":37.1}`, "ISO 6722-1, from memory"},
		{`{"op":"resistance","size":"1 mm2","length_m":1000,"celsius":20,"table":"iec 60228 class 5"}`, `{"ohm":19.5}`, "IEC 60228"},
		{`{"op":"drop","size":"1.0 mm2","length_m":4,"amps":10,"celsius":20}`, `{"volts":0.74}`, "computed, ISO 6722-1"},
		{`{"op":"ampacity","size":"18 AWG","insulation_c":105,"engine_space":false,"bundled":1}`, `{"amps":20,"rule":"33 CFR 183.425","headroom_k":75}`, "33 CFR 183.425 table 5"},
		{`{"op":"ampacity","size":"16 AWG","insulation_c":105,"engine_space":true,"bundled":5}`, `{"amps":12.75,"rule":"33 CFR 183.425","headroom_k":55}`, "25 × 0.85 × 0.6"},
		{`{"op":"ampacity","size":"20 AWG","insulation_c":105,"rules":"AC 43.13-1B table 11-9"}`, `{"amps":4,"rule":"AC 43.13-1B table 11-9","headroom_k":75}`, "AC 43.13-1B table 11-9"},
		{`{"op":"ampacity","size":"18 AWG","insulation_c":105,"ambient_c":120}`, `{"amps":0,"rule":"33 CFR 183.425","headroom_k":-15}`, "no headroom"},
		{`{"op":"fault","volts":12,"source_ohm":0.02175,"size":"0.5 mm2","length_m":7.5,"celsius":20,"fuse_a":20}`,
			`{"amps":40,"multiple":2,"opens":"too late","opens_within_s":5,"wire_bears_s":2.0664,"longest_m":4.034463}`, "0.5 mm2 PVC at 40 A: 2.1 s, a 20 A fuse 5 s"},
		{`{"op":"fault","volts":12,"source_ohm":0,"size":"0.5 mm2","length_m":0,"celsius":20,"fuse_a":20}`, `{"error":"no resistance"}`, "a current without end"},
		{`{"op":"fault","volts":0,"source_ohm":1,"size":"0.5 mm2","length_m":0,"celsius":20,"fuse_a":20}`,
			`{"amps":0,"multiple":0,"opens":"never","opens_within_s":null,"wire_bears_s":null,"longest_m":null}`, "no supply"},
		{`{"op":"pull","size":"20 AWG","standard":"UL 486A"}`, `{"newtons":57.9,"standard":"UL 486A"}`, "UL 486A"},
		{`{"op":"pull","size":"0.5 mm2"}`, `{"newtons":60,"standard":"IEC 60352-2"}`, "IEC 60352-2, from memory"},
		{`{"op":"tag","text":"ABC123","ecc":"Q"}`, `{"version":1,"modules":21,"mode":"alphanumeric"}`, "ISO/IEC 18004: 16 signs at 1-Q"},
		{`{"op":"tag","text":"12345","ecc":"L"}`, `{"version":1,"modules":21,"mode":"numeric"}`, "ISO/IEC 18004"},
		{`{"op":"tag","text":"https://a.b/c"}`, `{"version":1,"modules":21,"mode":"byte"}`, "ISO/IEC 18004: 14 bytes at 1-M"},

		{`{"op":"bundle","diameters_mm":[2,2]}`, `{"diameter_mm":4,"centres_mm":[[-1,0],[1,0]]}`, "two side by side, exact"},
		{`{"op":"bundle","diameters_mm":[],"grade":"quick"}`, `{"diameter_mm":0,"centres_mm":[]}`, "nothing"},
		{`{"op":"bundle","diameters_mm":[2,0]}`, `{"error":"bundle"}`, ""},
		{`{"op":"bundle","diameters_mm":[2],"grade":"best"}`, `{"error":"grade"}`, ""},
		{`{"op":"bundle"}`, `{"error":"diameters_mm is missing"}`, ""},
		{`{"op":"stock","stock_mm":100,"lengths_mm":[60,50,50,40]}`, `{"stocks":2,"lower_bound":2,"plan":[[60,40],[50,50]]}`, "all of both is used"},
		{`{"op":"stock","stock_mm":100,"lengths_mm":[]}`, `{"stocks":0,"lower_bound":0,"plan":[]}`, "nothing"},
		{`{"op":"stock","stock_mm":100,"lengths_mm":[101]}`, `{"error":"longer than the stock"}`, ""},
		{`{"op":"stock","stock_mm":0,"lengths_mm":[1]}`, `{"error":"0 mm"}`, ""},
		{`{"op":"stock","lengths_mm":[1]}`, `{"error":"stock_mm is missing"}`, ""},
		{`{"op":"length","text":""}`, `{"error":"nothing typed"}`, ""},
		{`{"op":"length","text":"1,234"}`, `{"error":"comma"}`, "two lengths are meant equally well"},
		{`{"op":"length"}`, `{"error":"text is missing"}`, ""},
		{`{"op":"length","text":"1","unit":"ft"}`, `{"error":"neither"}`, ""},
		{`{"op":"drop","size":"18 AWG","length_m":4,"celsius":20}`, `{"error":"amps is missing"}`, ""},
		{`{"op":"drop","size":"18 AWG","length":4,"celsius":20}`, `{"error":"no field \"length\""}`, ""},
		{`{"op":"drop","size":"18 AWG","length_m":"4","celsius":20}`, `{"error":"field \"length_m\""}`, ""},
		{`{"op":"drop","size":"18 AWG","length_m":-4,"amps":1,"celsius":20}`, `{"error":"length_m"}`, ""},
		{`{"op":"resistance","size":"0.6 mm2","length_m":1,"celsius":20}`, `{"error":"no such size"}`, ""},
		{`{"op":"resistance","size":"1","length_m":1,"celsius":20}`, `{"error":"1 mm2 or 1 AWG"}`, ""},
		{`{"op":"resistance","size":"18 AWG","length_m":1,"celsius":20,"table":"mine"}`, `{"error":"no table \"mine\""}`, ""},
		{`{"op":"ampacity","size":"26 AWG","insulation_c":105}`, `{"error":"unknown, because"}`, ""},
		{`{"op":"ampacity","size":"18 AWG","insulation_c":105,"bundled":1.5}`, `{"error":"number of wires"}`, ""},
		{`{"op":"fault","volts":12,"source_ohm":0,"size":"0.5 mm2","length_m":1,"celsius":20,"fuse_a":0}`, `{"error":"no fuse"}`, ""},
		{`{"op":"survey","readings":[{"path":{"a":1,"b":1},"value_mm":1,"sigma_mm":1}]}`, `{"error":"a, b"}`, ""},
		{`{"op":"survey","readings":[{"path":{"a":0.5},"value_mm":1,"sigma_mm":1}]}`, `{"error":"whole number"}`, ""},
		{`{"op":"survey","readings":[{"path":{"a":1},"value_mm":1}]}`, `{"error":"sigma_mm is missing"}`, ""},
		{`{"op":"pull","size":"20 AWG","standard":"mine"}`, `{"error":"no standard"}`, ""},
		{`{"op":"tag","text":"a","ecc":"X"}`, `{"error":"ecc"}`, ""},
		{`{"op":"tag","text":""}`, `{"error":"no text"}`, ""},
		{`{"op":"dance"}`, `{"error":"no op \"dance\""}`, ""},
		{`{}`, `{"error":"op is missing"}`, ""},
		{`[]`, `{"error":"object"}`, ""},
		{`{"op":"tag","op":"tag"}`, `{"error":"not JSON"}`, "a name twice"},
		{`drop 18 AWG`, `{"error":"not JSON"}`, ""},
		{"{\"op\":\"\xff\"}", `{"error":"not JSON"}`, "not UTF-8"},
	}
	for _, tt := range tests {
		t.Run(tt.request+" ("+tt.source+")", func(t *testing.T) {
			var got, want map[string]any
			answer := Answer([]byte(tt.request))
			if err := json.Unmarshal(answer, &got); err != nil {
				t.Fatalf("%s: %v", answer, err)
			}
			if err := json.Unmarshal([]byte(tt.answer), &want); err != nil {
				t.Fatal(err)
			}
			if part, ok := want["error"].(string); ok {
				if text, _ := got["error"].(string); len(got) != 1 || !strings.Contains(text, part) {
					t.Errorf("%s, want an error with %q", answer, part)
				}
				return
			}
			if !same(got, want) {
				t.Errorf("%s, want %s", answer, tt.answer)
			}
		})
	}
}

// same compares answers, numbers to five digits.
func same(a, b any) bool {
	switch b := b.(type) {
	case float64:
		a, ok := a.(float64)
		return ok && math.Abs(a-b) <= 2e-5*math.Abs(b)+1e-12
	case []any:
		a, ok := a.([]any)
		if !ok || len(a) != len(b) {
			return false
		}
		for i := range b {
			if !same(a[i], b[i]) {
				return false
			}
		}
		return true
	case map[string]any:
		a, ok := a.(map[string]any)
		if !ok || len(a) != len(b) {
			return false
		}
		for k := range b {
			if v, ok := a[k]; !ok || !same(v, b[k]) {
				return false
			}
		}
		return true
	}
	return a == b
}

func TestRun(t *testing.T) {
	long := `{"op":"length","text":"` + strings.Repeat("1", longestLine) + `"}`
	in := "\xef\xbb\xbf" + `{"op":"length","text":"1"}` + "\r\n\n  \nnonsense\n" + long + "\n" + `{"op":"length","text":"2"}` // no end of line
	var out bytes.Buffer
	if err := Run(strings.NewReader(in), &out); err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(strings.TrimSuffix(out.String(), "\n"), "\n")
	if len(lines) != 4 || lines[0] != `{"nm":1000000}` || !strings.Contains(lines[1], "not JSON") || !strings.Contains(lines[2], "longer") || lines[3] != `{"nm":2000000}` {
		t.Errorf("%q", lines)
	}
	var again bytes.Buffer
	if err := Run(strings.NewReader(in), &again); err != nil || again.String() != out.String() {
		t.Error("another answer the second time", err)
	}
}

// A script that writes a request and waits gets its answer before it writes the next.
func TestAnswersAtOnce(t *testing.T) {
	requests, ask := io.Pipe()
	listen, answers := io.Pipe()
	done := make(chan error, 1)
	go func() {
		err := Run(requests, answers)
		answers.Close()
		done <- err
	}()
	for range 3 {
		if _, err := io.WriteString(ask, `{"op":"length","text":"1"}`+"\n"); err != nil {
			t.Fatal(err)
		}
		answer := make([]byte, len(`{"nm":1000000}`)+1)
		if _, err := io.ReadFull(listen, answer); err != nil {
			t.Fatal(err)
		}
	}
	ask.Close()
	if err := <-done; err != nil {
		t.Error(err)
	}
}

type full struct{}

func (full) Write([]byte) (int, error) { return 0, errors.New("no room") }

func TestRunTellsOfAFailedWrite(t *testing.T) {
	if err := Run(strings.NewReader("{}\n"), full{}); err == nil {
		t.Error("no error")
	}
}

func TestEveryOpIsDescribed(t *testing.T) {
	for _, o := range ops {
		if !strings.Contains(Ops(), o.name) {
			t.Error(o.name)
		}
		if answer := string(Answer([]byte(`{"op":"` + o.name + `"}`))); !strings.Contains(answer, "missing") {
			t.Errorf("%s with no fields: %s", o.name, answer)
		}
	}
}

// Whatever the lines, there is one answer for each that is not white space, and each is one JSON object on one line.
func FuzzRun(f *testing.F) {
	for _, s := range []string{
		`{"op":"length","text":"14 1/2","unit":"in"}`, `{"op":"drop","size":"0.5 mm2","length_m":6,"amps":3,"celsius":85}`,
		`{"op":"survey","readings":[{"path":{"a":1},"value_mm":100,"sigma_mm":2}]}`, "\n\r\n{}\n[1]\n", `{"op":"tag","text":"A","ecc":"H"}`,
		`{"op":"fault","volts":12,"source_ohm":0.02,"size":"20 AWG","length_m":7.5,"celsius":20,"fuse_a":20}`, "\xef\xbb\xbf\xff",
		`{"op":"ampacity","size":"4/0 AWG","insulation_c":60,"engine_space":true,"bundled":99,"ambient_c":-40}`,
		`{"op":"bundle","diameters_mm":[2,1.6,3],"grade":"quick"}`, `{"op":"stock","stock_mm":100,"lengths_mm":[60,50,1e-7]}`,
		`{"op":"pull","size":"10 mm2","standard":"IEC 60352-2"}`, `{"op":"resistance","size":"18","length_m":1e300,"celsius":-0}`,
	} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, in []byte) {
		var out bytes.Buffer
		if err := Run(bytes.NewReader(in), &out); err != nil {
			t.Fatal(err)
		}
		want := 0
		for _, line := range bytes.Split(bytes.TrimPrefix(in, []byte("\xef\xbb\xbf")), []byte("\n")) {
			if len(bytes.TrimSpace(line)) > 0 {
				want++
			}
		}
		got := bytes.Split(bytes.TrimSuffix(out.Bytes(), []byte("\n")), []byte("\n"))
		if out.Len() == 0 {
			got = nil
		}
		if len(got) != want {
			t.Fatalf("%d answers to %d requests", len(got), want)
		}
		for _, answer := range got {
			if v := jsontext.Value(answer); v.Kind() != '{' || !v.IsValid() {
				t.Fatalf("answer %q", answer)
			}
		}
	})
}
