package session

import (
	"fmt"

	"loomwright/calc/harness"
)

// Summary is how far a build is.
type Summary struct {
	Measured int    `json:"measured"` // runs
	Runs     int    `json:"runs"`
	Wires    int    `json:"wires"`
	From     string `json:"from,omitzero"` // places at the ends of the run to measure next
	To       string `json:"to,omitzero"`
}

// Lines says it in words.
func (s Summary) Lines() []string {
	lines := []string{fmt.Sprintf("%d of %d runs measured, %d wires", s.Measured, s.Runs, s.Wires)}
	if s.Measured < s.Runs {
		lines = append(lines, fmt.Sprintf("Next: measure %s to %s", s.From, s.To))
	}
	return lines
}

// kept is a summary as it is kept with the preferences, and the state of the build that it is of.
type kept struct {
	Stamp   string  `json:"stamp"`
	Summary Summary `json:"summary"`
}

func summaryKey(build string) string { return "sum:" + build }

// Summary says how far the open build is. It is computed once for each state; the one of a state in which the build was
// left is kept, so that a build opens without adjusting all its readings first.
func (s *Session) Summary() Summary {
	stamp := s.stamp()
	if s.cache.summaryStamp == stamp {
		return s.cache.summary
	}
	k, ok := s.kept(s.ID())
	if !ok || k.Stamp != stamp {
		k.Summary = s.summarize()
	}
	s.cache.summary, s.cache.summaryStamp = k.Summary, stamp
	return k.Summary
}

// stamp names the state of the open build, as this version of the program reads it.
func (s *Session) stamp() string {
	return fmt.Sprintf("%d %d %s", s.log.Clock(), s.log.Len(), s.Device.Shell.Program())
}

func (s *Session) summarize() Summary {
	b := s.B()
	sum := Summary{Wires: b.Wires.Len()}
	sum.Measured, sum.Runs = s.Lengths().Measured()
	for _, k := range s.Lengths().All() {
		if k.Measured() {
			continue
		}
		r, _ := b.Runs.Get(k.Run)
		a, _ := b.Places.Any(r.A)
		z, _ := b.Places.Any(r.B)
		sum.From, sum.To = a.Name, z.Name
		break
	}
	return sum
}

func (s *Session) kept(build string) (k kept, ok bool) {
	text := s.Device.Prefs.Get(summaryKey(build))
	return k, text != "" && harness.Decode([]byte(text), &k) == nil
}

// Remember keeps how far the open build is, for the first page and for the next start.
func (s *Session) Remember() {
	text, err := harness.Encode(kept{s.stamp(), s.Summary()})
	if err == nil {
		s.Device.Prefs.Put(summaryKey(s.ID()), string(text))
	}
}

// Remembered returns how far a build was when it was last left; ok is false where that is not known.
func (s *Session) Remembered(build string) (sum Summary, ok bool) {
	k, ok := s.kept(build)
	return k.Summary, ok
}
