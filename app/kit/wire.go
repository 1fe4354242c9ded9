package kit

import (
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/calc/harness"
	"loomwright/calc/unit"
)

const svgNS = "http://www.w3.org/2000/svg"

// SVG is an element of a drawing.
func SVG(tag string) app.HTMLElem { return app.Elem(tag).XMLNS(svgNS) }

// Colour shows the colours of a wire: a swatch and the letters beside it. Letters alone for a colour without a swatch.
func Colour(base, tracer string) app.UI {
	c := unit.Colour{Base: base, Tracer: tracer}
	if base == "" {
		return app.Span().Class("small").Text("no colour")
	}
	return app.Span().Class("colour").Body(swatch(base, tracer), app.Text(" "+c.Code()))
}

func swatch(base, tracer string) app.UI {
	if !hasSwatch(base) {
		return nil
	}
	body := []app.UI{SVG("rect").Attr("data-c", base).Attr("width", 34).Attr("height", 16)}
	if hasSwatch(tracer) {
		body = append(body, SVG("rect").Attr("data-c", tracer).Attr("y", 6).Attr("width", 34).Attr("height", 5))
	}
	return app.Span().Class("swatch").Aria("hidden", true).Body(
		SVG("svg").Attr("viewBox", "0 0 34 16").Attr("preserveAspectRatio", "none").Body(body...),
	)
}

// hasSwatch reports whether the style sheet knows a colour. The framework sets no class on elements of a drawing, so an
// attribute stands for it.
func hasSwatch(colour string) bool {
	switch colour {
	case "black", "brown", "red", "orange", "yellow", "green", "blue", "violet", "grey", "white", "pink", "turquoise":
		return true
	}
	return false
}

// PlaceName is the name of a place, or what stands for it when it has none or is gone.
func PlaceName(b *harness.Build, id string) string {
	p, ok := b.Places.Any(id)
	switch {
	case id == "":
		return "no place yet"
	case !ok:
		return "a place that is not here"
	case p.Gone:
		return nameOr(p.Name, string(p.Kind)) + " (deleted)"
	}
	return nameOr(p.Name, string(p.Kind))
}

// TerminalName is a terminal as it is called at its place: "A 14", "87a".
func TerminalName(b *harness.Build, id string) string {
	t, ok := b.Terminals.Any(id)
	if !ok {
		return ""
	}
	return strings.TrimSpace(t.Connector + " " + t.Name)
}

// EndName says where a wire ends: place and terminal, or joint.
func EndName(b *harness.Build, e harness.End) string {
	if e.Joint != "" {
		j, ok := b.Joints.Any(e.Joint)
		if !ok {
			return "a joint that is not here"
		}
		return "joint " + nameOr(j.Name, "without a name")
	}
	place, _ := b.EndPlace(e)
	name := PlaceName(b, place)
	if t := TerminalName(b, e.Terminal); t != "" {
		return name + " " + t
	}
	return name
}

// RunName is a run by the names of its two places.
func RunName(b *harness.Build, r harness.Run) string {
	return PlaceName(b, r.A) + " to " + PlaceName(b, r.B)
}

// LoomName is the name of a loom, or what stands for it.
func LoomName(b *harness.Build, id string) string {
	l, ok := b.Looms.Any(id)
	switch {
	case id == "":
		return "no loom"
	case !ok:
		return "a loom that is not here"
	case l.Gone:
		return l.Name + " (deleted)"
	}
	return l.Name
}

func nameOr(name, other string) string {
	if name == "" {
		return other
	}
	return name
}
