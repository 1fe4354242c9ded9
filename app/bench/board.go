package bench

import (
	"bytes"
	"context"
	"encoding/json"
	"strconv"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/app/sheet"
	"loomwright/calc/unit"
)

// layout is what the program beside the page says of the board before it is printed.
type layout struct {
	key     string // what it was asked for
	working bool
	failed  string
	known   bool
	Sheets  int
	Fits    bool
	Bench   [2]float64
	Left    []string
}

const prefBoard = "make:board"

// boardOptions is the bench and the paper, as chosen on this phone.
func (p *page) boardOptions() (o sheet.BoardOptions) {
	if json.Unmarshal([]byte(p.S.Device.Prefs.Get(prefBoard)), &o) != nil {
		return sheet.BoardOptions{}
	}
	return o
}

func (p *page) saveBoard(change func(o *sheet.BoardOptions)) {
	o := p.boardOptions()
	change(&o)
	if text, err := json.Marshal(o); err == nil {
		p.S.Device.Prefs.Put(prefBoard, string(text))
	}
	p.lay()
}

// lay asks how many sheets it will be, once for each build and bench.
func (p *page) lay() {
	if p.At.Mode != partBoard || p.ctx == nil {
		return
	}
	o := p.options()
	wanted, _ := json.Marshal(o.Board)
	key := p.S.ID() + string(wanted) + strconv.Itoa(p.S.Log().Len())
	if p.board.key == key {
		return
	}
	p.board = layout{key: key, working: true}
	order, err := p.S.PaperOrder("board", sheet.JSON, o)
	if err != nil {
		p.board.failed = kit.Explain(err)
		return
	}
	p.ctx.Async(func() {
		data, err := p.S.PDF(context.Background(), order, func(int, int) {})
		p.S.Later(p.ctx, func(app.Context) {
			if p.board.key != key {
				return
			}
			p.board.working = false
			if err == nil {
				err = json.NewDecoder(bytes.NewReader(data)).Decode(&p.board)
			}
			if p.board.known = err == nil; err != nil {
				p.board.failed = explain(err)
			}
		})
	})
}

// boardPart is the harness laid flat: on a bench with a tape, or printed at full size.
func (p *page) boardPart() []app.UI {
	o, sys := p.boardOptions(), p.S.B().Settings.Unit
	mm := func(v float64) string { return unit.Length(v * 1e6).Grouped(sys) }
	body := []app.UI{p.counted(),
		kit.Section("With no drawing", ""),
		kit.Lines("Marks along one tape, and what leaves it to which side: for a bench of any size."),
		kit.Chips(kit.Plain("Bench list, PDF", p.onWrite("benchlist", sheet.PDF, false), "benchlist"), kit.Plain("Bench list, CSV", p.onWrite("benchlist", sheet.CSV, false), "benchlist", "csv")),
		p.finished("benchlist"),
		kit.Section("At full size", "")}
	l := &p.board
	switch {
	case l.failed != "":
		body = append(body, kit.Note("bad", "It could not be laid out.", l.failed))
	case !l.known:
		body = append(body, kit.Lines("Laying it out…"))
	default:
		word := count(l.Sheets, "sheet", "sheets") + " and a map of them."
		if o.Paper == sheet.OneLongOne {
			word = "One page of " + mm(l.Bench[0]) + " × " + mm(l.Bench[1]) + "."
		}
		body = append(body, app.P().Class("lede").Text(word))
		if !l.Fits {
			body = append(body, kit.Note("warn", "It does not fit the bench.", "It is laid on "+mm(l.Bench[0])+" × "+mm(l.Bench[1])+"."))
		}
		if o.Paper == sheet.OneLongOne && max(l.Bench[0], l.Bench[1]) > sheet.LongestPage {
			body = append(body, kit.Note("warn", "Too long for one page of PDF.", "A page may be "+mm(sheet.LongestPage)+" long. Take sheets or a smaller bench, or the SVG."))
		}
		if len(l.Left) > 0 {
			body = append(body, kit.Note("warn", "Not drawn: ", strings.Join(l.Left, "; ")+"."))
		}
	}
	paper := func(label, under string, x sheet.Paper) app.UI {
		return kit.Choice(label, under, o.Paper == x, func(app.Context, app.Event) { p.saveBoard(func(o *sheet.BoardOptions) { o.Paper = x }) }, "paper", string(x))
	}
	body = append(body, kit.Chips(paper("A4", "", sheet.A4), paper("A3", "", sheet.A3), paper("Letter", "", sheet.Letter), paper("One page", "for a plotter", sheet.OneLongOne)),
		p.benchSide("width", "Bench, long side", o.Width, 2400, func(o *sheet.BoardOptions, v float64) { o.Width = v }),
		p.benchSide("height", "Bench, short side", o.Height, 1200, func(o *sheet.BoardOptions, v float64) { o.Height = v }),
		p.benchSide("bar", "What the bar of 100 mm measured on your print", o.Bar, 100, func(o *sheet.BoardOptions, v float64) { o.Bar = v }),
		kit.Chips(kit.Plain("Board, PDF", p.onWrite("board", sheet.PDF, false), "board"), kit.Plain("Board, SVG", p.onWrite("board", sheet.SVG, false), "board", "svg"),
			kit.Plain("Schematic, PDF", p.onWrite("schematic", sheet.PDF, false), "schematic")),
		p.finished("board"), p.finished("schematic"),
		kit.Lines("Print at full size, not fitted to the page. If the bar on the sheet is not 100 mm long, key in what it measures: the next print is right."))
	return body
}

// mostBench is the longest bench, in mm. Our choice.
const mostBench = 20000

// benchSide is a field for a length of the bench; empty is the usual one.
func (p *page) benchSide(field, label string, now, usual float64, set func(o *sheet.BoardOptions, mm float64)) app.UI {
	sys, text := p.S.B().Settings.Unit, ""
	if now > 0 {
		text = unit.Length(now * 1e6).Exact(sys)
	}
	return p.text("board", field, label, text, unit.Length(usual*1e6).Exact(sys), func(text string) {
		if text == "" {
			p.saveBoard(func(o *sheet.BoardOptions) { set(o, 0) })
			return
		}
		typed := kit.Read(text, sys)
		least, most := 300.0, float64(mostBench) // our choice, as the bar's: a printer is never off by half
		if field == "bar" {
			least, most = 50, 200
		}
		switch {
		case !typed.OK:
			p.failed = typed.Line + " Nothing was changed."
		case typed.Length.MM() < least || typed.Length.MM() > most:
			p.failed = "It must be from " + unit.Length(least*1e6).Grouped(sys) + " to " + unit.Length(most*1e6).Grouped(sys) + ". Nothing was changed."
		default:
			p.saveBoard(func(o *sheet.BoardOptions) { set(o, typed.Length.MM()) })
		}
	})
}
