package kit

import "loomwright/calc/harness"

// SourceOf is where the value of a record is entered, and the words for going there; none for what is entered nowhere.
func SourceOf(b *harness.Build, at Addr, kind harness.Kind, id string) (to Addr, word string) {
	switch kind {
	case harness.KindLead:
		return at.On("pins").With(id), "To the lead"
	case harness.KindWire:
		return at.On("wires").With(id), "To the wire"
	case harness.KindCircuit:
		return at.On("circuits").With(id), "To the circuit"
	case harness.KindConnector:
		return at.On("pins").In("view." + id), "To the connector"
	case harness.KindPart:
		return at.On("devices").In("part." + id), "To the part"
	case harness.KindTerminal:
		return at.On("devices").In("join." + id), "To the terminal"
	case harness.KindRun:
		return at.On("route").With(id), "To the run"
	case harness.KindReading:
		return at.On("route").With(id).In("fix"), "To the reading"
	case harness.KindSettings:
		return at.On("plan").In("settings"), "To the settings"
	case KindAllowances:
		return at.On("plan").In("allowances"), "To the allowances"
	case harness.KindLoom:
		return at.On("plan").In("looms"), "To the looms"
	case harness.KindJoint:
		j, _ := b.Joints.Any(id)
		return at.On("route").With(j.Place), "To the joint"
	case harness.KindTap:
		t, _ := b.Taps.Get(id)
		return at.On("devices").In("tap." + t.Terminal), "To the car's wire"
	case harness.KindPlace:
		switch q, _ := b.Places.Any(id); q.Kind {
		case harness.Split, harness.PassThrough, harness.Splice, harness.Ground, harness.Inline:
			return at.On("route").With(id), "To the place"
		}
		return at.On("devices").With(id), "To the place"
	}
	return Addr{}, ""
}

// KindAllowances is the part of the settings that lengthens wires, as the origin of a term.
const KindAllowances harness.Kind = "allowances"
