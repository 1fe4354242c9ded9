package pins

import (
	"encoding/base64"
	"fmt"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/app/session"
	"loomwright/calc/harness"
	"loomwright/calc/table"
)

// bytesKept is how large a file is kept beside its text, so that its encoding can be chosen after a reload too. Our choice:
// a list of 400 pins is a tenth of it, and preferences are small.
const bytesKept = 200 << 10

func bytesKey(s *session.Session) string { return "pins:file:" + s.ID() }

// loadBytes reads a file that is kept: its encoding and its bytes.
func (x *source) loadBytes(kept string) {
	as, text, ok := strings.Cut(kept, sourceMark)
	if data, err := base64.StdEncoding.DecodeString(text); ok && err == nil {
		x.bytes, x.encoding = data, table.Encoding(as)
	}
}

// beginFile puts a file in place of the list.
func (p *page) beginFile(data []byte, text string, as table.Encoding) {
	p.begin(text)
	p.source.bytes, p.source.encoding = data, as
	if len(data) <= bytesKept {
		p.S.Device.Prefs.Put(bytesKey(p.S), string(as)+sourceMark+base64.StdEncoding.EncodeToString(data))
	}
}

// encodings chooses how the bytes of a file stand for signs; the preview follows.
func (p *page) encodings() []app.UI {
	x := &p.source
	if len(x.bytes) == 0 {
		return nil
	}
	out := []app.UI{kit.Section("Its signs are", "right when umlauts and dashes read well")}
	if text, err := table.TextAs(x.bytes, x.encoding); err != nil || text != x.text {
		return append(out, kit.Lines("Read as "+string(x.encoding)+". Rows were mended since: open the file again to read it otherwise."))
	}
	var chips []app.UI
	for _, as := range table.Encodings {
		chips = append(chips, kit.Choice(string(as), "", as == x.encoding, p.onEncoding(as), string(as)))
	}
	return append(out, kit.Chips(chips...))
}

func (p *page) onEncoding(as table.Encoding) app.EventHandler {
	return func(app.Context, app.Event) {
		text, err := table.TextAs(p.source.bytes, as)
		if err != nil {
			p.refuse = "It does not read as " + string(as) + ". " + explain(err)
			return
		}
		p.refuse = ""
		p.beginFile(p.source.bytes, text, as)
	}
}

// A controller that pins are added to is a preference: an id, fresh for one that is to be made, or empty for the first.
const freshController = "new"

func whoseKey(s *session.Session) string { return "pins:whose:" + s.ID() }

// controllers are the places that pins can be of.
func (p *page) controllers() (all []harness.Place) {
	for _, q := range p.S.B().Places.All() {
		if q.Kind == harness.Controller {
			all = append(all, q)
		}
	}
	return all
}

// whose asks which controller has the pins, where there is one already.
func (p *page) whose() []app.UI {
	all := p.controllers()
	if len(all) == 0 {
		return nil
	}
	chosen := p.chosen(all)
	var chips []app.UI
	for _, q := range all {
		chips = append(chips, kit.Choice(kit.PlaceName(p.S.B(), q.ID), "", q.ID == chosen, p.onWhose(q.ID), q.ID))
	}
	chips = append(chips, kit.Choice("A new controller", "", chosen == freshController, p.onWhose(freshController), freshController))
	return []app.UI{kit.Section("Whose pins are they?", ""), kit.Chips(chips...)}
}

// chosen is the id of the controller that was chosen, or of the first.
func (p *page) chosen(all []harness.Place) string {
	id := p.S.Device.Prefs.Get(whoseKey(p.S))
	for _, q := range all {
		if q.ID == id {
			return id
		}
	}
	if id == freshController {
		return id
	}
	return all[0].ID
}

func (p *page) onWhose(id string) app.EventHandler {
	return func(app.Context, app.Event) { p.S.Device.Prefs.Put(whoseKey(p.S), id) }
}

// controller is where the pins are: the controller that was chosen, or one that is to be made.
func (p *page) controller() (id string, fresh []harness.Place) {
	all := p.controllers()
	if len(all) > 0 {
		if id = p.chosen(all); id != freshController {
			return id, nil
		}
	}
	name, n := "Controller", 1
	for taken := true; taken; {
		taken = false
		for _, q := range p.S.B().Places.All() {
			taken = taken || harness.FoldName(q.Name) == harness.FoldName(name)
		}
		if taken {
			n++
			name = fmt.Sprint("Controller ", n)
		}
	}
	order := 0.0
	if len(all) > 0 { // after all that are there
		for _, q := range p.S.B().Places.All() {
			order = max(order, q.Order+1)
		}
	}
	id = p.S.FreshID()
	return id, []harness.Place{{Record: harness.Record{ID: id}, Name: name, Kind: harness.Controller, Order: order}}
}

// settled notes that the pins were taken by a controller that was made for them: what is added next is for it too.
func (p *page) settled(fresh []harness.Place) {
	if len(fresh) > 0 {
		p.S.Device.Prefs.Put(whoseKey(p.S), fresh[0].ID)
	}
}
