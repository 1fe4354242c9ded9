package prove

import (
	"strings"

	"loomwright/calc/circuit"
	"loomwright/calc/harness"
	"loomwright/calc/unit"
)

// PointName is what a point is called: "Controller A14", "joint 5 V A", "bare end of W16 at Crank position".
func (s *Sheet) PointName(p Point) string {
	switch p {
	case "":
		return ""
	case SupplyRail:
		return "all supplies, bridged at the panel"
	case GroundRail:
		return "ground, the battery's negative lug"
	case FiveRail:
		return "all 5 V pins, bridged"
	case AllOthers:
		return "all other pins, tied together"
	}
	if t, ok := s.b.Terminals.Any(string(p)); ok {
		return s.net.Name(t)
	}
	if j, ok := s.b.Joints.Any(string(p)); ok {
		return "joint " + j.Name
	}
	for _, end := range [2]string{bareFrom, bareTo} {
		if w, ok := strings.CutPrefix(string(p), end); ok {
			wire, _ := s.b.Wires.Any(w)
			at, _ := s.b.Places.Any(s.placeOf(p))
			return "bare end of " + strings.TrimSpace(wire.Name+" "+wire.Function) + " at " + at.Name
		}
	}
	return "unknown"
}

// Short is a point as it is said in few words: a rail by its name, a pin of the controller by its cavity.
func (s *Sheet) Short(p Point) string {
	switch p {
	case SupplyRail, GroundRail, FiveRail, AllOthers:
		return string(p)
	}
	if t, ok := s.b.Terminals.Any(string(p)); ok {
		if _, led := s.net.Lead(t.ID); led {
			return circuit.Cavity(t)
		}
	}
	return s.PointName(p)
}

// Title is what a test is about.
func (s *Sheet) Title(t *Test) string {
	switch {
	case t.Ask == Silent && t.Name == "":
		return s.Short(t.A) + " not to " + s.Short(t.B)
	case t.Group == Through || t.Group == Load:
		return s.Short(t.A) + " to " + s.Short(t.B)
	case t.Group == Power && t.A != "" && t.Ask == Number && t.Name != "" && s.Short(t.A) != "":
		return t.Name + ": " + s.Short(t.A)
	}
	return t.Name
}

// Say is what to do, as it is read aloud.
func (s *Sheet) Say(t *Test) string {
	var b strings.Builder
	if t.Do != "" {
		b.WriteString(t.Do)
	}
	if t.A != "" && t.Ask != Yes {
		if b.Len() > 0 {
			b.WriteByte(' ')
		}
		b.WriteString("Red on " + s.PointName(t.A) + ".")
		if t.B != "" {
			b.WriteString(" Black on " + s.PointName(t.B) + ".")
		}
	}
	switch {
	case t.Ask == Beep:
		b.WriteString(" It beeps and shows " + Limits(t) + ". Shake the loom meanwhile.")
	case t.Ask == Silent:
		b.WriteString(" It stays silent.")
	case t.Ask == Number && Limits(t) != "":
		b.WriteString(" Good is " + Limits(t) + ".")
	}
	if t.Group == Through && s.open(t) {
		b.WriteString(" Before the bare end is insulated.")
	}
	return b.String()
}

// open reports whether a test ends at a bare end.
func (s *Sheet) open(t *Test) bool {
	return strings.HasPrefix(string(t.B), bareTo) || strings.HasPrefix(string(t.B), bareFrom)
}

// Limits says what is good: "at most 1 ohm", "11.5 to 15 V", "at least 1 Mohm"; empty without limits.
func Limits(t *Test) string {
	switch {
	case t.Low != nil && t.High != nil:
		return unit.Shown(*t.Low) + " to " + With(*t.High, t.Unit)
	case t.High != nil:
		return "at most " + With(*t.High, t.Unit)
	case t.Low != nil:
		return "at least " + With(*t.Low, t.Unit)
	}
	return ""
}

// With is a value with its unit, in thousands where that is shorter.
func With(v float64, of string) string {
	switch {
	case of == "ohm" && v >= 1e6:
		return unit.Shown(v/1e6) + " Mohm"
	case of == "ohm" && v >= 10e3:
		return unit.Shown(v/1e3) + " kohm"
	}
	return unit.Shown(v) + " " + of
}

// Good is the word on the button for a good answer.
func Good(t *Test) string {
	switch t.Ask {
	case Beep:
		return "It beeps, " + Limits(t)
	case Silent:
		return "Silent"
	}
	return "Done, and good"
}

// Place returns the place where a point is, "" for a rail.
func (s *Sheet) Place(p Point) string { return s.placeOf(p) }

// Terminal returns the terminal of a point, and false where it is none.
func (s *Sheet) Terminal(p Point) (harness.Terminal, bool) { return s.b.Terminals.Get(string(p)) }
