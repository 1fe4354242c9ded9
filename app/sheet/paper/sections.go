package paper

import (
	"loomwright/app/sheet"
	"loomwright/calc/bundle"
	"loomwright/calc/harness"
)

// sectionsPart is the cross-sections in two columns, each run with its legend; a long one goes on in the next column.
func sectionsPart(pdf *pen, b *harness.Build, o sheet.Options) part {
	wide, high := paperSize(o)
	all := sheet.SectionsOf(b, o)
	top, bottom := edge+headHeight, high-edge-8
	places, pages := spread(all, bottom-top)
	return part{title: "Cross-sections", wide: wide, high: high, pages: pages, foot: "Loomwright", draw: func(n int) error {
		pdf.pageHead("Cross-sections", b, o, wide)
		for i, s := range all {
			if places[i].page == n {
				pdf.section(s, edge+float64(places[i].column)*(sheet.SectionWidth+sheet.SectionGap), top+places[i].y, bottom)
			}
		}
		if len(all) == 0 {
			pdf.write(edge, top+4, "No run has a wire yet.", 9, false)
		}
		pdf.write(edge, high-edge-1, sheet.SectionNotes(b.Settings.Unit), 7, false)
		return nil
	}}
}

type sectionPlace struct {
	page, column int
	y            float64
}

// spread puts sections one under the other into columns of this height. One that is taller than a column gets its own.
func spread(all []sheet.Section, room float64) (places []sectionPlace, pages int) {
	at := sectionPlace{}
	for _, s := range all {
		if h := s.Height(); at.y > 0 && at.y+h > room {
			at.y = 0
			if at.column++; at.column == 2 {
				at.page, at.column = at.page+1, 0
			}
		}
		places = append(places, at)
		at.y += s.Height() + sheet.SectionGap
	}
	return places, at.page + 1
}

// section draws one run with its corner at left and top. A legend that is longer than the page goes on in smaller type beside
// itself.
func (p *pen) section(s sheet.Section, left, top, bottom float64) {
	p.write(left, top+4, s.Title, 9, true)
	p.write(left, top+8.5, s.Facts, 8, false)
	k, y := s.Scale(), top+sheet.SectionHead
	p.SetLineWidth(0.2)
	for _, r := range s.Drawing.Rings {
		p.SetDashPattern(nil, 0)
		if r.Kind == bundle.RingBundle || r.Kind == bundle.RingGroup {
			p.SetDashPattern([]float64{1, 0.8}, 0)
		}
		p.SetFillColor(255, 255, 255)
		p.Circle(left+r.X*k, y+r.Y*k, r.R*k, "FD")
		p.SetFillColor(0, 0, 0)
		if size := min(r.R*k*1.1, 4); r.Letter != "" {
			points := size / sheet.Point
			p.write(left+r.X*k-p.width(r.Letter, points, true)/2, y+r.Y*k+size*0.36, r.Letter, points, true)
		}
	}
	p.SetDashPattern(nil, 0)
	line := y + s.Drawing.Height*k + 3 + sheet.SectionLine*0.75
	room := int((bottom - line) / sheet.SectionLine)
	step, points := sheet.SectionLine, 7.0
	if n := len(s.Wires) + 1; n > room && room > 0 {
		step = sheet.SectionLine * float64(room) / float64(n)
		points = max(4, points*step/sheet.SectionLine)
	}
	for _, wire := range s.Wires {
		p.write(left, line, wire.Letter, points, true)
		p.swatch(left+7, line-2.2*step/sheet.SectionLine, wire.Colour[0], wire.Colour[1])
		p.write(left+14, line, wire.Text, points, false)
		line += step
	}
	p.write(left, line, s.Missing, points, false)
}
