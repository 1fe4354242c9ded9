package session

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"

	"loomwright/app/device"
	"loomwright/app/sheet"
)

// The type that paper is set in: files of the app beside the program.
const (
	FontRegular = "web/fonts/sheet.ttf"
	FontBold    = "web/fonts/sheet-bold.ttf"
)

// Font reads the type, for planning tags. It waits for the files. The error is sheet.ErrFont.
func (s *Session) Font(ctx context.Context) (f sheet.Font, err error) {
	if f.Regular, err = s.Device.Shell.File(ctx, FontRegular); err == nil {
		f.Bold, err = s.Device.Shell.File(ctx, FontBold)
	}
	if err != nil {
		return sheet.Font{}, fmt.Errorf("%w: %w", sheet.ErrFont, err)
	}
	return f, nil
}

// PaperOrder is the order for a list or drawing of the open build as it stands now: for PDF, which waits. An empty format is PDF.
func (s *Session) PaperOrder(kind string, format sheet.Format, o sheet.Options) (device.Order, error) {
	what, err := json.Marshal(sheet.Order{Kind: kind, Format: format, Build: s.ID(), Options: o})
	if err != nil {
		return device.Order{}, fmt.Errorf("session: order of %s: %w", kind, err)
	}
	return device.Order{What: string(what), Build: s.log.Snapshot("").Data, Regular: FontRegular, Bold: FontBold}, nil
}

// PDF has an order made and tells of each page before it is drawn. It waits, until the end of ctx at most. The errors are
// those of package sheet that a person can do something about, and device.ErrNoPaper.
func (s *Session) PDF(ctx context.Context, order device.Order, told func(page, pages int)) ([]byte, error) {
	pdf, err := s.Device.Paper.PDF(ctx, order, told)
	if said, ok := errors.AsType[*device.PaperError](err); ok {
		return nil, sheet.Coded(said.Code, said.Text)
	}
	return pdf, err
}
