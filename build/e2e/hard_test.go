package e2e

import (
	"slices"
	"strings"
	"testing"

	"loomwright/build/frames"
	"loomwright/build/scanning"
)

// hardFrames are numbers of frames that the library alone does not read and the reader that ships does, of each kind of
// hardship that the library fails at more than once.
var hardFrames = []int{
	44, 48, 64, 69, // blur
	84, 91, 98, 115, // glare
	123, 124, 132, 156, // round a wire
	160, 170, 183, 199, // dirt
	209, 233, // dim
	325, 339, // two or three of them
}

// What makes the reader better than its library cannot break unnoticed. No picture has a limit of time here, so the same is
// tried on every machine.
func TestHardTagsAreRead(t *testing.T) {
	all := scanning.Draw(hardFrames)
	results, err := scanning.Feed(newScreen(t, nil).ctx, moduleDir, all, 1, 0)
	if err != nil {
		t.Fatal(err)
	}
	kinds := map[frames.Kind]int{}
	for _, r := range results {
		kinds[r.Frame.Kind]++
		if r.Right(r.Plain) {
			t.Errorf("%s: the library reads it alone, so it proves nothing", r.Frame.Name())
		}
		if !r.Read() || r.Wrong(r.Tries[0]) {
			t.Errorf("%s: read %q, want %q", r.Frame.Name(), strings.Join(r.Tries[0].Texts, ", "), r.Frame.Text)
		}
	}
	for _, kind := range []frames.Kind{frames.Blurred, frames.Glaring, frames.Cylinder, frames.Dirty, frames.Dim, frames.Mixed} {
		if kinds[kind] < 2 {
			t.Errorf("%s: %d frames, want 2 at least", kind, kinds[kind])
		}
	}
}

// A label without a code says nothing, whatever is tried.
func TestNoCodeIsReadWhereNoneIs(t *testing.T) {
	last := frames.Count() - 1
	results, err := scanning.Feed(newScreen(t, nil).ctx, moduleDir, scanning.Draw([]int{last, last - 1, last - 2}), 2, 0)
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range results {
		if !r.Frame.Empty || slices.ContainsFunc(r.Tries, r.Wrong) {
			t.Errorf("%s: %v", r.Frame.Name(), r.Tries)
		}
	}
}
