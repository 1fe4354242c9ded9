package harness

import "fmt"

// CheckFields checks some fields of a record, given as a JSON object: each field that this version knows must
// decode, alone, to its type, and null is allowed everywhere. Unknown fields and unknown kinds pass. Fields decode
// independently of each other, so fields that pass make a record that Put takes, whichever edits they come from.
// The error names the field.
func CheckFields(kind Kind, object []byte) error {
	var err error
	switch kind {
	case KindSettings:
		err = check[Settings](object)
	case KindPlace:
		err = check[Place](object)
	case KindRun:
		err = check[Run](object)
	case KindReading:
		err = check[Reading](object)
	case KindLoom:
		err = check[Loom](object)
	case KindTerminal:
		err = check[Terminal](object)
	case KindLead:
		err = check[Lead](object)
	case KindWire:
		err = check[Wire](object)
	case KindJoint:
		err = check[Joint](object)
	case KindTag:
		err = check[Tag](object)
	case KindConnector:
		err = check[Connector](object)
	case KindPart:
		err = check[Part](object)
	case KindTap:
		err = check[Tap](object)
	case KindCircuit:
		err = check[Circuit](object)
	case KindDismissal:
		err = check[Dismissal](object)
	case KindStock:
		err = check[Stock](object)
	case KindTick:
		err = check[Tick](object)
	case KindHunt:
		err = check[Hunt](object)
	case KindPhoto:
		err = check[Photo](object)
	case KindAmendment:
		err = check[Amendment](object)
	case KindSample:
		err = check[Sample](object)
	case KindResult:
		err = check[Result](object)
	case KindExpect:
		err = check[Expect](object)
	case KindCaliper:
		err = check[Caliper](object)
	case KindCoverSize:
		err = check[CoverSize](object)
	default:
		err = check[Record](object)
	}
	if err != nil {
		return fmt.Errorf("harness: %s: %w", kind, err)
	}
	return nil
}

func check[T any](object []byte) error {
	var v T
	return unmarshal(object, &v)
}
