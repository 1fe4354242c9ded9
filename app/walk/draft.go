package walk

import (
	"encoding/json"
	"slices"

	"loomwright/app/session"
	"loomwright/app/walk/tape"
	"loomwright/calc/harness"
	"loomwright/calc/survey"
	"loomwright/calc/unit"
)

// draft is what a walk stands at between two entries: it is a preference, so that the back gesture, a reload and a dead
// battery lose nothing, and no edit, because nothing was measured yet.
type draft struct {
	At     string         `json:"at,omitzero"`     // the place where one stands
	Came   string         `json:"came,omitzero"`   // the record of the address that put one there, used once
	Text   string         `json:"text,omitzero"`   // the number as far as it is keyed in
	To     target         `json:"to,omitzero"`     // what comes next, once a person chose it
	Name   string         `json:"name,omitzero"`   // of a new place, if it is not to be the automatic one
	Loom   string         `json:"loom,omitzero"`   // of new runs
	Method harness.Method `json:"method,omitzero"` // of readings
	Fix    string         `json:"fix,omitzero"`    // the reading that is being corrected; then only Text counts
	Kept   string         `json:"kept,omitzero"`   // what was keyed in before a correction began
	Sure   bool           `json:"sure,omitzero"`   // the doubt about Text was answered
	Trail  []step         `json:"trail,omitzero"`  // the last entries, the newest last

	Way    way         `json:"way,omitzero"`    // how readings are taken
	String tape.String `json:"string,omitzero"` // the string that is being marked, with the ways that have one
	Zero   bool        `json:"zero,omitzero"`   // Text is what the tape shows where the string begins
	Row    int         `json:"row,omitzero"`    // the mark that is read, at the tape
	Check  check       `json:"check,omitzero"`
	With   details     `json:"with,omitzero"` // of the next reading
}

// details are what a reading may state beside its number.
type details struct {
	Sigma   *unit.Length `json:"sigma,omitzero"`
	Corners *int         `json:"corners,omitzero"`
	Thick   *unit.Length `json:"thick,omitzero"` // stays from reading to reading: it is the same string
	Note    string       `json:"note,omitzero"`
}

// step is an entry of the walk: where one stood, and the reading that was made there. When the reading is taken back,
// one stands there again.
type step struct {
	At      string `json:"at"`
	Reading string `json:"reading"`
	Was     string `json:"was,omitzero"` // the reading before it was corrected, for when that is undone
}

// longestTrail is how many entries can be walked back. Source: our choice.
const longestTrail = 40

func draftKey(build string) string { return "walk:" + build }

// loadDraft reads the draft of a build and mends what has gone since: where one stands, what was chosen.
func loadDraft(s *session.Session) draft {
	var d draft
	if json.Unmarshal([]byte(s.Device.Prefs.Get(draftKey(s.ID()))), &d) != nil {
		d = draft{}
	}
	fresh := d.At == ""
	d.mend(s.B(), s.Lengths())
	if fresh {
		return d.carryOn(s.B(), s.Lengths())
	}
	return d
}

func (d draft) save(s *session.Session) {
	text, err := json.Marshal(d)
	if err != nil {
		return
	}
	s.Device.Prefs.Put(draftKey(s.ID()), string(text))
}

// mend drops what is no longer there. The number that was keyed in always stays.
func (d *draft) mend(b *harness.Build, l *survey.Lengths) {
	for n := len(d.Trail); n > 0; n = len(d.Trail) {
		if last := d.Trail[n-1]; last.Was != "" {
			if _, lives := b.Readings.Get(last.Was); lives {
				d.Trail = slices.Clone(d.Trail)
				d.Trail[n-1].Reading, d.Trail[n-1].Was = last.Was, ""
			}
		}
		last := d.Trail[n-1]
		if _, lives := b.Readings.Get(last.Reading); lives {
			break
		}
		d.Trail = d.Trail[:n-1]
		if _, lives := b.Places.Get(last.At); lives {
			*d = d.elsewhere(b, l, last.At)
		}
	}
	if _, ok := b.Places.Get(d.At); !ok {
		d.At = start(b)
	}
	if _, ok := b.Places.Get(d.To.Place); d.To.Place != "" && (!ok || d.To.Place == d.At) {
		d.To = target{}
	}
	if r, ok := b.Runs.Get(d.To.Run); d.To.Run != "" {
		far, ends := r.OtherEnd(d.At)
		if !ok || !ends || far != d.To.Place {
			d.To.Run = ""
		}
	}
	if _, ok := b.Looms.Get(d.Loom); !ok {
		d.Loom = ""
	}
	if _, ok := b.Readings.Get(d.Fix); d.Fix != "" && !ok {
		*d = d.fixed()
	}
	d.mendString(b)
	d.Check.mend(b)
	if !d.To.chosen() {
		d.To = d.first(b, l, d.At)
	}
}

