package main

import (
	"bytes"
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"loomwright/app/sheet"
	"loomwright/app/sheet/paper"
	"loomwright/calc/tag"
	"loomwright/storage"
)

// sheetFlags is the command line of sheet.
var sheetFlags struct {
	format, out, grid, payload string
	wires, bundles, connectors string
	options                    sheet.Options
}

var sheetCommand = command{
	name: "sheet", args: "FILE KIND [-format csv|json|svg|pdf|html|zip] [-o OUT]",
	short: "make a list or drawing of an exported build",
	long: "Makes a list or drawing of a build file, the same as the app makes on the phone, and writes it to OUT, or to\n" +
		"the terminal. Without -format the name of OUT tells. The file is only read.\n\n" + kinds(),
	flags: func(f *flag.FlagSet) {
		o := &sheetFlags.options
		f.StringVar(&sheetFlags.format, "format", "", "csv, json, svg, pdf, html or zip")
		f.StringVar(&sheetFlags.out, "o", "", "the file to write; without it the terminal")
		f.StringVar(&o.Date, "date", "", "date to print, as given")
		f.StringVar(&o.Revision, "revision", "", "revision to print, as given")
		f.BoolVar(&o.Letter, "letter", false, "pages in Letter and not in A4")
		f.BoolVar(&o.Semicolon, "semicolon", false, "CSV with ; between the cells")
		f.BoolVar(&o.BOM, "bom", false, "CSV with a byte order mark, for spreadsheets")
		f.BoolVar(&o.Thorough, "thorough", false, "bundles packed as well as it goes, which takes seconds a run")
		f.BoolVar(&o.ByBranch, "by-branch", false, "cut list by branch and not by size and colour")
		f.StringVar(&sheetFlags.grid, "grid", "", "sheet of labels: "+gridNames())
		f.IntVar(&o.Tags.Start, "start", 1, "first label of the sheet to use")
		f.IntVar(&o.Tags.DPI, "dpi", 300, "dots per inch of the label printer")
		f.StringVar(&sheetFlags.payload, "payload", "", "what a tag's code holds: link, code or words")
		f.StringVar(&o.Tags.Address, "address", "", "address of the app, for links")
		f.StringVar(&sheetFlags.wires, "wires", "flag", "tags of wires: flag, wrap or tube")
		f.StringVar(&sheetFlags.bundles, "bundles", "collar", "tags of bundles: collar or flag")
		f.StringVar(&sheetFlags.connectors, "connectors", "stuck", "tags of connectors: stuck, plate or folded")
		f.Float64Var(&o.Board.Width, "bench-width", 0, "of the bench for the board, mm (default 2400)")
		f.Float64Var(&o.Board.Height, "bench-height", 0, "the other side of it, mm (default 1200)")
		f.StringVar((*string)(&o.Board.Paper), "paper", "", "of the board: a4, a3, letter, or long for one page (default a4)")
		f.Float64Var(&o.Board.Bar, "bar", 0, "what the bar of 100 mm measured on this printer, mm")
		f.IntVar(&o.Tags.Page, "page", 1, "page of the labels, for svg")
	},
	run: func(_ context.Context, args []string) error {
		if len(args) != 2 {
			return usageError("build sheet: say FILE and KIND; -h lists the kinds")
		}
		return runSheet(args[0], args[1])
	},
}

func kinds() string {
	var b strings.Builder
	b.WriteString("KIND is one of:\n")
	for _, k := range sheet.Kinds() {
		fmt.Fprintf(&b, "  %-12s %s %v\n", k.Name, k.Title, k.Formats)
	}
	return strings.TrimSuffix(b.String(), "\n")
}

func gridNames() string {
	var names []string
	for _, g := range sheet.Grids() {
		names = append(names, g.Name)
	}
	return strings.Join(names, ", ")
}

