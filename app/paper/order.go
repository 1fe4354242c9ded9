package main

import (
	"bytes"
	"cmp"
	"encoding/json"
	"fmt"

	"loomwright/app/sheet"
	"loomwright/app/sheet/paper"
	"loomwright/storage"
)

// fill makes the file that an order (a sheet.Order as JSON) asks for, of the build in a snapshot.
func fill(order, snapshot []byte, font sheet.Font, told paper.Progress) ([]byte, error) {
	var o sheet.Order
	if err := json.Unmarshal(order, &o); err != nil {
		return nil, fmt.Errorf("paper: order: %w", err)
	}
	log, err := storage.OpenSnapshot(storage.Snapshot{Build: o.Build, Data: snapshot}, nil)
	if err != nil {
		return nil, fmt.Errorf("paper: order: %w", err)
	}
	o.Options.Font = font
	var pdf bytes.Buffer
	if err := paper.WriteAs(&pdf, o.Kind, cmp.Or(o.Format, sheet.PDF), log.State(), o.Options, told); err != nil {
		return nil, err
	}
	return pdf.Bytes(), nil
}
