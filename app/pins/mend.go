package pins

import (
	"slices"
	"strconv"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/calc/table"
)

// lines returns the lines of the text that a row was made of, from first to before end, as indexes.
func linesOf(r *table.Result, text string, number int) (lines []string, first, end int, ok bool) {
	lines = strings.Split(strings.ReplaceAll(strings.ReplaceAll(text, "\r\n", "\n"), "\r", "\n"), "\n")
	for i, row := range r.Rows {
		if row.Number != number {
			continue
		}
		first, end = row.Line-1, len(lines)
		for _, next := range r.Rows[i+1:] {
			if next.Of != number && next.Line-1 > first {
				end = next.Line - 1
				break
			}
		}
		return lines, first, end, first >= 0 && first < end && end <= len(lines)
	}
	return lines, 0, 0, false
}

// mendRow shows one row of the list with what is wrong with it, to be mended in its own text.
func (p *page) mendRow(at string) screen {
	s := screen{title: "Row " + at, back: p.home().In(partPreview)}
	s.foot = []app.UI{kit.Act("Back to the list", kit.To(s.back), s.back)}
	r, err := p.result()
	n, bad := strconv.Atoi(at)
	if err != nil || bad != nil {
		return s
	}
	lines, first, end, ok := linesOf(r, p.source.text, n)
	if !ok {
		s.body = []app.UI{app.P().Text("The list has no such row any more.")}
		return s
	}
	for _, row := range r.Rows {
		if row.Number != n {
			continue
		}
		for _, f := range row.Faults {
			tone := "warn"
			if f.Kind.Bad() {
				tone = "bad"
			}
			s.body = append(s.body, kit.Note(tone, firstLarge(f.What)+".", firstLarge(f.Do)+"."))
		}
		if taken := row.Pin.Shared != ""; taken || doubleOnly(row) {
			s.body = append(s.body, kit.Choice("Take it as a second core in cavity "+row.Pin.Cavity, "as it was supplied: two in one terminal", taken, p.onSecondCore(n), n))
		}
		if row.Is == table.Good {
			s.body = append(s.body, kit.Note("good", "It can be taken.", ""))
		}
	}
	now := strings.TrimRight(strings.Join(lines[first:end], "\n"), "\n")
	shown, typing := now, false
	if text, is := p.typing().Text("source", at); is {
		shown, typing = text, text != now
	}
	s.body = append(s.body, kit.Area("The row as it stands in the list", shown, "", func(ctx app.Context, _ app.Event) {
		p.typing().Keep("source", at, kit.Value(ctx))
	}, at))
	if typing {
		s.foot = []app.UI{kit.Act("Set row "+at, p.onMend(n), n)}
	}
	s.body = append(s.body, kit.Danger("Leave row "+at+" out of the list", p.onDrop(n), n))
	return s
}

func (p *page) onMend(n int) app.EventHandler {
	return func(ctx app.Context, _ app.Event) {
		if text, is := p.typing().Text("source", strconv.Itoa(n)); is {
			p.typing().Entered()
			p.replace(n, strings.Split(text, "\n"))
			kit.Go(ctx, p.home().In(partPreview))
		}
	}
}

// onSecondCore takes a row as another core in the cavity of an earlier one, or leaves it out again.
func (p *page) onSecondCore(n int) app.EventHandler {
	return func(app.Context, app.Event) {
		x := &p.source
		if i := slices.Index(x.second, n); i >= 0 {
			x.second = slices.Delete(x.second, i, i+1)
		} else {
			x.second = append(x.second, n)
		}
		p.saveSource()
	}
}

func (p *page) onDrop(n int) app.EventHandler {
	return func(ctx app.Context, _ app.Event) {
		p.replace(n, []string{""})
		kit.Go(ctx, p.home().In(partPreview))
	}
}

// replace puts other lines in place of those of a row. The others keep what they are taken for.
func (p *page) replace(n int, with []string) {
	r, err := p.result()
	if err != nil {
		return
	}
	lines, first, end, ok := linesOf(r, p.source.text, n)
	if !ok {
		return
	}
	all := append(append(append([]string(nil), lines[:first]...), with...), lines[end:]...)
	x := &p.source
	x.text = strings.Join(all, "\n")
	if x.columns == nil {
		for _, c := range r.Columns {
			x.columns = append(x.columns, c.Field)
		}
	}
	x.parted = r.Separator
	p.saveSource()
}
