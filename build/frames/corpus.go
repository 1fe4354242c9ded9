package frames

import (
	"fmt"
	"image"
	"math"

	"loomwright/calc/tag"
)

// Kind is what makes a picture hard.
type Kind string

// The kinds of pictures, in their order.
const (
	Tilted   Kind = "tilt"
	Blurred  Kind = "blur"
	Glaring  Kind = "glare"
	Cylinder Kind = "cylinder"
	Dirty    Kind = "dirt"
	Dim      Kind = "dim"
	Small    Kind = "small"
	Inverse  Kind = "inverted"
	Mixed    Kind = "mixed" // two or three of the others, milder
	None     Kind = "none"  // no code at all: what a reader does most of the time
)

// Kinds lists them.
var Kinds = []Kind{Tilted, Blurred, Glaring, Cylinder, Dirty, Dim, Small, Inverse, Mixed, None}

// EachKind is how many pictures there are of a kind, NoCode how many without a code.
const (
	EachKind = 40
	NoCode   = 24
)

// Frame is one picture of the corpus.
type Frame struct {
	Kind Kind
	N    int // within its kind, from 0
	Scene
	Image *image.Gray
	Drawn int // how often it was drawn until it was readable in principle
}

// Name names a frame: "glare-07".
func (f *Frame) Name() string { return fmt.Sprintf("%s-%02d", f.Kind, f.N) }

// Count is how many frames there are.
func Count() int { return (len(Kinds)-1)*EachKind + NoCode }

// At returns a frame by its number. A scene that no reader could read (see Scene.Readable) is drawn again.
func At(number int) *Frame {
	kind, n := number/EachKind, number%EachKind
	if kind >= len(Kinds)-1 {
		kind, n = len(Kinds)-1, number-(len(Kinds)-1)*EachKind
	}
	f := &Frame{Kind: Kinds[kind], N: n}
	for f.Drawn = 1; ; f.Drawn++ {
		seed := uint64(number)<<20 + uint64(f.Drawn)
		f.Scene = sceneOf(f.Kind, newRandom(seed))
		f.Seed = seed
		f.Image = f.Draw()
		if f.Empty || f.Readable(f.Image) {
			return f
		}
	}
}

// symbol draws what a tag says: a link, a code alone, or words, as often as people print them.
//
// Source: our choice; the app's own tags at the level that it gives them.
func (s *Scene) symbol(r random) {
	code, err := tag.NewCode(r, nil)
	if err != nil {
		panic(err) // random has always bytes
	}
	text := "HTTPS://HARNESS.EXAMPLE/app-1/#" + code
	switch n := r.Float64(); {
	case n < 0.35:
		text = code
	case n < 0.55:
		text = code + " COOLANT FAN TO A14 1.0 MM2 RD-BK"
	}
	q, err := tag.NewSymbol(text, tag.FloorLevel)
	if err != nil {
		panic(err) // all of them fit
	}
	s.Text, s.Version, s.Level = text, q.Version, int(q.Level)
	if s.Modules, err = q.Bitmap(); err != nil {
		panic(err)
	}
}

// sceneOf draws a scene. Every kind has the small faults that every picture has, and its own large one.
//
// Source: our choice of every range, from what a hand-held phone does within 10 to 30 cm of a tag under a bonnet.
func sceneOf(kind Kind, r random) Scene {
	var text Scene
	text.symbol(r)
	s := plain(r)
	s.Text, s.Version, s.Level, s.Modules = text.Text, text.Version, text.Level, text.Modules
	switch kind {
	case None:
		s.Empty = true
	case Mixed:
		all := []Kind{Tilted, Blurred, Glaring, Cylinder, Dirty, Dim, Small}
		r.Shuffle(len(all), func(i, j int) { all[i], all[j] = all[j], all[i] })
		for _, k := range all[:2+r.IntN(2)] {
			s.spoil(k, r, 0.6)
		}
	default:
		s.spoil(kind, r, 1)
	}
	return s
}

// plain is a scene without a symbol that has the small faults of every picture.
func plain(r random) (s Scene) {
	s.Pixels = r.in(3, 6)
	s.Turn, s.TiltAt = r.turn(), r.turn()
	s.Tilt = degrees(r.in(0, 12))
	s.OffX, s.OffY = r.in(-70, 70), r.in(-70, 70)
	s.Gain = r.in(-0.05, 0.12)
	s.White, s.Black = r.in(150, 235), 0
	s.Black = s.White * r.in(0.08, 0.25)
	s.Uneven, s.UnevenAt = r.in(0, 0.35), r.turn()
	s.Focus, s.Grain = r.in(0.4, 0.8), r.in(1, 3)
	return s
}

// spoil makes a scene hard in one way; much is how much of the whole range is used.
func (s *Scene) spoil(kind Kind, r random, much float64) {
	side := float64(len(s.Modules))
	most := func(from, to float64) float64 { return r.in(from, from+(to-from)*much) }
	switch kind {
	case Tilted:
		s.Tilt = degrees(most(20, 55))
	case Blurred:
		s.Pixels = max(s.Pixels, r.in(3, 7))
		if r.IntN(2) == 0 {
			s.Focus = most(0.35, 0.75) * s.Pixels
		} else {
			s.Focus, s.Motion, s.MoveAt = 0.25*s.Pixels, most(0.8, 1.8)*s.Pixels, r.turn()
		}
	case Glaring:
		for range 1 + r.IntN(2) {
			s.Glare = append(s.Glare, Glare{r.in(0, side), r.in(0, side), side * most(0.08, 0.3), side * most(0.04, 0.2), r.turn(), r.in(0.5, 1.2)})
		}
		s.Black += s.White * r.in(0.05, 0.2)
	case Cylinder:
		s.Round, s.Along = most(0.1, 0.28), r.IntN(2) == 0
	case Dirty:
		s.Film = most(0.3, 0.8)
		for range 4 + int(most(0, 12)) {
			s.Blobs = append(s.Blobs, Blob{r.in(-2, side+2), r.in(-2, side+2), most(0.4, 2.4), r.in(0.05, 0.6)})
		}
		for range r.IntN(6) {
			s.Scratches = append(s.Scratches, Scratch{r.in(0, side), r.in(0, side), r.turn(), most(0.1, 0.45), r.in(0.5, 1)})
		}
	case Dim:
		s.White = r.in(60-42*much, 62)
		s.Black = s.White * r.in(0.2, 0.4)
		s.Grain = most(2, 7)
	case Small:
		s.Pixels = r.in(2.6-0.8*much, 2.7)
		s.Focus = r.in(0.4, 0.6)
	case Inverse:
		s.Inverted = true
	}
}

func degrees(d float64) float64 { return d * math.Pi / 180 }
