package walk

import (
	"slices"

	"loomwright/app/walk/tape"
	"loomwright/calc/harness"
	"loomwright/calc/survey"
	"loomwright/calc/unit"
)

// way is how readings are taken during a walk. It can be changed at any moment.
type way string

// The ways. All four end in readings of the same kind.
const (
	wayRun   way = ""      // one run after the other, each with its own number
	wayMarks way = "marks" // marks along one string, each keyed in as it is made
	wayLater way = "later" // marks with flags 1, 2, 3 in the car, keyed in afterwards at the tape
	wayCheck way = "check" // from any place to any other, end to end
)

var ways = []way{wayRun, wayMarks, wayLater, wayCheck}

// strings tells whether the way marks one string at several places.
func (y way) strings() bool { return y == wayMarks || y == wayLater }

// words are what a way is called, and what it is for.
func (y way) words() (name, short, does string) {
	switch y {
	case wayMarks:
		return "Marks along one string", "Marks", "Key in each mark as the tape shows it: the app subtracts. Errors do not add up."
	case wayLater:
		return "Mark now, read later", "Flags", "In the car the phone gives numbers for the flags on the string. Read them all at the tape."
	case wayCheck:
		return "Check from end to end", "Check", "One reading from any place to any other, over all the runs between."
	}
	return "One run at a time", "One run", "Lay the string from place to place, one number each."
}

// mendString lets go of marks whose place or reading is gone, and follows runs that were split or joined.
func (d *draft) mendString(b *harness.Build) {
	s := d.String
	if _, ok := b.Places.Get(s.From); s.From != "" && !ok {
		d.String = tape.String{Zero: s.Zero}
		return
	}
	atEnd := d.At == s.End()
	from := s.From
	for i, m := range s.Marks {
		_, lives := b.Readings.Get(m.Reading)
		if was, ok := b.Readings.Get(m.Was); m.Reading != "" && !lives && ok {
			d.String = d.String.Typed(i, was.Text)
			d.String.Marks[i].Reading, d.String.Marks[i].Was = was.ID, ""
			m, lives = d.String.Marks[i], true
		}
		if m.Reading != "" && !lives && d.Way == wayLater {
			// Flags that were taken wait at the tape again when that is undone.
			d.String.Marks = slices.Clone(d.String.Marks)
			d.String.Marks[i].Reading, d.String.Done = "", false
			m, lives = d.String.Marks[i], true
		}
		followed, ok := follow(b, from, m)
		if m.Reading != "" && !lives || !ok {
			d.String.Marks = slices.Clone(d.String.Marks[:i])
			if _, lives := b.Places.Get(d.String.End()); atEnd && lives {
				d.At = d.String.End()
			}
			break
		}
		if !slices.Equal(followed.Runs, m.Runs) {
			d.String.Marks = slices.Clone(d.String.Marks)
			d.String.Marks[i] = followed
		}
		from = m.Place()
	}
	d.Row = min(max(d.Row, 0), max(0, len(d.String.Marks)-1))
}

// follow leads a mark over the runs that became of those it passed; ok is false where they do not lead to its place.
func follow(b *harness.Build, from string, m tape.Mark) (now tape.Mark, ok bool) {
	now = tape.Mark{Text: m.Text, Reading: m.Reading, Was: m.Was}
	at := from
	queue := slices.Clone(m.Runs)
	for steps := 0; len(queue) > 0 && steps < 1000; steps++ {
		r, known := b.Runs.Any(queue[0])
		if !known {
			return m, false
		}
		queue = queue[1:]
		if r.Gone {
			parts := slices.Clone(r.Became)
			if len(parts) > 1 {
				if first, _ := b.Runs.Any(parts[0]); first.A != at && first.B != at {
					slices.Reverse(parts)
				}
			}
			if len(parts) == 0 {
				return m, false
			}
			queue = append(parts, queue...)
			continue
		}
		far, ends := r.OtherEnd(at)
		if _, lives := b.Places.Get(far); !ends || !lives {
			return m, false
		}
		now.Places, now.Runs, at = append(now.Places, far), append(now.Runs, r.ID), far
	}
	return now, len(now.Places) > 0 && len(queue) == 0 && at == m.Place()
}

// zeroOf is what the tape showed where the string of a reading began: 0, unless it is a mark.
func zeroOf(r harness.Reading) unit.Length {
	if r.Zero == nil {
		return 0
	}
	return *r.Zero
}

// belowStart says why a mark is not taken that is not beyond where its string begins.
func belowStart(b *harness.Build, r harness.Reading) string {
	return "A mark is beyond where the string begins: more than " + zeroOf(r).Format(b.Settings.Unit) + "."
}

// toMeasure is the draft of someone who goes to read one run or a path again, from end to end.
func (d draft) toMeasure(b *harness.Build, l *survey.Lengths, from string, runs []string) draft {
	places, ok := placesAlong(b, from, runs)
	if !ok {
		return d
	}
	if len(runs) > 1 {
		d = d.elsewhere(b, l, from)
		d.Way, d.Check = wayCheck, check{From: from, To: places[len(places)-1], Along: runs}
		return d
	}
	d.Way = wayRun
	d = d.elsewhere(b, l, from)
	d.To = target{Place: places[1], Run: runs[0]}
	return d
}

// placesAlong are the places that runs lead over, from one of the ends.
func placesAlong(b *harness.Build, from string, runs []string) (places []string, ok bool) {
	places = []string{from}
	for _, id := range runs {
		r, lives := b.Runs.Get(id)
		far, ends := r.OtherEnd(places[len(places)-1])
		if !lives || !ends {
			return nil, false
		}
		places = append(places, far)
	}
	return places, len(runs) > 0
}

// endOf is the place where a path of runs begins: the end of the first that the second does not share.
func endOf(b *harness.Build, runs []string) string {
	if len(runs) == 0 {
		return ""
	}
	first, _ := b.Runs.Any(runs[0])
	if _, ok := placesAlong(b, first.A, runs); ok {
		return first.A
	}
	return first.B
}
