package pins

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/app/session"
	"loomwright/calc/circuit"
	"loomwright/calc/harness"
	"loomwright/calc/table"
)

// source is a list on its way in. It outlasts the page as a preference, and nothing of it is in the build until it is taken.
type source struct {
	text    string
	parted  table.Separator
	columns []table.Field
	face    harness.Face
	asked   bool  // it was said which face the source shows, or that it does not say
	second  []int // numbers of rows that are taken as second cores in the cavities of others

	read   *table.Result
	failed error
	of     string // what read was read of

	bytes    []byte         // of a file, as they are
	encoding table.Encoding // in which text was read of them
}

const sourceMark = "\x1f"

func sourceKey(s *session.Session) string { return "pins:source:" + s.ID() }

func loadSource(s *session.Session) source {
	var x source
	x.loadBytes(s.Device.Prefs.Get(bytesKey(s)))
	parts := strings.SplitN(s.Device.Prefs.Get(sourceKey(s)), sourceMark, 6)
	if len(parts) < 6 {
		return source{}
	}
	x.parted, x.face, x.asked, x.text = table.Separator(parts[0]), harness.Face(parts[1]), parts[2] == "asked", parts[5]
	for _, text := range strings.Fields(parts[4]) {
		if n, err := strconv.Atoi(text); err == nil {
			x.second = append(x.second, n)
		}
	}
	if parts[3] != "" {
		for _, f := range strings.Split(parts[3], "|") {
			x.columns = append(x.columns, table.Field(f))
		}
	}
	return x
}

func (p *page) saveSource() {
	x := p.source
	text := ""
	if x.text != "" {
		fields := make([]string, len(x.columns))
		for i, f := range x.columns {
			fields[i] = string(f)
		}
		asked := ""
		if x.asked {
			asked = "asked"
		}
		second := make([]string, len(x.second))
		for i, n := range x.second {
			second[i] = strconv.Itoa(n)
		}
		text = strings.Join([]string{string(x.parted), string(x.face), asked, strings.Join(fields, "|"), strings.Join(second, " "), x.text}, sourceMark)
	}
	p.S.Device.Prefs.Put(sourceKey(p.S), text)
}

// result reads the list as the person has set it.
func (p *page) result() (*table.Result, error) {
	x := &p.source
	of := fmt.Sprint(x.parted, x.columns, x.second, p.S.B().Settings.Unit) + x.text
	if x.of != of {
		x.of = of
		shared := map[int]string{}
		for _, n := range x.second {
			shared[n] = sharedReasons[0]
		}
		x.read, x.failed = table.Read([]byte(x.text), table.Options{Encoding: table.UTF8, Separator: x.parted, Columns: x.columns, Shared: shared, Unit: p.S.B().Settings.Unit})
	}
	return x.read, x.failed
}

// begin puts a new text in place of the list.
func (p *page) begin(text string) {
	p.source = source{text: text, face: p.source.face, asked: p.source.asked && text != ""}
	p.saveSource()
	p.S.Device.Prefs.Put(bytesKey(p.S), "")
}

// waysIn offers every way to get pins in.
func (p *page) waysIn() screen {
	home := p.home()
	s := screen{title: "Pins", back: p.At.On("plan")}
	row := func(name, under, right string, to kit.Addr) app.UI {
		return kit.Row("", name, under, right, "", kit.To(to), to)
	}
	if len(p.all) > 0 {
		s.title, s.back = "Add pins", home
	} else {
		s.body = append(s.body, app.P().Class("lede").Text("No pins yet."), app.P().Text("The controller's pin list says which flying lead does what. Each lead is then used, kept for later or removed."))
	}
	s.body = append(s.body, app.Div().Class("rows").Body(
		row("Paste a list", "copied from a page, a mail or a spreadsheet", "→", home.In(partPaste)),
		kit.Row("", "Open a file", "CSV or text of a spreadsheet", "→", "", p.onFile),
		row("Tap a grid", "rows and columns, without any list", "→", home.In(partTaps)),
	))
	if p.source.text != "" {
		to := home.In(partPreview)
		s.foot = []app.UI{kit.Act("Go on with the list that was begun", kit.To(to), to)}
	}
	if len(p.all) > 0 {
		return s
	}
	s.body = append(s.body, kit.Section("Or start from a planned engine", "of our own invention"))
	var rows []app.UI
	for _, x := range circuit.Starters {
		rows = append(rows, kit.Row("", x.Name, x.What, "→", "", p.onStarter(x.Key), x.Key))
	}
	s.body = append(s.body, app.Div().Class("rows").Body(rows...))
	return s
}

