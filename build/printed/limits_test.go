package printed

import (
	"context"
	"errors"
	"fmt"
	"image"
	"math"
	"slices"
	"sync"
	"testing"

	"loomwright/app/sheet"
	"loomwright/app/sheet/sheettest"
	"loomwright/build/frames"
	"loomwright/build/scanning"
	"loomwright/calc/harness"
	"loomwright/calc/tag"
	"loomwright/calc/unit"
	"loomwright/calc/wire"
)

// printers are the resolutions of label printers and of office printers.
var printers = []int{180, 203, 300, 600}

// tried is a printed square before a phone, and why it is there.
type tried struct {
	why string
	frames.Held
}

// tallied is how many pictures of each reason there are, how many of them the reader that ships reads, and how many it or
// zbarimg.
type tallied struct{ tries, ships, either int }

// seen draws what the phone sees of each square, with as many hands, lights and prints, and reads it.
func seen(t *testing.T, tab context.Context, all []tried, hands int) map[string]tallied {
	t.Helper()
	pictures := make([]*image.Gray, len(all)*hands)
	var wait sync.WaitGroup
	for i := range pictures {
		wait.Go(func() {
			h := all[i/hands].Held
			h.Seed = uint64(i) + 1<<40
			f, err := h.Frame()
			if err != nil {
				t.Error(err)
				return
			}
			pictures[i] = f.Image
		})
	}
	wait.Wait()
	if t.Failed() {
		t.FailNow()
	}
	zbar, err := ZBar(pictures)
	if err != nil {
		t.Fatal(err)
	}
	ships, err := scanning.Texts(tab, sheettest.Module(t), pictures)
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]tallied{}
	for i := range pictures {
		x := all[i/hands]
		n := out[x.why]
		n.tries++
		ours := slices.Contains(ships[i], x.Symbol.Text)
		if ours {
			n.ships++
		}
		if ours || slices.Contains(zbar[i], x.Symbol.Text) {
			n.either++
		}
		out[x.why] = n
	}
	return out
}

// held is a square as it is printed, round something or flat.
func held(q tag.Square, diameter float64, along bool) frames.Held {
	return frames.Held{Symbol: q.Symbol, Module: q.Module(), Diameter: diameter, Along: along}
}

// spread takes at most n of a list, evenly.
func spread[T any](all []T, n int) []T {
	if len(all) <= n {
		return all
	}
	out := make([]T, n)
	for i := range out {
		out[i] = all[i*len(all)/n]
	}
	return out
}

// refusedForSize returns tags of the demo whose modules the sheet refuses as too small, as that printer would have made them, for
// each sheet, resolution and kind of text where it does.
func refusedForSize(t *testing.T, b *harness.Build) (all []tried) {
	t.Helper()
	for _, dpi := range printers {
		for _, grid := range []string{"tape-6", "tape-9", "tape-12", "letter-4x20"} {
			for _, payload := range tag.Payloads {
				g, ok := sheet.GridNamed(grid)
				if !ok {
					t.Fatalf("no sheet %s", grid)
				}
				o := sheet.Options{Font: fonts(t), Tags: sheet.TagOptions{Grid: g, DPI: dpi, Payload: payload, Address: address, Only: every(b, 9)}}
				if _, err := sheet.PlanTags(b, o); !errors.Is(err, tag.ErrTooSmall) {
					if err != nil {
						t.Fatal(err)
					}
					continue
				}
				o.Tags.Smallest = 1 // a nanometre: nothing is too small
				plan, err := sheet.PlanTags(b, o)
				if errors.Is(err, tag.ErrTooSmall) {
					continue // not a dot for each module: there is nothing to print
				}
				if err != nil {
					t.Fatal(err)
				}
				var refused []tag.Square
				for _, l := range plan.Labels {
					if q := *l.Square; q.Flat() == tag.WillNot {
						refused = append(refused, q)
					}
				}
				if len(refused) == 0 {
					t.Errorf("%s at %d dpi, %s: refused, and no module is too small", grid, dpi, payload)
				}
				for _, q := range spread(refused, 3) {
					all = append(all, tried{fmt.Sprintf("too small: %s on %s at %d dpi", payload, grid, dpi), held(q, 0, false)})
				}
			}
		}
	}
	return all
}

