package sheet

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"loomwright/app/sheet/sheettest"
	"loomwright/calc/harness"
	"loomwright/calc/tag"
)

// sized is a build whose wires all have a size.
func sized(t *testing.T, wires int) *harness.Build {
	b := seeded(t, wires)
	for _, w := range b.Wires.All() {
		if w.Size == "" {
			w.Size = "0.5"
			put(t, b, harness.KindWire, w.ID, w)
		}
	}
	return b
}

// Whatever the sheet and the style, text and square keep to the faces of a flag, to the round of a collar and away from the hole of a
// plate; and each label says whose it is.
func TestTagsOfBundlesAndConnectorsKeepToTheirShape(t *testing.T) {
	b := sized(t, 60)
	bundles, connectors := sheettest.Tagged(t, b)
	if len(bundles) < 20 || len(connectors) != 0 {
		t.Fatalf("%d bundles, %d connectors", len(bundles), len(connectors))
	}
	width, err := fonts(t).Measure()
	if err != nil {
		t.Fatal(err)
	}
	seen := map[string]int{}
	for _, name := range []string{"a4-3x8", "a4-5x13", "letter-4x20", "tape-12", "tape-24"} {
		g, _ := GridNamed(name)
		for _, o := range []TagOptions{{}, {Bundles: BundleFlag, Connectors: Plate}, {Connectors: Folded}, {BundlesPlain: true, Connectors: Folded}} {
			o.Grid, o.Kinds = g, []tag.Kind{tag.OnBundle, tag.OnConnector}
			for _, l := range plan(t, b, o).Labels {
				// Where there may be ink, from and to.
				faces, shape := [][2]float64{{l.X, l.X + l.W}}, "plain"
				switch {
				case l.Round > 0:
					faces, shape = [][2]float64{{l.X, l.X + l.Round}}, "collar"
					if l.W < l.Round+clearTail-1e-9 {
						t.Fatalf("%s: once round is %.1f mm of a label of %.1f mm: no tail", l.Name, l.Round, l.W)
					}
					if q := l.Square; q != nil && (l.Grade != tag.Scans || l.SquareX+q.Width() > l.X+l.Round/2) {
						t.Fatalf("%s: a square of %.1f mm round %.1f mm, %s", l.Name, q.Width(), l.Round, l.Grade)
					}
				case l.Fold > 0:
					faces, shape = [][2]float64{{l.X, l.X + l.face}, {l.X + l.W - l.face, l.X + l.W}}, "flag"
					if gap := l.W - 2*l.face; l.Kind == tag.OnBundle && l.bundle.over > 0 && math.Abs(gap-math.Pi*l.bundle.over) > 1e-9 {
						t.Fatalf("%s: a gap of %.2f mm round %.2f mm", l.Name, gap, l.bundle.over)
					}
				case l.Punch > 0:
					faces, shape = [][2]float64{{l.X, l.Punch - punchCross/2}}, "plate"
				}
				seen[fmt.Sprintf("%s %s", l.Kind, shape)]++
				within := func(from, to float64) bool {
					for _, f := range faces {
						if from >= f[0]-0.1 && to <= f[1]+0.05 {
							return true
						}
					}
					return false
				}
				if q := l.Square; (q == nil) != o.BundlesPlain || q != nil && !within(l.SquareX, l.SquareX+q.Width()) {
					t.Fatalf("%s, %s of %s: its square is %+v at %.1f", g.Name, shape, l.Name, q, l.SquareX-l.X)
				}
				text := ""
				for _, line := range l.Lines {
					text += line.Text + "|"
					if !within(line.X, line.X+width(line.Text, line.Points, line.Bold)) || line.Y < l.Y || line.Y > l.Y+l.H {
						t.Fatalf("%s, %s of %s: the line %q leaves its face", g.Name, shape, l.Name, line.Text)
					}
				}
				if !strings.Contains(strings.ReplaceAll(text, "|", " "), tag.Format(l.Tag.Code)) {
					t.Fatalf("%s, %s: the code %s is not in %q", g.Name, shape, l.Tag.Code, text)
				}
			}
		}
	}
	for _, shape := range []string{"bundle collar", "bundle flag", "bundle plate", "connector plain", "connector plate", "connector flag"} {
		if seen[shape] == 0 {
			t.Errorf("no %s was made: %v", shape, seen)
		}
	}
}

// A bundle's tag says which loom, from where to where and how many wires; that of a connector the device, the connector and its ways.
func TestWhatTagsOfBundlesAndConnectorsSay(t *testing.T) {
	b := sized(t, 60)
	put(t, b, harness.KindConnector, "a", harness.Connector{Place: "ecu", Name: "A"})
	put(t, b, harness.KindConnector, "b", harness.Connector{Place: "ecu", Name: "B", Rows: 2, Columns: 13})
	bundles, connectors := sheettest.Tagged(t, b)
	if len(connectors) != 2 {
		t.Fatalf("%d tags of connectors", len(connectors))
	}
	tape, _ := GridNamed("tape-24")
	p := plan(t, b, TagOptions{Grid: tape, Only: append(connectors, bundles[0])})
	for i, want := range [][]string{{"Controller A", "60 ways", "connector A"}, {"Controller B", "26 ways", "connector B"}, {"Controller > Split 1", "loom main", "60 wires"}} {
		text := ""
		for _, line := range p.Labels[i].Lines {
			text += line.Text + " "
		}
		text = strings.ReplaceAll(text, "\u00a0", " ")
		for _, w := range want {
			if !strings.Contains(text, w) {
				t.Errorf("label %d says %q, without %q", i, text, w)
			}
		}
	}
	if l := p.Labels[2]; l.Round == 0 || math.Abs(p.PageWidth(3)-l.Round-clearTail) > 1e-9 || p.PageWidth(1) != 60 {
		t.Errorf("the tape is %.1f mm long for %.1f mm round, %.1f for a connector", p.PageWidth(3), l.Round, p.PageWidth(1))
	}
	if notes := strings.Join(p.Notes, "\n"); !strings.Contains(notes, "1 tag goes round a bundle") {
		t.Errorf("notes: %s", notes)
	}
}
