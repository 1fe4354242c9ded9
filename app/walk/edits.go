package walk

import (
	"slices"
	"strings"
	"time"

	"loomwright/app/session"
	"loomwright/calc/harness"
	"loomwright/calc/route"
	"loomwright/calc/survey"
	"loomwright/calc/unit"
	"loomwright/storage"
)

// maker makes the changes of one tap on the route: what needs a fresh id or a fresh tag code. err is the first thing that
// went wrong; the changes must not be used then.
type maker struct {
	b     *harness.Build
	id    func() string
	code  func(also ...string) (string, error)
	codes []string // drawn for this tap
	err   error
}

func newMaker(s *session.Session) *maker {
	return &maker{b: s.B(), id: s.FreshID, code: s.FreshCode}
}

// create is the change that makes a new record.
func create[T any](kind harness.Kind, id string, record T) storage.Change {
	var none T
	return storage.Put(kind, id, none, record)
}

// changed is the change that edits a living record; none if it does not live.
func changed[T any](t *harness.Table[T], kind harness.Kind, id string, edit func(*T)) []storage.Change {
	old, ok := t.Get(id)
	if !ok {
		return nil
	}
	now := old
	edit(&now)
	return []storage.Change{storage.Put(kind, id, old, now)}
}

func placeOrder(b *harness.Build) float64 {
	if all := b.Places.All(); len(all) > 0 {
		return all[len(all)-1].Order + 1
	}
	return 1
}

func runOrder(b *harness.Build) float64 {
	if all := b.Runs.All(); len(all) > 0 {
		return all[len(all)-1].Order + 1
	}
	return 1
}

// tagged are the kinds of place that get a tag: where a hand finds a connector, a branch, a hole or a panel.
var tagged = []harness.PlaceKind{
	harness.Controller, harness.Device, harness.Split, harness.PassThrough, harness.Panel, harness.TerminalStrip, harness.Inline,
}

// place makes a place, with its tag where its kind gets one. A place without a name gets the next free one of its kind.
func (m *maker) place(kind harness.PlaceKind, name string) (id string, changes []storage.Change) {
	if name == "" {
		name = freeName(m.b, kind)
	}
	id = m.id()
	changes = []storage.Change{create(harness.KindPlace, id, harness.Place{Name: name, Kind: kind, Order: placeOrder(m.b)})}
	if slices.Contains(tagged, kind) {
		code, err := m.code(m.codes...)
		if err != nil && m.err == nil {
			m.err = err
		}
		m.codes = append(m.codes, code)
		changes = append(changes, create(harness.KindTag, m.id(), harness.Tag{Code: code, On: harness.KindPlace, Subject: id}))
	}
	return id, changes
}

// run joins two places.
func (m *maker) run(from, to, loom string) (id string, change storage.Change) {
	id = m.id()
	return id, create(harness.KindRun, id, harness.Run{A: from, B: to, Loom: loom, Order: runOrder(m.b)})
}

// number is a length as it was keyed in.
type number struct {
	text   string
	unit   unit.System
	value  unit.Length
	method harness.Method
	at     time.Time
	zero   *unit.Length // of a mark: what the tape showed where the string begins
	with   details
}

// readAt is how the time of a reading is kept.
const readAt = "2006-01-02T15:04:05.000Z07:00"

// after is the time to keep for a reading of these runs: the phone's, or if its clock was put back, a moment after the
// newest reading there is, as the later of two readings of one run counts.
func after(b *harness.Build, now time.Time, runs ...string) string {
	for _, run := range runs {
		for _, r := range readingsOf(b, run) {
			if last, err := time.Parse(time.RFC3339, r.At); err == nil && !r.Gone && !now.After(last) {
				now = last.Add(time.Millisecond)
			}
		}
	}
	return now.UTC().Format(readAt)
}

// reading is a length over the places and runs passed, in order.
func (m *maker) reading(places, runs []string, n number) (id string, change storage.Change) {
	id = m.id()
	return id, create(harness.KindReading, id, harness.Reading{
		Places: places, Runs: runs,
		Text: n.text, Unit: n.unit, Value: n.value, Method: n.method, At: after(m.b, n.at, runs...), Zero: n.zero,
		Sigma: n.with.Sigma, Corners: n.with.Corners, Thick: n.with.Thick, Note: n.with.Note,
	})
}

// leg is the way from where one stands to what comes next: places without the first, and runs. What is not there yet is
// made, by the changes. With far, a place that no run leads to directly is reached over those that do lead there.
func (m *maker) leg(d draft, l *survey.Lengths, g *route.Graph, far bool) (places, runs []string, changes []storage.Change) {
	to, run := d.To.Place, d.To.Run
	loom := d.loomFor(m.b)
	switch {
	case to == "":
		to, changes = m.place(d.To.Kind, strings.TrimSpace(d.Name))
	case run == "":
		run = between(m.b, l, d.At, to)
	}
	if run == "" && far && d.To.Place != "" {
		if path, err := g.Path(d.At, to, nil, nil); err == nil && len(path.Runs) > 0 {
			return path.Places[1:], path.Runs, changes
		}
	}
	if run == "" {
		id, change := m.run(d.At, to, loom)
		run, changes = id, append(changes, change)
	}
	return []string{to}, []string{run}, changes
}