// refusedForRound returns tags of the demo on wires that are too thin for a square round them, as they would have been printed.
func refusedForRound(t *testing.T, b *harness.Build) (all []tried) {
	t.Helper()
	own, err := tag.ParseAddress(address)
	if err != nil {
		t.Fatal(err)
	}
	for _, dpi := range printers {
		for _, payload := range tag.Payloads {
			o := sheet.Options{Font: fonts(t), Tags: sheet.TagOptions{DPI: dpi, Payload: payload, Address: address, Wires: sheet.Tape, Kinds: []tag.Kind{tag.OnWire}}}
			plan, err := sheet.PlanTags(b, o)
			if err != nil {
				t.Fatal(err)
			}
			var refused []tried
			for i, l := range plan.Labels {
				diameter, _, known := wire.OutsideDiameter(l.Size)
				if l.Square != nil || !known {
					continue
				}
				text, err := payload.Text(own, l.Subject())
				if err != nil {
					t.Fatal(err)
				}
				symbol, err := tag.NewSymbol(text, tag.FloorLevel)
				if err != nil {
					t.Fatal(err)
				}
				q, grade, err := symbol.Round(tag.Print{DPI: dpi, Width: tag.DefaultWidth}, diameter)
				if err != nil || grade != tag.WillNot {
					t.Fatalf("%s round %.1f mm at %d dpi has no square and is graded %s, %v", l.Name, diameter.MM(), dpi, grade, err)
				}
				refused = append(refused, tried{fmt.Sprintf("too thin: %s at %d dpi", payload, dpi), held(q, diameter.MM(), i%2 == 0)})
			}
			if len(refused) == 0 {
				t.Errorf("%s at %d dpi: every wire of the demo carries a square round it", payload, dpi)
			}
			all = append(all, spread(refused, 3)...)
		}
	}
	return all
}

// What is refused of the demo fails in at least half of the tries, for each reason, medium, resolution and kind of text,
// with a phone as good and a hand as steady as they come.
func TestRefusedTagsOfTheDemoFail(t *testing.T) {
	tab, b := tab(t), demo(t)
	small, round := refusedForSize(t, b), refusedForRound(t, b)
	if len(small) < 20 || len(round) < 30 {
		t.Fatalf("%d too small, %d too thin: too few to tell", len(small), len(round))
	}
	sum := tallied{}
	for why, n := range seen(t, tab, slices.Concat(small, round), 2) {
		if 2*n.either > n.tries {
			t.Errorf("%s: refused, but %d of %d were read", why, n.either, n.tries)
		}
		sum.tries, sum.either = sum.tries+n.tries, sum.either+n.either
	}
	t.Logf("%d of %d pictures of refused tags were read", sum.either, sum.tries)
}

// symbols are one of each kind of text.
func symbols(t *testing.T) (all []tag.Symbol) {
	t.Helper()
	for _, text := range []string{"7K3F9Q2M", address + "#7K3F9Q2M", "7K3F9Q2M FUEL PUMP", "7K3F9Q2M COOLANT TEMPERATURE FROM CONTROLLER - A14 TO COOLANT - 1 0.5 MM2 YE/GN"} {
		s, err := tag.NewSymbol(text, tag.FloorLevel)
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, s)
	}
	return all
}

