package frames

import (
	"bytes"
	"math"
	"testing"
)

// What a pixel shows of the label is what is drawn at that pixel, flat and round a wire.
func TestSeenAndHitAreInverse(t *testing.T) {
	for _, kind := range []Kind{Tilted, Cylinder, Mixed} {
		for n := range uint64(20) {
			s := sceneOf(kind, newRandom(n))
			p := s.pose()
			for _, at := range [][2]float64{{0, 0}, {p.side, 0}, {p.side / 2, p.side / 3}, {3.5, p.side - 3.5}} {
				x, y := p.seen(at[0], at[1])
				u, v, facing, ok := p.hit(x, y)
				if !ok || facing <= 0 || math.Hypot(u-at[0], v-at[1]) > 1e-6 {
					t.Fatalf("%s %d: %v is seen at %.2f, %.2f, where %v, %v is (%v, %.2f)", kind, n, at, x, y, u, v, ok, facing)
				}
			}
		}
	}
}

// The modules of all codewords are as many as the standard says.
func TestCodewordsFillTheSymbol(t *testing.T) {
	for version, want := range map[int]int{1: 26, 2: 44, 3: 70, 4: 100} { // ISO/IEC 18004, table 1
		seen := map[[2]int]bool{}
		words := codewords(17 + 4*version)
		for _, w := range words {
			for _, at := range w {
				seen[at] = true
			}
		}
		if len(words) != want || len(seen) != 8*want {
			t.Errorf("version %d: %d codewords of %d modules, want %d", version, len(words), len(seen), want)
		}
	}
}

// The same number is the same picture, a plain one is readable, and one without light is not.
func TestFramesAreSeededAndReadable(t *testing.T) {
	for number := 0; number < Count(); number += EachKind {
		a, b := At(number), At(number)
		if !bytes.Equal(a.Image.Pix, b.Image.Pix) || a.Text != b.Text {
			t.Errorf("%s: two pictures of one number differ", a.Name())
		}
		if a.Empty {
			continue
		}
		dark := a.Scene
		dark.White, dark.Black, dark.Grain = 20, 19, 9
		if dark.Readable(dark.Draw()) {
			t.Errorf("%s: readable without contrast", a.Name())
		}
	}
	if Count() < 300 || At(Count()-1).Kind != None {
		t.Errorf("%d frames", Count())
	}
}

// Few scenes hold a code so small, anywhere in its symbol, that a module is hardly more than a pixel.
func TestFewCodesAreTiny(t *testing.T) {
	const tiny = 1.5 // pixels; our choice: below it two modules in a row share most of what a pixel sees
	n, small := 0, 0
	for number := range Count() - NoCode {
		s := sceneOf(Kinds[number/EachKind], newRandom(uint64(number)<<20+1))
		n++
		if s.Narrowest() < tiny {
			small++
		}
	}
	if small > n/50 {
		t.Errorf("of %d codes %d have modules under %g pixels", n, small, tiny)
	}
}
