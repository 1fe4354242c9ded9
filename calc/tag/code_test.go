package tag

import (
	"bytes"
	"errors"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
)

// source is a random source with a fixed seed.
func source(seed uint64) *rand.ChaCha8 {
	var key [32]byte
	key[0], key[1] = byte(seed), byte(seed>>8)
	return rand.NewChaCha8(key)
}

func codes(t *testing.T, n int) []string {
	t.Helper()
	random := source(1)
	var out []string
	for range n {
		c, err := NewCode(random, nil)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, c)
	}
	return out
}

func TestAlphabet(t *testing.T) {
	if len(Alphabet) != 29 {
		t.Fatalf("%d signs, want 29, a prime", len(Alphabet))
	}
	for i, c := range []byte(Alphabet) {
		if strings.IndexByte(Alphabet, c) != i || strings.IndexByte("ILOSZ01", c) >= 0 {
			t.Errorf("sign %q is double or looks like another", c)
		}
		if strings.IndexByte(alphanumeric, c) < 0 {
			t.Errorf("sign %q is not in the QR alphanumeric set", c)
		}
	}
	seen := map[int]bool{0: true}
	for _, w := range weights {
		if seen[w%29] {
			t.Errorf("weight %d is 0 or double modulo 29", w)
		}
		seen[w%29] = true
	}
}

// The change of the weighted sum depends only on the position and the difference of two values, so all of them can be
// tried: that is the proof for every code there is.
func TestCheckSignFindsEveryDifference(t *testing.T) {
	for _, w := range weights {
		for d := 1; d < 29; d++ {
			if w*d%29 == 0 {
				t.Errorf("weight %d does not see a difference of %d", w, d)
			}
		}
	}
	for i, v := range weights {
		for _, w := range weights[i+1:] {
			for d := 1; d < 29; d++ {
				if (v-w+29)*d%29 == 0 {
					t.Errorf("weights %d and %d changed over hide a difference of %d", v, w, d)
				}
			}
		}
	}
}

func TestCheckRefusesWrongSignsAndSwaps(t *testing.T) {
	for _, code := range codes(t, 300) {
		if err := Check(code); err != nil {
			t.Fatalf("fresh code: %v", err)
		}
		for i := range CodeLength {
			for _, c := range []byte(Alphabet) {
				wrong := code[:i] + string(c) + code[i+1:]
				if err := Check(wrong); (wrong == code) != (err == nil) {
					t.Errorf("Check(%s) after a change in %s = %v", wrong, code, err)
				}
			}
			for j := i + 1; j < CodeLength; j++ {
				signs := []byte(code)
				signs[i], signs[j] = signs[j], signs[i]
				if wrong := string(signs); wrong != code && Check(wrong) == nil {
					t.Errorf("%s with signs %d and %d changed over passes", code, i, j)
				}
			}
		}
	}
}

func TestCheckSaysWhatIsWrong(t *testing.T) {
	good := codes(t, 1)[0]
	for _, c := range []struct {
		code string
		want error
	}{
		{good, nil}, {"", ErrLength}, {good[:7], ErrLength}, {good + "2", ErrLength},
		{"0" + good[1:], ErrSign}, {strings.ToLower(good), ErrSign}, {"αααα", ErrSign},
		{string(Alphabet[(strings.IndexByte(Alphabet, good[0])+1)%29]) + good[1:], ErrCheckSign},
	} {
		if err := Check(c.code); !errors.Is(err, c.want) || (err == nil) != (c.want == nil) {
			t.Errorf("Check(%q) = %v, want %v", c.code, err, c.want)
		}
	}
}

func TestNewCodeIsNeverGivenTwice(t *testing.T) {
	used := map[string]bool{}
	random := source(2)
	for range 2000 {
		c, err := NewCode(random, func(c string) bool { return used[c] })
		if err != nil || used[c] {
			t.Fatalf("NewCode = %q, %v, used %v", c, err, used[c])
		}
		used[c] = true
	}
	same := bytes.Repeat([]byte{7}, CodeLength-1)
	twice := append(append([]byte{}, same...), 1, 2, 3, 4, 5, 6, 7)
	first, _ := NewCode(bytes.NewReader(same), nil)
	second, err := NewCode(bytes.NewReader(twice), func(c string) bool { return c == first })
	if err != nil || second == first {
		t.Errorf("the second code is %q, %v; the first was %q", second, err, first)
	}
	if _, err := NewCode(bytes.NewReader([]byte{1, 2}), nil); err == nil {
		t.Error("a source that ran dry gave a code")
	}
}

func TestNewCodeUsesEverySignAlike(t *testing.T) {
	counts := map[byte]int{}
	all := codes(t, 5800)
	for _, c := range all {
		for i := range CodeLength {
			counts[c[i]]++
		}
	}
	want := len(all) * CodeLength / 29 // 1600, standard deviation about 39
	for _, c := range []byte(Alphabet) {
		if n := counts[c]; n < want-200 || n > want+200 {
			t.Errorf("sign %q came %d times, expected about %d", c, n, want)
		}
	}
}

func TestNormaliseAndFormat(t *testing.T) {
	for in, want := range map[string]string{
		"7k3f 9q2m": "7K3F9Q2M", " 7K3F-9Q2M\n": "7K3F9Q2M", "7K3F – 9Q2M": "7K3F9Q2M", "\u202e7K3F\u00a09Q2M": "7K3F9Q2M",
		"": "", "O0": "O0",
	} {
		if got := Normalise(in); got != want {
			t.Errorf("Normalise(%q) = %q, want %q", in, got, want)
		}
	}
	if got := Format("7K3F9Q2M"); got != "7K3F 9Q2M" {
		t.Errorf("Format = %q", got)
	}
	if got := Format("7K3"); got != "7K3" {
		t.Errorf("Format of a text that is no code = %q", got)
	}
	for _, c := range codes(t, 50) {
		if Normalise(strings.ToLower(Format(c))) != c {
			t.Errorf("%s is not read back from its printed form", c)
		}
	}
}

func TestRepairFindsTheCodeThatWasMeant(t *testing.T) {
	misread := map[byte]byte{'B': '8', '8': 'B', '5': 'S', '2': 'Z', 'Q': 'O', 'D': '0', 'U': 'V', 'T': '1', 'G': '6'}
	tried := 0
	for _, code := range codes(t, 200) {
		for i := range CodeLength {
			if wrong, ok := misread[code[i]]; ok {
				tried++
				typed := strings.ToLower(code[:i] + string(wrong) + code[i+1:])
				if got := Repair(typed); !slices.Contains(got, code) {
					t.Errorf("Repair(%q) = %v, want %s among them", typed, got, code)
				}
			}
		}
		signs := []byte(code)
		signs[3], signs[4] = signs[4], signs[3]
		if typed := string(signs); typed != code {
			if got := Repair(typed); len(got) < 8 && !slices.Contains(got, code) {
				t.Errorf("Repair(%q) = %v, want %s among them", typed, got, code)
			}
		}
		if got := Repair(code); got != nil {
			t.Errorf("Repair(%q), a good code, = %v", code, got)
		}
	}
	if tried < 200 {
		t.Errorf("only %d misread signs were tried", tried)
	}
	for _, typed := range []string{"", "7K3F", "☃☃☃", "ΩΩΩΩ", "OOOOOOOO", "????????"} {
		for _, c := range Repair(typed) {
			if Check(c) != nil {
				t.Errorf("Repair(%q) offers %q, which is no code", typed, c)
			}
		}
	}
}