// The limits lie where reading ends: the largest module that is refused, and the thickest wire on which a square is refused, fail
// in at least half of the tries; the smallest and the thinnest that are said to scan are read in nine of ten.
func TestLimitsLieWhereReadingEnds(t *testing.T) {
	tab := tab(t)
	var refused, scans []tried
	for _, s := range symbols(t) {
		name := fmt.Sprintf("version %d, level %s", s.Version, s.Level)
		// Dots of which one, two or four are just below the limit, and those of printers.
		for _, q := range []tag.Square{{Symbol: s, DPI: 170, Dots: 1}, {Symbol: s, DPI: 340, Dots: 2}, {Symbol: s, DPI: 678, Dots: 4}, {Symbol: s, DPI: 180, Dots: 1}} {
			if q.Flat() != tag.WillNot {
				t.Errorf("%.4f mm: %s", q.Module(), q.Flat())
			}
			refused = append(refused, tried{name + ", flat", held(q, 0, false)})
		}
		for _, q := range []tag.Square{{Symbol: s, DPI: 203, Dots: 2}, {Symbol: s, DPI: 300, Dots: 3}, {Symbol: s, DPI: 600, Dots: 6}, {Symbol: s, DPI: 180, Dots: 2}} {
			if q.Flat() != tag.Scans {
				t.Errorf("%.4f mm: %s", q.Module(), q.Flat())
			}
			scans = append(scans, tried{name + ", flat", held(q, 0, false)})
		}
		for i, q := range []tag.Square{{Symbol: s, DPI: 300, Dots: 2}, {Symbol: s, DPI: 300, Dots: 3}, {Symbol: s, DPI: 203, Dots: 3}, {Symbol: s, DPI: 600, Dots: 14}} {
			refused = append(refused, tried{name + ", round", held(q, edge(q, tag.WillNot), i%2 == 0)})
			if q.Flat() == tag.Scans {
				scans = append(scans, tried{name + ", round", held(q, edge(q, tag.Doubtful)+0.1, i%2 == 0)})
			}
		}
	}
	read := seen(t, tab, refused, 4)
	for why, n := range read {
		if 2*n.either > n.tries {
			t.Errorf("%s: refused, but %d of %d were read", why, n.either, n.tries)
		}
	}
	t.Logf("refused, just beyond the limit, read: %v", read)
	read = seen(t, tab, scans, 4)
	for why, n := range read {
		if 10*n.ships < 9*n.tries {
			t.Errorf("%s: said to scan, but %d of %d were read", why, n.ships, n.tries)
		}
	}
	t.Logf("said to scan, just within the limit, read: %v", read)
}

// edge is the thickest round thing, to a tenth of a millimetre, on which a square has no better grade than this.
func edge(q tag.Square, grade tag.Grade) float64 {
	at := func(tenths int) tag.Grade { return q.Grade(unit.Length(tenths) * unit.Millimetre / 10) }
	for tenths := 1000; tenths > 0; tenths-- {
		if g := at(tenths); g == grade || g == tag.WillNot {
			return float64(tenths) / 10
		}
	}
	return math.NaN()
}

// What is said to scan of the demo, flat and round its thickest wires, is read by the phone in nine of ten.
func TestTagsThatScanAreReadByAPhone(t *testing.T) {
	tab, b := tab(t), demo(t)
	var all []tried
	for _, dpi := range printers {
		for _, payload := range tag.Payloads {
			o := sheet.Options{Font: fonts(t), Tags: sheet.TagOptions{DPI: dpi, Payload: payload, Address: address, Only: every(b, 9)}}
			plan, err := sheet.PlanTags(b, o)
			if err != nil {
				t.Fatal(err)
			}
			var good []tried
			for _, l := range plan.Labels {
				if l.Grade == tag.Scans {
					good = append(good, tried{fmt.Sprintf("%s at %d dpi", payload, dpi), held(*l.Square, 0, false)})
				}
			}
			if len(good) == 0 {
				t.Errorf("%s at %d dpi: none scans", payload, dpi)
			}
			all = append(all, spread(good, 5)...)
		}
	}
	sum := tallied{}
	for why, n := range seen(t, tab, all, 2) {
		if 10*n.ships < 9*n.tries {
			t.Errorf("%s: %d of %d were read", why, n.ships, n.tries)
		}
		sum.tries, sum.ships = sum.tries+n.tries, sum.ships+n.ships
	}
	t.Logf("%d of %d pictures of tags that scan were read", sum.ships, sum.tries)
}