func (p *page) onStarter(key string) app.EventHandler {
	return func(ctx app.Context, _ app.Event) {
		for _, x := range circuit.Starters {
			if x.Key != key {
				continue
			}
			r := p.starter(x)
			if p.took(p.S.Accept(r)) {
				p.S.Say(session.Notice{Tone: "good", Text: fmt.Sprintf("%s: %s and what they need.", x.Name, number(len(r.Leads), "pin")), Undo: true})
				kit.Go(ctx, p.home())
			}
		}
	}
}

// starter returns the records of a starter in a build that may have a controller and looms of these names already: those
// stay as they are.
func (p *page) starter(x circuit.Starter) circuit.Records {
	b := p.S.B()
	have := map[string]string{}
	key := func(kind harness.Kind, name string) string { return string(kind) + "\x00" + harness.FoldName(name) }
	for _, l := range b.Looms.All() {
		have[key(harness.KindLoom, l.Name)] = l.ID
	}
	for _, q := range b.Places.All() {
		have[key(harness.KindPlace, q.Name)] = q.ID
	}
	r := x.Records(func(kind harness.Kind, name string) string {
		if id, ok := have[key(kind, name)]; ok {
			return id
		}
		return p.S.FreshID()
	})
	r.Looms = slices.DeleteFunc(r.Looms, func(l harness.Loom) bool { _, ok := b.Looms.Get(l.ID); return ok })
	r.Places = slices.DeleteFunc(r.Places, func(q harness.Place) bool { _, ok := b.Places.Get(q.ID); return ok })
	return r
}

func (p *page) onFile(ctx app.Context, _ app.Event) {
	s := p.S
	ctx.Async(func() {
		f, err := s.Device.Files.Open(context.Background(), table.MaxBytes)
		text, encoding := "", table.Encoding("")
		if err == nil {
			text, encoding, err = table.Text(f.Data)
		}
		s.Later(ctx, func(ctx app.Context) {
			if err != nil {
				if word := explain(err); word != "" {
					s.Say(session.Notice{Tone: "bad", Text: word})
				}
				return
			}
			p.beginFile(f.Data, text, encoding)
			kit.Go(ctx, p.home().In(partPreview))
		})
	})
}

// explain says what a list that is refused whole means to a person.
func explain(err error) string {
	switch {
	case errors.Is(err, table.ErrEmpty):
		return "There is nothing in it. Nothing was changed. Copy the whole table, its headings too."
	case errors.Is(err, table.ErrTooBig):
		return "It is too big for a pin list. Nothing was changed. Copy only the table."
	case errors.Is(err, table.ErrNotText):
		return "It is not a text. Nothing was changed. Save the spreadsheet as CSV, or copy the table and paste it."
	}
	return kit.Explain(err)
}

func (p *page) paste() screen {
	to := p.home().In(partPreview)
	s := screen{title: "Paste a list", back: p.home().In(partIn)}
	s.body = []app.UI{
		app.Div().Class("tallarea").Body(kit.Area("Paste the list here", p.source.text, "A1  INJ A  injector out  0.75  BU/BK", p.onPaste)),
		kit.Lines("Columns in any order, with headings or without; one cell on a line is understood too. Nothing is taken before you have seen it."),
	}
	if p.source.text != "" {
		s.body = append(s.body, kit.Plain("Empty it", p.onEmpty))
	}
	s.foot = []app.UI{kit.ActIf(strings.TrimSpace(p.source.text) != "", "See what it says", "Paste the list first", kit.To(to), to)}
	return s
}

func (p *page) onPaste(ctx app.Context, _ app.Event) { p.begin(kit.Value(ctx)) }
func (p *page) onEmpty(app.Context, app.Event)       { p.begin("") }

