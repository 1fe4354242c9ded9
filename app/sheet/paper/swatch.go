package paper

// swatch draws base and tracer, the tracer as the lower half, with an ink edge: the letters beside it say it too.
func (p *pen) swatch(x, y float64, base, tracer string) {
	const w, h = 5.0, 2.4
	shade := func(name string, y, h float64) {
		rgb, ok := inks[name]
		if !ok {
			return
		}
		p.SetFillColor(int(rgb[0]), int(rgb[1]), int(rgb[2]))
		p.Rect(x, y, w, h, "F")
	}
	shade(base, y, h)
	if tracer != "" {
		shade(tracer, y+h/2, h/2)
	}
	p.SetFillColor(0, 0, 0)
	p.SetLineWidth(0.15)
	p.Rect(x, y, w, h, "D")
}

// inks are the colours of the swatches; a name that is not here is drawn as an empty box.
//
// Source: our choice, told apart on a common printer.
var inks = map[string][3]uint8{
	"black": {20, 20, 20}, "brown": {120, 72, 32}, "red": {205, 30, 30}, "orange": {240, 130, 20},
	"yellow": {250, 215, 20}, "green": {30, 140, 60}, "blue": {30, 90, 190}, "violet": {125, 60, 160},
	"grey": {140, 140, 140}, "white": {255, 255, 255}, "pink": {245, 150, 180}, "gold": {205, 165, 60},
	"turquoise": {40, 180, 180}, "silver": {200, 204, 208},
}
