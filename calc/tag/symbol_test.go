package tag

import (
	"encoding/csv"
	"errors"
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"strings"
	"testing"

	qrcode "github.com/skip2/go-qrcode"

	"loomwright/calc/unit"
)

func TestCapacityAgainstTheStandard(t *testing.T) {
	f, err := os.Open("../../testdata/reference/qr_capacity.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if len(rows) != 1+4*MaxVersion {
		t.Fatalf("%d rows, want a heading and 4 levels of %d versions", len(rows), MaxVersion)
	}
	number := func(s string) int {
		n, err := strconv.Atoi(s)
		if err != nil {
			t.Fatal(err)
		}
		return n
	}
	for _, row := range rows[1:] {
		version, level := number(row[0]), Level(strings.Index("LMQH", row[2]))
		s := Symbol{"", version, level}
		if s.Modules() != number(row[1]) || s.Side() != number(row[8]) {
			t.Errorf("version %d: %d modules, %d with the quiet zone; want %s, %s", version, s.Modules(), s.Side(), row[1], row[8])
		}
		if got := dataCodewords[version-1][level]; got != number(row[3]) {
			t.Errorf("version %d %s: %d data codewords, want %s", version, level, got, row[3])
		}
		for mode, want := range map[Mode]int{Numeric: number(row[5]), Alphanumeric: number(row[6]), Byte: number(row[7])} {
			if got := Capacity(version, level, mode); got != want {
				t.Errorf("version %d %s holds %d signs of mode %d, want %d (%s)", version, level, got, mode, want, row[9])
			}
			// The encoder agrees at the limit and one above it.
			sign := [...]string{"7", "A", "a"}[mode]
			lib := [...]qrcode.RecoveryLevel{qrcode.Low, qrcode.Medium, qrcode.High, qrcode.Highest}[level]
			if _, err := qrcode.NewWithForcedVersion(strings.Repeat(sign, want), version, lib); err != nil {
				t.Errorf("version %d %s: the encoder refuses %d signs of mode %d: %v", version, level, want, mode, err)
			}
			if _, err := qrcode.NewWithForcedVersion(strings.Repeat(sign, want+1), version, lib); err == nil {
				t.Errorf("version %d %s: the encoder takes %d signs of mode %d", version, level, want+1, mode)
			}
		}
	}
	if Capacity(0, LevelL, Byte) != 0 || Capacity(MaxVersion+1, LevelL, Byte) != 0 {
		t.Error("a version that is not made has a capacity")
	}
}

// The version is the one that the encoder would choose by itself, and the level cannot be raised.
func TestNewSymbolAgainstTheEncoder(t *testing.T) {
	random := rand.New(rand.NewPCG(7, 7))
	const signs = "0123456789ABCXYZ $%*+-./:abcxyz#?é"
	for range 2000 {
		var b strings.Builder
		for n := 1 + random.IntN(120); n > 0; {
			// Stretches of one mode, as addresses and words have them.
			from := random.IntN(len(signs) - 4)
			for k := 1 + random.IntN(12); k > 0 && n > 0; k, n = k-1, n-1 {
				b.WriteByte(signs[from+random.IntN(4)])
			}
		}
		text := b.String()
		floor := Level(random.IntN(4))
		lib := []qrcode.RecoveryLevel{qrcode.Low, qrcode.Medium, qrcode.High, qrcode.Highest}
		s, err := NewSymbol(text, floor)
		q, libErr := qrcode.New(text, lib[floor])
		if libErr != nil || q.VersionNumber > MaxVersion {
			if err == nil {
				t.Errorf("%q at %s: version %d, the encoder needs more", text, floor, s.Version)
			}
			continue
		}
		if err != nil || s.Version != q.VersionNumber || s.Level < floor {
			t.Errorf("%q at %s: %+v, %v; the encoder chooses version %d", text, floor, s, err, q.VersionNumber)
			continue
		}
		if s.Level < LevelH {
			if _, err := qrcode.NewWithForcedVersion(text, s.Version, lib[s.Level+1]); err == nil {
				t.Errorf("%q: version %d would hold it at level %s too", text, s.Version, s.Level+1)
			}
		}
		rows, err := s.Bitmap()
		if err != nil || len(rows) != s.Modules() || len(rows[0]) != s.Modules() {
			t.Errorf("%q: %d rows, %v; want %d", text, len(rows), err, s.Modules())
		}
	}
	if _, err := NewSymbol("", LevelL); err == nil {
		t.Error("an empty text has a square")
	}
}

