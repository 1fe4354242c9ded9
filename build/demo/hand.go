package demo

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"time"

	"loomwright/calc/harness"
	"loomwright/calc/tag"
	"loomwright/calc/unit"
	"loomwright/storage"
)

// BuildID is the id of the demo build.
var BuildID = id(harness.KindSettings)

// id makes a record's id from what it is called here, so that it is the same each time.
func id(kind harness.Kind, names ...string) string {
	return storage.ProposedID(kind, append([]string{"roadster"}, names...)...)
}

// hand is a person with a phone, who types the tables in. After a first error it does nothing more; err has it.
type hand struct {
	log    *storage.Log
	device string
	now    time.Time
	codes  *rand.ChaCha8 // what tag codes are drawn from
	taken  map[string]bool
	err    error
}

func newHand(name string, start time.Time, seed byte) *hand {
	return &hand{
		log:    storage.New(BuildID),
		device: id("device", name),
		now:    start,
		codes:  rand.NewChaCha8([32]byte{seed}),
		taken:  map[string]bool{},
	}
}

// tap is one entry: everything that one tap changes.
func (h *hand) tap(after time.Duration, changes ...storage.Change) {
	if h.err != nil {
		return
	}
	h.now = h.now.Add(after)
	if _, err := h.log.Commit(h.device, h.at(), changes); err != nil {
		h.err = fmt.Errorf("demo: edit %d: %w", h.log.Len()+1, err)
	}
}

// at is the time as a record keeps it.
func (h *hand) at() string { return h.now.UTC().Format(time.RFC3339) }

// fail keeps the first error.
func (h *hand) fail(err error) {
	if h.err == nil && err != nil {
		h.err = err
	}
}

// tags returns new tags on a record: one for each end, or one with no end.
func (h *hand) tags(on harness.Kind, subject string, ends ...harness.TagEnd) []storage.Change {
	var made []storage.Change
	for _, end := range ends {
		code, err := tag.NewCode(h.codes, func(code string) bool { return h.taken[code] })
		h.fail(err)
		h.taken[code] = true
		made = append(made, create(harness.KindTag, id(harness.KindTag, subject, string(end)),
			harness.Tag{Code: code, On: on, Subject: subject, End: end}))
	}
	return made
}

// create returns the change that makes a record.
func create[T any](kind harness.Kind, id string, record T) storage.Change {
	var none T
	return storage.Put(kind, id, none, record)
}

// edit returns the change that makes f's work of a record that is there.
func edit[T any](table *harness.Table[T], kind harness.Kind, id string, f func(*T)) storage.Change {
	old, _ := table.Any(id)
	now := old
	f(&now)
	return storage.Put(kind, id, old, now)
}

// reading returns a reading of the runs between these places, as typed.
func (h *hand) reading(key, text string, method harness.Method, note string, places ...string) storage.Change {
	value, err := unit.ParseLength(text, unit.Metric)
	h.fail(err)
	r := harness.Reading{Text: text, Unit: unit.Metric, Value: value, Method: method, At: h.at(), Note: note}
	for i, name := range places {
		r.Places = append(r.Places, id(harness.KindPlace, name))
		if i > 0 {
			r.Runs = append(r.Runs, runBetween(places[i-1], name))
		}
	}
	return create(harness.KindReading, id(harness.KindReading, key), r)
}

// runBetween returns the id of the run between two places. No two of the demo's runs join the same places.
func runBetween(a, b string) string {
	if a > b {
		a, b = b, a
	}
	return id(harness.KindRun, a, b)
}

// newRun returns a run with its flags.
func newRun(a, b, loom, flags string, order float64) (harness.Run, error) {
	r := harness.Run{A: id(harness.KindPlace, a), B: id(harness.KindPlace, b), Loom: id(harness.KindLoom, loom), Order: order}
	for _, flag := range list(flags) {
		switch flag {
		case "hot":
			r.Hot = true
		case "moves":
			r.Moves = true
		case "wet":
			r.Wet = true
		case "drip":
			r.Drip = true
		case "sharp":
			r.Sharp = true
		case "clip":
			r.Clip = true
		default:
			if _, err := fmt.Sscanf(flag, "%d corner", &r.Corners); err != nil {
				return r, fmt.Errorf("demo: run from %q to %q: flag %q is not known", a, b, flag)
			}
		}
	}
	return r, nil
}

// list splits a list with commas.
func list(text string) []string {
	if text == "" {
		return nil
	}
	return strings.Split(text, ",")
}

// terminalAt returns the id of a terminal of a place, from "name" or "connector:name".
func terminalAt(place, terminal string) string {
	return id(harness.KindTerminal, place, terminal)
}

// endAt reads the end of a wire: "joint name", "place/terminal", or "place" with no terminal.
func endAt(text string) harness.End {
	if name, ok := strings.CutPrefix(text, "joint "); ok {
		return harness.End{Joint: id(harness.KindJoint, name)}
	}
	place, terminal, ok := strings.Cut(text, "/")
	end := harness.End{Place: id(harness.KindPlace, place)}
	if ok {
		end.Terminal = terminalAt(place, terminal)
	}
	return end
}

// loomIDs reads "main+cabin".
func loomIDs(text string) []string {
	var ids []string
	for _, name := range strings.Split(text, "+") {
		if name == "power" {
			name = powerLoom
		}
		ids = append(ids, id(harness.KindLoom, name))
	}
	return ids
}

// sizeAndColours reads a size in mm2 and a colour, and returns them as records keep them.
func sizeAndColours(size, colour string) (canonical, base, tracer string, err error) {
	s, err := unit.ParseSize(size + " mm2")
	c := unit.ParseColour(colour)
	return s.String(), c.Base, c.Tracer, err
}
