package walk

import (
	"strings"
	"testing"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/calc/harness"
	"loomwright/calc/unit"
	"loomwright/storage"
)

// Bad input that concerns lengths: the answer is shown and the text is kept.
func TestBadLengthsAreAnsweredAndKept(t *testing.T) {
	for _, row := range []struct {
		name, typed, answer string
		inches              bool
	}{
		{"blank", "", "Key in the length first.", false},
		{"zero", "0", "0 is no length", false},
		{"negative", "-5", "", false},
		{"ambiguous comma", "1,234", "1,234 may be", false},
		{"no tape fraction", "14 3/17", "", true},
		{"divided by nothing", "5/0", "", true},
		{"two strokes", "1/2/3", "", true},
		{"half typed", "14 1 /", "", true},
		{"a word", "mint", "", false},
		{"a digit too many", "12000", "over 3000 mm", false},
		{"inches among millimetres", "14", "other unit", false},
		{"ten times", "3680", "over 3000 mm", false},
	} {
		t.Run(row.name, func(t *testing.T) {
			p := walking(t)
			for range 4 {
				p.add(harness.Split, "368")
			}
			if row.inches {
				s := p.B().Settings
				s.Unit = unit.Imperial
				if err := p.Do(settingsChange(p.B().Settings, s)); err != nil {
					t.Fatal(err)
				}
				p.sync()
			}
			p.choose(p.Ctx, target{Kind: harness.Device})
			before := p.Log().Len()
			for _, sign := range row.typed {
				if !p.hardKey(p.Ctx, string(sign), false, false) {
					t.Fatalf("%q is not taken from the keyboard", sign)
				}
			}
			p.hardKey(p.Ctx, "Enter", false, false)
			if p.Log().Len() != before || p.d.Text != row.typed {
				t.Errorf("taken, or the text became %q", p.d.Text)
			}
			if p.wrong == "" && p.doubt == "" {
				t.Error("no answer")
			}
			if html := app.HTMLString(p.walk.Render()); row.answer != "" && !strings.Contains(html, row.answer) {
				t.Errorf("%q is not said; wrong %q, doubt %q", row.answer, p.wrong, p.doubt)
			}
		})
	}
}

// Lengths that people type and that are right: shown at once in both units.
func TestGoodLengthsFromTheKeyboard(t *testing.T) {
	for _, row := range []struct {
		typed string
		mm    float64
	}{{"36,8 cm", 368}, {"0.37 m", 370}, {"14 1/2\"", 368.3}, {"1'2 1/2\"", 368.3}, {"14-1/2 in", 368.3}, {"16/14 in", 16.0 / 14 * 25.4}} {
		t.Run(row.typed, func(t *testing.T) {
			p := walking(t)
			p.choose(p.Ctx, target{Kind: harness.Split})
			for _, sign := range row.typed {
				p.hardKey(p.Ctx, string(sign), false, false)
			}
			if html := app.HTMLString(p.walk.Render()); !strings.Contains(html, " = ") {
				t.Error("not shown in both units")
			}
			p.hardKey(p.Ctx, "Enter", false, false)
			if got := p.length("Controller", "Split 1"); got < row.mm-0.001 || got > row.mm+0.001 {
				t.Errorf("%v mm, want %v: %q", got, row.mm, p.wrong)
			}
		})
	}
}

func settingsChange(old, now harness.Settings) storage.Change {
	return storage.Put(harness.KindSettings, old.ID, old, now)
}