func TestBitmapHasNoBorder(t *testing.T) {
	s, err := NewSymbol(good, FloorLevel)
	if err != nil || s.Version != 1 || s.Level != LevelH {
		t.Fatalf("%+v, %v; a code fits version 1 at level H", s, err)
	}
	rows, err := s.Bitmap()
	if err != nil {
		t.Fatal(err)
	}
	for i := range 7 { // the edge of the finder pattern, ISO/IEC 18004 section 6.3.3
		if !rows[0][i] || !rows[i][0] || !rows[len(rows)-1][i] {
			t.Fatalf("module %d of a finder pattern is light", i)
		}
	}
}

func TestSquareIsWholeDotsAndFits(t *testing.T) {
	own := address(t, "https://harness.example/app-1/")
	if n := len(own.String()); n != 30 {
		t.Fatalf("the address has %d signs", n)
	}
	for _, c := range []struct {
		name      string
		text      string
		dpi, dots int
		width     float64
	}{
		{"code, 300 dpi", good, 300, 4, 29 * 4 * 25.4 / 300},
		{"code, 203 dpi", good, 203, 3, 29 * 3 * 25.4 / 203},
		{"link, 300 dpi", own.Link(good), 300, 3, 37 * 3 * 25.4 / 300},
		{"link, 203 dpi", own.Link(good), 203, 2, 37 * 2 * 25.4 / 203},
		{"link in bytes only, 300 dpi", own.String() + "#" + good, 300, 3, 37 * 3 * 25.4 / 300},
		{"link in bytes only, 203 dpi", own.String() + "#" + good, 203, 2, 37 * 2 * 25.4 / 203},
		{"link, 600 dpi", own.Link(good), 600, 7, 37 * 7 * 25.4 / 600},
	} {
		s, err := NewSymbol(c.text, FloorLevel)
		if err != nil {
			t.Fatal(err)
		}
		q, err := s.Square(Print{DPI: c.dpi, Width: DefaultWidth})
		if err != nil || q.Dots != c.dots || math.Abs(q.Width()-c.width) > 1e-9 || q.Width() > 12 || q.Module() < 0.25 {
			t.Errorf("%s: %d dots, %.3f mm wide, module %.3f, %v; want %d dots, %.3f mm", c.name, q.Dots, q.Width(), q.Module(), err, c.dots, c.width)
		}
	}
}

func TestTooSmallNamesTheWidthThatWouldDo(t *testing.T) {
	s, err := NewSymbol(good, FloorLevel)
	if err != nil {
		t.Fatal(err)
	}
	_, err = s.Square(Print{DPI: 203, Width: 5 * unit.Millimetre}) // one dot of 0.125 mm a module
	if !errors.Is(err, ErrTooSmall) || !strings.Contains(err.Error(), "give it 7.3 mm") {
		t.Errorf("error %v, want ErrTooSmall with 7.3 mm", err)
	}
	if _, err := s.Square(Print{DPI: 203, Width: 73 * unit.Millimetre / 10}); err != nil {
		t.Errorf("the width that was named does not do: %v", err)
	}
	if _, err := s.Square(Print{DPI: 203, Width: 10 * unit.Millimetre, Smallest: unit.Millimetre}); !errors.Is(err, ErrTooSmall) {
		t.Errorf("error %v with a larger least module", err)
	}
	for _, dpi := range []int{0, -300, 99, 1 << 30} {
		if _, err := s.Square(Print{DPI: dpi, Width: DefaultWidth}); err == nil || errors.Is(err, ErrTooSmall) {
			t.Errorf("%d dpi: %v", dpi, err)
		}
	}
	if q, err := s.Square(Print{DPI: 254, Width: 29 * unit.Millimetre / 2}); err != nil || q.Dots != 5 {
		t.Errorf("exactly five dots of 0.1 mm: %d, %v", q.Dots, err)
	}
}
