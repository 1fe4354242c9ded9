package bench

import (
	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/app/sheet"
)

// record offers the whole harness as one file.
func (p *page) record() []app.UI {
	return []app.UI{p.counted(),
		app.P().Class("lede").Text("The whole harness in one file, for the glove box and the next owner."),
		app.P().Text("Route, pins, circuits, panels, wires, lengths, bundles, cross-sections, tags, settings, and the tests that were done."),
		kit.Chips(
			kit.Plain("PDF, to print", p.onWrite("record", sheet.PDF, false), "record"),
			kit.Plain("One page for a screen (HTML)", p.onWrite("record", sheet.HTML, false), "record", "html"),
		),
		p.finished("record"),
		kit.Lines("The page needs nothing else: no network, no app, and it runs no program. Photos are in the backup, not in the record."),
	}
}