// first is what is chosen before a person has chosen. Along a string that is marked the trunk comes before its legs.
func (d draft) first(b *harness.Build, l *survey.Lengths, here string) target {
	if d.Way.strings() {
		for _, t := range drawn(b, l, here) {
			if p, _ := b.Places.Get(t.Place); !slices.Contains(ends, p.Kind) && !d.String.Passes(t.Place) {
				return t
			}
		}
		for _, t := range drawn(b, l, here) {
			if !d.String.Passes(t.Place) {
				return t
			}
		}
		return target{}
	}
	return first(b, l, here)
}

// start is where a walk begins: at the first controller, else at the first place.
func start(b *harness.Build) string {
	all := b.Places.All()
	for _, p := range all {
		if p.Kind == harness.Controller {
			return p.ID
		}
	}
	if len(all) > 0 {
		return all[0].ID
	}
	return ""
}

// stand is the draft of someone who has gone to another place after an entry.
func (d draft) stand(b *harness.Build, l *survey.Lengths, place string) draft {
	d.At = place
	d.To = d.first(b, l, place)
	d.Text, d.Kept, d.Name, d.Fix, d.Sure, d.Zero = "", "", "", "", false, false
	return d
}

// elsewhere is the draft of someone who chose another place to stand at: the number that is keyed in stays.
func (d draft) elsewhere(b *harness.Build, l *survey.Lengths, place string) draft {
	text := d.Text
	if d.Fix != "" {
		text = d.Kept
	}
	d = d.stand(b, l, place)
	d.Text = text
	return d
}

// fixing begins the correction of a reading; fixed ends it. What was keyed in before comes back then.
func (d draft) fixing(reading string) draft {
	if d.Fix == "" {
		d.Kept = d.Text
	}
	d.Fix, d.Text, d.Sure = reading, "", false
	return d
}

func (d draft) fixed() draft {
	d.Fix, d.Text, d.Kept, d.Sure = "", d.Kept, "", false
	return d
}

// carryOn is the draft of someone who wants to measure what is left: where one stands, or, if there is no run to measure
// there and nothing is keyed in, at the nearest place that has one.
func (d draft) carryOn(b *harness.Build, l *survey.Lengths) draft {
	if d.Text != "" || d.Fix != "" || d.To.Run != "" || d.To.Kind != "" {
		return d
	}
	if open := nearestOpen(b, l, d.At); open != "" && open != d.At {
		return d.stand(b, l, open)
	}
	return d
}

// step notes an entry and goes on to where it led.
func (d draft) step(b *harness.Build, l *survey.Lengths, reading, to string) draft {
	d.Trail = append(slices.Clone(d.Trail), step{At: d.At, Reading: reading})
	d.Trail = d.Trail[max(0, len(d.Trail)-longestTrail):]
	d.With = details{Thick: d.With.Thick}
	return d.stand(b, l, to)
}

// loomFor is the loom of the run that comes next: its own if it is drawn, else the chosen one, else that of the run one
// came by, else the first.
func (d draft) loomFor(b *harness.Build) string {
	if r, ok := b.Runs.Get(d.To.Run); ok {
		return r.Loom
	}
	if d.Loom != "" {
		return d.Loom
	}
	for _, r := range runsAt(b, d.At) {
		if _, ok := b.Looms.Get(r.Loom); ok {
			return r.Loom
		}
	}
	if all := b.Looms.All(); len(all) > 0 {
		return all[0].ID
	}
	return ""
}

// nextLoom is the loom after one, in their order, and the first after the last.
func nextLoom(b *harness.Build, id string) string {
	all := b.Looms.All()
	for i, l := range all {
		if l.ID == id {
			return all[(i+1)%len(all)].ID
		}
	}
	if len(all) > 0 {
		return all[0].ID
	}
	return ""
}