func runSheet(file, kind string) error {
	root, err := module()
	if err != nil {
		return err
	}
	o := sheetFlags.options
	switch o.Board.Paper {
	case "a4":
		o.Board.Paper = sheet.A4
	case sheet.A4, sheet.A3, sheet.Letter, sheet.OneLongOne:
	default:
		return usageError(fmt.Sprintf("build sheet: the paper of a board is a4, a3, letter or long, not %q", o.Board.Paper))
	}
	if err := checkBoard(o.Board); err != nil {
		return err
	}
	if err := tagOptions(&o.Tags); err != nil {
		return err
	}
	if o.Font.Regular, err = os.ReadFile(filepath.Join(root, "web", "fonts", "sheet.ttf")); err != nil {
		return fmt.Errorf("build sheet: %w", err)
	}
	if o.Font.Bold, err = os.ReadFile(filepath.Join(root, "web", "fonts", "sheet-bold.ttf")); err != nil {
		return fmt.Errorf("build sheet: %w", err)
	}
	format := sheet.Format(sheetFlags.format)
	if format == "" {
		format = sheet.Format(strings.TrimPrefix(filepath.Ext(sheetFlags.out), "."))
	}
	if format == "" {
		return usageError("build sheet: say -format csv, json, svg, pdf, html or zip")
	}
	f, err := os.Open(file)
	if err != nil {
		return fmt.Errorf("build sheet: %w", err)
	}
	defer f.Close()
	log, err := storage.Decode(f, func(string, []byte) error { return nil }) // no list needs the pictures
	if err != nil {
		return fmt.Errorf("build sheet: file %q: %w", file, err)
	}
	var out bytes.Buffer // whole before a byte of it is written
	if err := paper.WriteAs(&out, kind, format, log.State(), o, nil); err != nil {
		return fmt.Errorf("build sheet: %w", err)
	}
	if sheetFlags.out != "" {
		if err := os.WriteFile(sheetFlags.out, out.Bytes(), 0o644); err != nil {
			return fmt.Errorf("build sheet: %w", err)
		}
		return nil
	}
	if info, err := os.Stdout.Stat(); err == nil && info.Mode()&os.ModeCharDevice != 0 && (format == sheet.PDF || format == sheet.ZIP) {
		return errors.New("build sheet: that is not for a terminal; say where with -o OUT.pdf")
	}
	_, err = io.Copy(os.Stdout, &out)
	return err
}

// checkBoard refuses what no bench or printer measures; 0 is the usual.
func checkBoard(o sheet.BoardOptions) error {
	for _, c := range []struct {
		flag        string
		value       float64
		least, most float64 // our choice, as in the app: a printer is never off by half
	}{
		{"bench-width", o.Width, 300, 20000},
		{"bench-height", o.Height, 300, 20000},
		{"bar", o.Bar, 50, 200},
	} {
		if c.value != 0 && !(c.value >= c.least && c.value <= c.most) {
			return usageError(fmt.Sprintf("build sheet: -%s is from %g to %g mm, not %g", c.flag, c.least, c.most, c.value))
		}
	}
	return nil
}

// tagOptions puts what is a word on the command line into o.
func tagOptions(o *sheet.TagOptions) error {
	if name := sheetFlags.grid; name != "" {
		g, ok := sheet.GridNamed(name)
		if !ok {
			return usageError(fmt.Sprintf("build sheet: no grid %q, there are: %s", name, gridNames()))
		}
		o.Grid = g
	}
	if o.Payload = tag.Payload(sheetFlags.payload); o.Payload != "" && !slices.Contains(tag.Payloads, o.Payload) {
		return usageError(fmt.Sprintf("build sheet: no payload %q, there are: %v", o.Payload, tag.Payloads))
	}
	switch sheetFlags.wires {
	case "flag":
		o.Wires = sheet.Flag
	case "wrap":
		o.Wires = sheet.Tape
	case "tube":
		o.Wires = sheet.Tube
	default:
		return usageError(fmt.Sprintf("build sheet: tags of wires are flag, wrap or tube, not %q", sheetFlags.wires))
	}
	switch sheetFlags.bundles {
	case "collar":
		o.Bundles = sheet.Collar
	case "flag":
		o.Bundles = sheet.BundleFlag
	default:
		return usageError(fmt.Sprintf("build sheet: tags of bundles are collar or flag, not %q", sheetFlags.bundles))
	}
	switch sheetFlags.connectors {
	case "stuck":
		o.Connectors = sheet.Stuck
	case "plate":
		o.Connectors = sheet.Plate
	case "folded":
		o.Connectors = sheet.Folded
	default:
		return usageError(fmt.Sprintf("build sheet: tags of connectors are stuck, plate or folded, not %q", sheetFlags.connectors))
	}
	return nil
}