// preview is what the list was taken for: its columns, the rows that are left out, and the face of the connector it shows.
func (p *page) preview() screen {
	home := p.home()
	s := screen{title: "What the list says", back: home.In(partPaste)}
	r, err := p.result()
	if err != nil {
		s.body = []app.UI{kit.Note("bad", "It could not be read.", explain(err))}
		s.foot = []app.UI{kit.Act("Back to the text", kit.To(s.back), s.back)}
		return s
	}
	pins := r.Pins()
	bad, look := faulty(r)
	s.body = []app.UI{app.P().Class("lede").Text(fmt.Sprintf("%s, %s left out", number(len(pins), "pin"), number(len(bad), "row"))),
		app.P().Text("Which face of the connector does the source show?"), p.faces()}
	s.body = append(s.body, p.whose()...)
	s.body = append(s.body, p.badRows(bad)...)
	s.body = append(s.body, kit.Section("Columns", "tap one to change it"), p.columns(r))
	s.body = append(s.body, kit.Section("As it would be taken", "the first ones"), sample(pins))
	if len(look) > 0 {
		s.body = append(s.body, kit.Section("Taken, but look at", fmt.Sprint(len(look))), p.faultRows(look))
	}
	s.body = append(append(s.body, p.howRead(r)...), p.encodings()...)
	ready := len(pins) > 0 && p.source.asked
	why := "Say which face the source shows"
	if len(pins) == 0 {
		why = "No pin yet: set the column of the cavity"
	}
	s.foot = []app.UI{kit.ActIf(ready, "Take "+number(len(pins), "pin"), why, p.onTake)}
	return s
}

// faulty returns the rows that are left out, and those that are taken and have something to look at.
func faulty(r *table.Result) (bad, look []table.Row) {
	for _, row := range r.Rows {
		switch {
		case row.Is == table.Bad:
			bad = append(bad, row)
		case row.Is == table.Good && (len(row.Faults) > 0 || row.Pin.Shared != ""):
			look = append(look, row)
		}
	}
	return bad, look
}

// doubleOnly reports whether all that keeps a row out is that its cavity is another's too.
func doubleOnly(row table.Row) bool {
	for _, f := range row.Faults {
		if f.Kind.Bad() && f.Kind != table.Duplicate {
			return false
		}
	}
	return row.Is == table.Bad
}

func (p *page) badRows(bad []table.Row) []app.UI {
	if len(bad) == 0 {
		return []app.UI{kit.Note("good", "Every row can be taken.", "")}
	}
	return []app.UI{kit.Section("Left out until they are mended", fmt.Sprint(len(bad))), p.faultRows(bad)}
}

func (p *page) faultRows(rows []table.Row) app.UI {
	rows = rows[:min(len(rows), rowsDrawn)]
	return app.Div().Class("rows").Body(app.Range(rows).Slice(func(i int) app.UI {
		row := rows[i]
		to := p.home().In(partRow + "." + strconv.Itoa(row.Number))
		words := make([]string, len(row.Faults))
		for i, f := range row.Faults {
			words[i] = f.String()
		}
		if row.Pin.Shared != "" {
			words = append(words, "a second core in cavity "+row.Pin.Cavity)
		}
		return kit.Row("", fmt.Sprintf("Row %d: %s", row.Number, strings.Join(nonEmpty(row.Cells...), " · ")), strings.Join(words, "; "), "mend", "", kit.To(to), to, row.Number)
	}))
}

func fieldWord(f table.Field) string {
	if f == table.Unused {
		return "not used"
	}
	return string(f)
}

// columns lists what each column means, with its first cells.
func (p *page) columns(r *table.Result) app.UI {
	return app.Div().Class("rows").Body(app.Range(r.Columns).Slice(func(i int) app.UI {
		c := r.Columns[i]
		to := p.home().In(partColumn + "." + strconv.Itoa(i+1))
		var cells []string
		for _, row := range r.Rows {
			if (row.Is == table.Good || row.Is == table.Bad) && i < len(row.Cells) && row.Cells[i] != "" && len(cells) < 4 {
				cells = append(cells, row.Cells[i])
			}
		}
		head := fieldWord(c.Field)
		if c.Heading != "" {
			head += " (“" + c.Heading + "”)"
		}
		return kit.Row(strconv.Itoa(i+1), head, strings.Join(cells, ", "), "→", string(c.Why), kit.To(to), to)
	}))
}

