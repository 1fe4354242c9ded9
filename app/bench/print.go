package bench

import (
	"encoding/json"

	"loomwright/app/sheet"
	"loomwright/calc/cut"
	"loomwright/calc/harness"
	"loomwright/calc/tag"
	"loomwright/calc/unit"
)

const codeSigns = tag.CodeLength

// Which tags are printed.
const (
	whichAll    = ""
	whichNew    = "not printed"
	whichStale  = "stale" // printed, and they would say something else now
	whichBranch = "branch"
	whichSome   = "chosen"
)

// settings is how tags are printed on this phone's printer: a preference, the same for every build.
type settings struct {
	Payload tag.Payload        `json:"payload,omitzero"`
	Address string             `json:"address,omitzero"` // empty is where the app was opened from
	Wires   sheet.WireTag      `json:"wires,omitzero"`
	Bundles sheet.BundleTag    `json:"collars,omitzero"`
	Plugs   sheet.ConnectorTag `json:"plugs,omitzero"`
	Plain   bool               `json:"plain,omitzero"` // text alone on all but wires
	Kinds   string             `json:"kinds,omitzero"` // of kindChoices; empty is all
	Grid    string             `json:"grid,omitzero"`  // of sheet.Grids, or custom
	Custom  sheet.Grid         `json:"custom,omitzero"`
	Start   int                `json:"start,omitzero"`
	DPI     int                `json:"dpi,omitzero"`
	Width   unit.Length        `json:"width,omitzero"`
	Right   unit.Length        `json:"right,omitzero"` // what a printer is off, to be made good
	Down    unit.Length        `json:"down,omitzero"`
	Letter  bool               `json:"letter,omitzero"` // lists on Letter
}

const (
	prefPrint  = "print"
	customGrid = "custom"

	onlyWires      = "wires"
	onlyBundles    = "bundles"
	onlyConnectors = "connectors"
)

// loadPrint reads the settings. What cannot be read is the usual one.
func (p *page) loadPrint() settings {
	var s settings
	if json.Unmarshal([]byte(p.S.Device.Prefs.Get(prefPrint)), &s) != nil {
		s = settings{}
	}
	s.DPI = max(s.DPI, 0)
	if s.DPI == 0 {
		s.DPI = 300
	}
	s.Start = max(s.Start, 1)
	if s.Width <= 0 {
		s.Width = tag.DefaultWidth
	}
	if s.Payload == "" {
		s.Payload = tag.Link
	}
	return s
}

// savePrint keeps the settings after a change and works the sheets out again.
func (p *page) savePrint(change func(s *settings)) {
	s := p.loadPrint()
	change(&s)
	if text, err := json.Marshal(s); err == nil {
		p.S.Device.Prefs.Put(prefPrint, string(text))
	}
	p.sheet.stale = true
	p.replan()
}

// grid is the label sheet that is chosen.
func (s settings) grid() sheet.Grid {
	if s.Grid == customGrid && s.Custom != (sheet.Grid{}) {
		return s.Custom
	}
	if g, ok := sheet.GridNamed(s.Grid); ok {
		return g
	}
	return sheet.Grids()[0]
}

// address is what links begin with.
func (s settings) address(root string) string {
	if s.Address != "" {
		return s.Address
	}
	return root
}

// options is the settings as the writers take them. only are the codes to print, nil for all.
func (s settings) options(root string, only []string) sheet.TagOptions {
	return sheet.TagOptions{
		Grid: s.grid(), Start: s.Start, OffsetX: s.Right, OffsetY: s.Down, DPI: s.DPI,
		Payload: s.Payload, Address: s.address(root), Width: s.Width,
		Wires: s.Wires, BundlesPlain: s.Plain, Bundles: s.Bundles, Connectors: s.Plugs, Kinds: s.printed(),
		Only: only,
	}
}

// printed is which kinds of tags are printed; none is all.
func (s settings) printed() []tag.Kind {
	switch s.Kinds {
	case onlyWires:
		return []tag.Kind{tag.OnWire}
	case onlyBundles:
		return []tag.Kind{tag.OnBundle, tag.OnPlace}
	case onlyConnectors:
		return []tag.Kind{tag.OnConnector}
	}
	return nil
}

// choice is which tags are printed, of one build.
type choice struct {
	Which string   `json:"which,omitzero"`
	Place string   `json:"place,omitzero"` // of whichBranch
	Codes []string `json:"codes,omitzero"` // of whichSome
}

func prefPick(build string) string { return "print:" + build }

func (p *page) loadPick() choice {
	var c choice
	if json.Unmarshal([]byte(p.S.Device.Prefs.Get(prefPick(p.S.ID()))), &c) != nil {
		return choice{}
	}
	return c
}

func (p *page) savePick(c choice) {
	if text, err := json.Marshal(c); err == nil {
		p.S.Device.Prefs.Put(prefPick(p.S.ID()), string(text))
	}
	p.sheet.stale = true
	p.replan()
}

// only returns the codes to print; all is true if every tag in use is.
func (p *page) only(c choice) (codes []string, all bool) {
	b := p.S.B()
	switch c.Which {
	case whichNew:
		have := p.wasPrinted()
		for _, t := range b.Tags.All() {
			if _, was := have[t.Code]; !t.Retired && !was {
				codes = append(codes, t.Code)
			}
		}
		return codes, false
	case whichStale:
		return p.stale(), false
	case whichBranch:
		return branchTags(b, p.items(), c.Place), false
	case whichSome:
		for _, code := range c.Codes {
			for _, t := range b.Tags.All() {
				if t.Code == code {
					codes = append(codes, code)
				}
			}
		}
		return codes, false
	}
	return nil, true
}

// items is every wire as the lists have it.
func (p *page) items() []cut.Item {
	p.cut.refresh(p.S, p.grouping(prefCutBy, cut.BySize, cut.ByBranch))
	p.trim.leads = true
	p.trim.refresh(p.S, p.grouping(prefTrimBy, cut.ByPlace, cut.ByBranch))
	var all []cut.Item
	for _, g := range append(append([]cut.Batch(nil), p.cut.batches...), p.trim.batches...) {
		all = append(all, g.Items...)
	}
	return append(all, p.cut.open...)
}

// branchTags returns the codes of the tags of a branch: on the place where it leaves, on the places it leads to, and on
// the ends of wires at any of them; in the order of tags.
func branchTags(b *harness.Build, items []cut.Item, branch string) []string {
	places := map[string]bool{branch: true}
	for _, i := range items {
		if i.Branch == branch && i.Far != "" {
			places[i.Far] = true
		}
	}
	var codes []string
	for _, t := range b.Tags.All() {
		if t.Retired {
			continue
		}
		at := t.Subject
		if c, ok := b.Connectors.Get(t.Subject); ok {
			at = c.Place
		}
		if t.On == harness.KindWire {
			w, ok := b.Wires.Get(t.Subject)
			if !ok {
				continue
			}
			end := w.From
			if t.End == harness.ToEnd {
				end = w.To
			}
			at, _ = b.EndPlace(end)
		}
		if places[at] {
			codes = append(codes, t.Code)
		}
	}
	return codes
}
