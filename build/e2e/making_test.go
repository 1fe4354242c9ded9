package e2e

import (
	"strings"
	"testing"
)

// TestMaking makes what is bought and printed of the demo with the server stopped: a piece is ticked as bought, an offcut goes on the
// list and the plan uses it, the number of sheets of the board is said before it is printed, and the record leaves as a page and as
// paper; all of it is there after a reload.
func TestMaking(t *testing.T) {
	h := newHost(t, appSite(t), "/")
	p := newPerson(t, strings.TrimSuffix(h.url("/"), "/"))
	p.open(h.url("/"))
	p.tap("Look at the demo")
	p.see("What goes where")
	p.offlineReady()
	h.stop()

	p.tap("Make", "Shopping")
	p.see("0 of ")
	p.tap("○ 0.35 mm² black")
	p.see("1 of ")
	p.until(`(document.querySelector(".split .fig").click(), true)`)
	p.see("sold in steps of")
	p.tap("Close")
	p.tap("Stock")
	p.see("Nothing entered: everything is bought.")
	p.tap("Add an offcut or spool")
	p.enter("Length of each", "2500")
	p.see("Offcut")
	p.saved()
	p.reload()
	p.tap("back")
	p.see("On hand 1")
	p.see("2 500 mm")
	p.tap("0.35 mm² black 1 piece to cut")
	p.see("Offcut, 2 500 mm")

	p.at("make&m=board")
	p.see("sheets and a map of them.")
	p.tap("A3")
	p.gone("Laying it out")
	p.see("sheets and a map of them.")
	if file, data := p.download("Board, PDF"); !strings.HasSuffix(file, ".pdf") || !strings.HasPrefix(string(data), "%PDF-") {
		t.Errorf("%s begins with %q", file, data[:min(len(data), 8)])
	}
	if file, data := p.download("Board, SVG"); !strings.HasSuffix(file, ".svg") || !strings.HasPrefix(string(data), "<svg") {
		t.Errorf("%s begins with %q", file, data[:min(len(data), 8)])
	}
	p.at("make&m=record")
	if file, data := p.download("PDF, to print"); !strings.HasSuffix(file, ".pdf") || !strings.HasPrefix(string(data), "%PDF-") {
		t.Errorf("%s begins with %q", file, data[:min(len(data), 8)])
	}
	if file, data := p.download("One page for a screen"); !strings.HasSuffix(file, ".html") || !strings.Contains(string(data), "default-src 'none'") {
		t.Errorf("%s of %d bytes", file, len(data))
	}
	p.reload()
	p.at("make&m=shop")
	p.see("1 of ")
}
