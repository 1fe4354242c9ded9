package kit

import (
	"fmt"
	"math"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/calc/sketch"
	"loomwright/calc/survey"
)

// How well a length is known is drawn without colour: not read or guessed is dashed, read once is a plain line, checked has
// two ticks across it, as a surveyor ticks a figure off, and disagreeing has a cross.

// reach is how far the ticks stand out of the middle of a line, px of the drawing.
const reach = 9

// qualityMarks is the path of what is drawn across a run, a third of its way along, where no length stands.
func qualityMarks(points []sketch.Point, q survey.Quality) string {
	if len(points) < 4 || q != survey.Checked && q != survey.Disagreeing {
		return ""
	}
	pieces := (len(points) - 1) / 3
	i := 3 * (pieces / 3)
	t := 0.34
	if pieces > 2 {
		t = 0.5
	}
	c := points[i : i+4]
	at, ahead := along(c, t), along(c, t+0.02)
	dx, dy := ahead.X-at.X, ahead.Y-at.Y
	n := math.Hypot(dx, dy)
	if n == 0 {
		return ""
	}
	dx, dy = dx/n, dy/n
	if q == survey.Checked {
		return tick(at, dx, dy, -3, -3) + tick(at, dx, dy, 3, 3)
	}
	return tick(at, dx, dy, -7, 7) + tick(at, dx, dy, 7, -7)
}

// tick is a stroke across a line that runs in the direction dx, dy: on one side so far along it, on the other so far.
func tick(at sketch.Point, dx, dy, from, to float64) string {
	return fmt.Sprintf("M%.1f %.1fL%.1f %.1f", at.X+from*dx-reach*dy, at.Y+from*dy+reach*dx, at.X+to*dx+reach*dy, at.Y+to*dy-reach*dx)
}

// legend is what the lines of the sketch mean, the worst first.
var legend = []struct {
	quality survey.Quality
	words   string
	class   string
}{
	{"", "not measured", "run guess"},
	{survey.Guessed, "guessed", "run guess"},
	{survey.Disagreeing, "readings disagree", "run odd"},
	{survey.Once, "read once", "run"},
	{survey.Checked, "checked", "run"},
}

// Legend says what the lines of the sketch mean, and how many runs are of each.
func Legend(count map[survey.Quality]int) app.UI {
	var items []app.UI
	for _, x := range legend {
		sample := []sketch.Point{{X: 4, Y: 12}, {X: 20, Y: 12}, {X: 40, Y: 12}, {X: 60, Y: 12}}
		drawing := []app.UI{SVG("path").Attr("data-sk", x.class).Attr("d", "M4 12H60").Attr("stroke-width", "4")}
		if marks := qualityMarks(sample, x.quality); marks != "" {
			drawing = append(drawing, SVG("path").Attr("data-sk", strings.TrimSpace("cross "+x.class)).Attr("d", marks))
		}
		if x.quality == "" {
			drawing = append(drawing, text("len none", "?", 32, 9, "middle"))
		}
		items = append(items, app.Span().Body(
			SVG("svg").Aria("hidden", true).Attr("viewBox", "0 0 64 24").Attr("width", "64").Attr("height", "24").Body(drawing...),
			app.Text(fmt.Sprintf("%s: %d", x.words, count[x.quality])),
		))
	}
	return app.Div().Class("legend").Body(items...)
}