func (p *page) column(at string) screen {
	s := screen{title: "Column " + at, back: p.home().In(partPreview)}
	r, err := p.result()
	i, bad := strconv.Atoi(at)
	if i--; err != nil || bad != nil || i < 0 || i >= len(r.Columns) {
		s.body = []app.UI{app.P().Text("The list has no such column.")}
		return s
	}
	var cells []string
	for _, row := range r.Rows {
		if (row.Is == table.Good || row.Is == table.Bad) && i < len(row.Cells) && len(cells) < 8 {
			cells = append(cells, row.Cells[i])
		}
	}
	s.body = []app.UI{kit.Lines(strings.Join(cells, " · "))}
	var chips []app.UI
	for _, f := range table.Fields {
		chips = append(chips, kit.Choice(fieldWord(f), "", r.Columns[i].Field == f, p.onField(i, f), i, string(f)))
	}
	s.body = append(s.body, kit.Chips(chips...))
	s.foot = []app.UI{kit.Act("Back to the list", kit.To(s.back), s.back)}
	return s
}

// onField gives a column another meaning; another column that had it loses it.
func (p *page) onField(i int, f table.Field) app.EventHandler {
	return func(ctx app.Context, _ app.Event) {
		r, err := p.result()
		if err != nil {
			return
		}
		columns := make([]table.Field, len(r.Columns))
		for k, c := range r.Columns {
			if columns[k] = c.Field; c.Field == f {
				columns[k] = table.Unused
			}
		}
		columns[i] = f
		p.source.columns = columns
		p.saveSource()
		kit.Go(ctx, p.home().In(partPreview))
	}
}

func sample(pins []table.Pin) app.UI {
	pins = pins[:min(len(pins), 5)]
	return app.Div().Class("rows").Body(app.Range(pins).Slice(func(i int) app.UI {
		x := pins[i]
		length := ""
		if x.Length != nil {
			length = x.Length.Format("mm")
		}
		under := strings.Join(nonEmpty(x.Function, string(x.Signal), kit.SizeWord(x.Size.String()), x.Colour.Code(), length, x.Group), " · ")
		return app.Div().Class("row").Body(app.Span().Text(x.Connector+x.Cavity), app.Span().Body(app.B().Text(x.Legend), app.Small().Text(under)), app.Span())
	}))
}

// howRead is how cells are parted, and what was guessed.
func (p *page) howRead(r *table.Result) []app.UI {
	var chips []app.UI
	for _, x := range table.Separators {
		chips = append(chips, kit.Choice(string(x), "", r.Separator == x, p.onParted(x), string(x)))
	}
	out := []app.UI{kit.Section("Cells are parted by", ""), kit.Chips(chips...)}
	if len(r.Notes) > 0 {
		out = append(out, kit.Lines(r.Notes...))
	}
	return out
}

func (p *page) onParted(x table.Separator) app.EventHandler {
	return func(app.Context, app.Event) {
		p.source.parted, p.source.columns = x, nil
		p.saveSource()
	}
}

func (p *page) faces() app.UI {
	face := func(label string, f harness.Face) app.UI {
		return kit.Choice(label, "", p.source.asked && p.source.face == f, p.onFace(f), string(f))
	}
	return kit.Even(face("Mating face", harness.MatingFace), face("Wire side", harness.WireSide), face("It does not say", harness.NoFace))
}

func (p *page) onFace(f harness.Face) app.EventHandler {
	return func(app.Context, app.Event) {
		p.source.face, p.source.asked = f, true
		p.saveSource()
	}
}

// onTake takes the good rows, all in one edit. The text stays as long as rows are left out.
func (p *page) onTake(ctx app.Context, _ app.Event) {
	r, err := p.result()
	if err != nil {
		return
	}
	place, fresh := p.controller()
	bad, _ := faulty(r)
	t := circuit.Take(p.S.B(), place, r.Pins(), p.source.face, p.S.FreshID)
	t.Places = fresh
	if !p.took(p.S.Accept(t.Records)) {
		return
	}
	p.settled(fresh)
	text := number(t.New, "pin") + " taken."
	if t.Filled > 0 {
		text += fmt.Sprintf(" %d that were there know more now.", t.Filled)
	}
	if n := len(t.Differ); n > 0 {
		text += " Left as they were, because the list says otherwise: " + strings.Join(t.Differ[:min(n, 8)], ", ") + "."
	}
	if len(bad) > 0 {
		text += fmt.Sprintf(" %s left out: mend them, then take the list again.", number(len(bad), "row"))
	} else {
		p.begin("")
	}
	p.S.Say(session.Notice{Tone: "good", Text: text, Undo: true})
	kit.Go(ctx, p.home())
}
