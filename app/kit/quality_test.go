package kit

import (
	"strings"
	"testing"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/calc/sketch"
	"loomwright/calc/survey"
)

func TestQualityIsDrawnWithoutColour(t *testing.T) {
	line := []sketch.Point{{X: 0, Y: 0}, {X: 30, Y: 0}, {X: 60, Y: 0}, {X: 90, Y: 0}}
	drawn := map[string]survey.Quality{}
	for _, q := range []survey.Quality{survey.Once, survey.Checked, survey.Disagreeing} {
		marks := qualityMarks(line, q)
		if other, twice := drawn[marks]; twice {
			t.Errorf("%s and %s look the same", q, other)
		}
		drawn[marks] = q
	}
	if qualityMarks(line, survey.Once) != "" {
		t.Error("a run that was read once is more than a line")
	}
	if qualityMarks(line[:1], survey.Checked) != "" || qualityMarks(make([]sketch.Point, 4), survey.Checked) != "" {
		t.Error("a run without a length is ticked")
	}
	// Both ticks stand across a line to the right: straight up and down.
	if got, want := qualityMarks(line, survey.Checked), "M"; strings.Count(got, want) != 2 {
		t.Errorf("checked is drawn as %q, want two ticks", got)
	}
}

func TestLegendCounts(t *testing.T) {
	html := app.HTMLString(Legend(map[survey.Quality]int{survey.Checked: 7, "": 3}))
	for _, want := range []string{"checked: 7", "not measured: 3", "readings disagree: 0", "read once: 0", "guessed: 0"} {
		if !strings.Contains(html, want) {
			t.Errorf("%q is not said", want)
		}
	}
}
