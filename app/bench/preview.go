package bench

import (
	"fmt"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/app/sheet"
	"loomwright/calc/tag"
)

// previews draws the first label of each kind as they are printed.
func (p *page) previews(plan sheet.TagPlan) []app.UI {
	var out []app.UI
	for _, kind := range []tag.Kind{tag.OnWire, tag.OnPlace, tag.OnConnector, tag.OnBundle} {
		for i := range plan.Labels {
			if plan.Labels[i].Kind == kind {
				out = append(out, preview(&plan.Labels[i]))
				break
			}
		}
	}
	return out
}

// mmPerPoint is a point of type. Source: PDF 32000-1, 8.3.2.3: 72 to the inch.
const mmPerPoint = 25.4 / 72

// preview draws one label, in its own millimetres. The framework sets no class on elements of a drawing, so an attribute
// stands for it.
func preview(l *sheet.PlacedLabel) app.UI {
	f := func(v float64) string { return fmt.Sprintf("%.3f", v) }
	body := []app.UI{kit.SVG("rect").Attr("data-l", "edge").Attr("x", f(l.X)).Attr("y", f(l.Y)).Attr("width", f(l.W)).Attr("height", f(l.H))}
	if l.Fold > 0 {
		body = append(body, kit.SVG("path").Attr("data-l", "fold").Attr("d", "M"+f(l.Fold)+" "+f(l.Y)+"V"+f(l.Y+l.H)))
	}
	if l.Round > 0 {
		body = append(body, kit.SVG("path").Attr("data-l", "fold").Attr("d", "M"+f(l.X+l.Round)+" "+f(l.Y)+"V"+f(l.Y+l.H)))
	}
	if q := l.Square; q != nil {
		if path := squarePath(q.Symbol); path != "" {
			border := tag.QuietZone * q.Module()
			body = append(body, kit.SVG("path").Attr("data-l", "ink").Attr("d", path).
				Attr("transform", fmt.Sprintf("translate(%s %s) scale(%.5f)", f(l.SquareX+border), f(l.SquareY+border), q.Module())))
		}
	}
	for _, t := range l.Lines {
		ink := "ink"
		if t.Bold {
			ink = "bold"
		}
		body = append(body, kit.SVG("text").Attr("data-l", ink).Attr("x", f(t.X)).Attr("y", f(t.Y)).Attr("font-size", f(t.Points*mmPerPoint)).Text(t.Text))
	}
	caption := fmt.Sprintf("%.1f × %.1f mm", l.W, l.H)
	switch {
	case l.Round > 0 && l.Square != nil:
		caption += fmt.Sprintf(", %.1f mm once round, square %.1f mm", l.Round, l.Square.Width())
	case l.Square != nil:
		caption += fmt.Sprintf(", square %.1f mm, read from about %.0f mm away", l.Square.Width(), l.Square.Reach())
	case l.Why != "":
		caption += ", no square: " + l.Why
	}
	return app.Figure().Class("label").Body(
		kit.SVG("svg").Attr("viewBox", f(l.X-0.5)+" "+f(l.Y-0.5)+" "+f(l.W+1)+" "+f(l.H+1)).Attr("role", "img").
			Attr("aria-label", "the label of "+tagName(l.Label)).Body(body...),
		app.FigCaption().Class("small").Text(caption),
	)
}

// squarePath is the dark modules of a QR square, one unit each.
func squarePath(s tag.Symbol) string {
	rows, err := s.Bitmap()
	if err != nil {
		return ""
	}
	var path strings.Builder
	for y, row := range rows {
		for x := 0; x < len(row); x++ {
			from := x
			for x < len(row) && row[x] {
				x++
			}
			if x > from {
				fmt.Fprintf(&path, "M%d %dh%dv1h-%dz", from, y, x-from, x-from)
			}
		}
	}
	return path.String()
}