// correct puts another number in place of a reading that was keyed in wrong. It was taken when the old one was, which is
// kept as deleted.
func (m *maker) correct(old string, n number) (id string, changes []storage.Change) {
	r, ok := m.b.Readings.Get(old)
	if !ok {
		return "", nil
	}
	id = m.id()
	r.Text, r.Unit, r.Value, r.Method = n.text, n.unit, n.value, n.method
	return id, []storage.Change{create(harness.KindReading, id, r), storage.Delete(harness.KindReading, old)}
}

// split puts a new place into a run. The old run is gone and became two; its readings stay what they are. What lies
// along the whole run is on both parts, what sits at one spot is on the first.
func (m *maker) split(run string, kind harness.PlaceKind, name string) (place string, changes []storage.Change) {
	old, ok := m.b.Runs.Get(run)
	if !ok {
		return "", nil
	}
	place, changes = m.place(kind, name)
	first, second := old, harness.Run{Loom: old.Loom, Hot: old.Hot, Wet: old.Wet, Order: runOrder(m.b)}
	first.Became = nil
	first.B, second.A, second.B = place, place, old.B
	a, z := m.id(), m.id()
	gone := old
	gone.Gone, gone.Became = true, []string{a, z}
	return place, append(changes,
		create(harness.KindRun, a, first),
		create(harness.KindRun, z, second),
		storage.Put(harness.KindRun, run, old, gone),
	)
}

// spots tells whether a run has something that sits at one spot of it.
func spots(r harness.Run) bool {
	return r.Corners > 0 || r.Moves || r.Drip || r.Sharp || r.Clip || r.Note != ""
}

// runsAt are the living runs that end at a place, in their order.
func runsAt(b *harness.Build, place string) []harness.Run {
	var all []harness.Run
	for _, r := range b.Runs.All() {
		if r.A == place || r.B == place {
			all = append(all, r)
		}
	}
	return all
}

// joinable returns the two runs that would become one without a place, and false where there are not exactly two or
// where they lead to the same place.
func joinable(b *harness.Build, place string) (runs [2]harness.Run, ok bool) {
	all := runsAt(b, place)
	if len(all) != 2 || all[0].A == all[0].B || all[1].A == all[1].B {
		return runs, false
	}
	far0, _ := all[0].OtherEnd(place)
	far1, _ := all[1].OtherEnd(place)
	if far0 == far1 {
		return runs, false
	}
	return [2]harness.Run{all[0], all[1]}, true
}

// join takes a place away and makes one run of the two that met there. Both are gone and became the new one, so their
// readings go on counting.
func (m *maker) join(place string) []storage.Change {
	two, ok := joinable(m.b, place)
	if !ok {
		return nil
	}
	id := m.id()
	a, z := two[0], two[1]
	one := a
	one.A, _ = a.OtherEnd(place)
	one.B, _ = z.OtherEnd(place)
	one.Became = nil
	one.Corners = a.Corners + z.Corners
	one.Hot, one.Moves, one.Wet = a.Hot || z.Hot, a.Moves || z.Moves, a.Wet || z.Wet
	one.Drip, one.Sharp, one.Clip = a.Drip || z.Drip, a.Sharp || z.Sharp, a.Clip || z.Clip
	if one.Note == "" {
		one.Note = z.Note
	}
	changes := []storage.Change{create(harness.KindRun, id, one)}
	for _, old := range two {
		gone := old
		gone.Gone, gone.Became = true, []string{id}
		changes = append(changes, storage.Put(harness.KindRun, old.ID, old, gone))
	}
	return append(changes, storage.Delete(harness.KindPlace, place))
}

// remove takes a place away with the runs that end there. Wires stay: what they miss is said of them.
func remove(b *harness.Build, place string) []storage.Change {
	var changes []storage.Change
	for _, r := range runsAt(b, place) {
		changes = append(changes, storage.Delete(harness.KindRun, r.ID))
	}
	return append(changes, storage.Delete(harness.KindPlace, place))
}

// hangsOn counts what a place holds: its runs, and the wires and joints that end there.
func hangsOn(b *harness.Build, place string) (runs, wires, joints int) {
	for _, w := range b.Wires.All() {
		from, _ := b.EndPlace(w.From)
		to, _ := b.EndPlace(w.To)
		if from == place || to == place {
			wires++
		}
	}
	for _, j := range b.Joints.All() {
		if j.Place == place {
			joints++
		}
	}
	return len(runsAt(b, place)), wires, joints
}

// readingsOf are the readings that pass a run or one it was made of, living and gone, the newest first.
func readingsOf(b *harness.Build, run string) []harness.Reading {
	ids := family(b, run)
	var all []harness.Reading
	for _, list := range [][]harness.Reading{b.Readings.All(), b.Readings.Gone()} {
		for _, r := range list {
			if slices.ContainsFunc(r.Runs, func(id string) bool { return slices.Contains(ids, id) }) {
				all = append(all, r)
			}
		}
	}
	newestFirst(all)
	return all
}

// family is a run with all the runs that became it.
func family(b *harness.Build, run string) []string {
	ids := []string{run}
	gone := b.Runs.Gone()
	for i := 0; i < len(ids); i++ {
		for _, r := range gone {
			if slices.Contains(r.Became, ids[i]) && !slices.Contains(ids, r.ID) {
				ids = append(ids, r.ID)
			}
		}
	}
	return ids
}
