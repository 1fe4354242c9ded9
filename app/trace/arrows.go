package trace

import (
	"math"
	"slices"
	"strconv"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/app/session"
	"loomwright/calc/harness"
	"loomwright/storage"
)

// marking is how an arrow gets onto a photo: two taps, where it begins and what it points at. No drag is needed.
type marking struct {
	on     bool
	tail   [2]float64 // in parts of width and height
	placed bool
}

// arrows draws what points at something, over the photo.
func (v *photo) arrows() app.UI {
	if v.Width <= 0 || v.Height <= 0 {
		return nil
	}
	wide, high := float64(v.Width), float64(v.Height)
	number := func(f float64) string { return strconv.FormatFloat(f, 'f', 1, 64) }
	stroke := number(wide / 90)
	var marks []app.UI
	for _, a := range v.Arrows {
		marks = append(marks, kit.SVG("path").Attr("d", arrowPath(a, wide, high)).Attr("stroke-width", stroke))
	}
	if v.mark.placed {
		marks = append(marks, kit.SVG("circle").Attr("cx", number(v.mark.tail[0]*wide)).Attr("cy", number(v.mark.tail[1]*high)).Attr("r", stroke))
	}
	return kit.SVG("svg").Attr("viewBox", "0 0 "+strconv.Itoa(v.Width)+" "+strconv.Itoa(v.Height)).Aria("hidden", true).OnClick(v.onSpot).Body(marks...)
}

// arrowPath is a line with a head of 25 degrees to either side, a twentieth of the photo long. Our choice.
func arrowPath(a harness.Arrow, wide, high float64) string {
	x1, y1, x2, y2 := a.X1*wide, a.Y1*high, a.X2*wide, a.Y2*high
	at := math.Atan2(y2-y1, x2-x1)
	head := wide / 20
	point := func(x, y float64) string {
		return strconv.FormatFloat(x, 'f', 1, 64) + " " + strconv.FormatFloat(y, 'f', 1, 64)
	}
	const half = 25 * math.Pi / 180
	return "M" + point(x1, y1) + "L" + point(x2, y2) +
		"M" + point(x2-head*math.Cos(at-half), y2-head*math.Sin(at-half)) + "L" + point(x2, y2) + "L" + point(x2-head*math.Cos(at+half), y2-head*math.Sin(at+half))
}

// marking is the buttons under a photo, and what is to be tapped next.
func (v *photo) marking() app.UI {
	switch {
	case v.mark.placed:
		return kit.Note("", "Now tap what it points at.", "")
	case v.mark.on:
		return kit.Note("", "Tap the photo where the arrow begins.", "")
	case len(v.Arrows) == 0:
		return kit.Plain("Draw an arrow", v.onMark, v.ID)
	}
	return kit.Even(kit.Plain("One more arrow", v.onMark, v.ID), kit.Plain("Take the last arrow away", v.onUnmark, v.ID))
}

func (v *photo) onMark(app.Context, app.Event) { v.mark = marking{on: true} }

func (v *photo) onSpot(ctx app.Context, e app.Event) {
	if !v.mark.on {
		v.large = !v.large
		return
	}
	box := ctx.JSSrc().Call("getBoundingClientRect")
	part := func(at, from, size string) float64 {
		return min(1, max(0, (e.Get(at).Float()-box.Get(from).Float())/max(1, box.Get(size).Float())))
	}
	v.spot(part("clientX", "left", "width"), part("clientY", "top", "height"))
}

// spot is a tap on the photo, in parts of its width and height.
func (v *photo) spot(x, y float64) {
	if !v.mark.placed {
		v.mark.tail, v.mark.placed = [2]float64{x, y}, true
		return
	}
	tail := v.mark.tail
	v.mark = marking{}
	v.change(func(all []harness.Arrow) []harness.Arrow {
		return append(all, harness.Arrow{X1: tail[0], Y1: tail[1], X2: x, Y2: y})
	})
}

func (v *photo) onUnmark(app.Context, app.Event) {
	v.change(func(all []harness.Arrow) []harness.Arrow { return all[:max(0, len(all)-1)] })
}

func (v *photo) change(f func([]harness.Arrow) []harness.Arrow) {
	old, ok := v.S.B().Photos.Get(v.ID)
	if !ok {
		return
	}
	now := old
	now.Arrows = f(slices.Clone(old.Arrows))
	if err := v.S.Do(storage.Put(harness.KindPhoto, v.ID, old, now)); err != nil {
		v.S.Say(session.Notice{Tone: "bad", Text: kit.Explain(err)})
	}
}

// changes lists everything that was changed in the car since it was made, what the plan does not say yet first.
func (p *page) changes() (out []app.UI) {
	b := p.S.B()
	all := b.Amendments.All()
	for _, done := range [2]bool{false, true} {
		title, n := "The plan does not say it yet", 0
		if done {
			title = "The plan says it"
		}
		var rows []app.UI
		for i := len(all) - 1; i >= 0; i-- {
			a := &all[i]
			if a.Done != done {
				continue
			}
			n++
			under := a.Text
			if under == "" {
				under = "no word yet of what it was"
			}
			to := p.At.On("plan")
			for _, t := range b.Tags.All() {
				if t.On == a.On && t.Subject == a.Of && !t.Retired {
					to = kit.Addr{Build: p.S.ID(), Page: pageName, Record: t.Code}
					break
				}
			}
			rows = append(rows, kit.Row("", kit.RecordWord(b, a.On, a.Of), under, "", kit.Day(a.At), kit.To(to), to))
		}
		if n > 0 {
			out = append(out, kit.Section(title, strconv.Itoa(n)), app.Div().Class("rows").Body(rows...))
		}
	}
	if len(out) == 0 {
		out = append(out, kit.Note("", "Nothing was changed yet.", "Scan a tag where you change something, and tap “I changed something here”: a photo first, the words later."))
	}
	return out
}
