package harness

// This file has the records that proving adds: what tests gave, and what devices are expected to read.

// Outcome is what came of a test.
type Outcome string

// The outcomes.
const (
	NoOutcome     Outcome = "" // not tested
	Passed        Outcome = "pass"
	Failed        Outcome = "fail"
	NotApplicable Outcome = "not applicable" // there is nothing to test; Why says why
	Skipped       Outcome = "skipped"        // not now; Why says why
)

// Result is a test as it was done once. It is never rewritten: a test that is done again gives another one.
type Result struct {
	Record
	Test    string   `json:"test,omitzero"` // the id of the test, see package prove
	What    string   `json:"what,omitzero"` // what was tested, as the test said it then
	Outcome Outcome  `json:"outcome,omitzero"`
	Turn    int      `json:"turn,omitzero"`    // counts the times this test was done, from 1; two phones may count alike
	Value   *float64 `json:"value,omitzero"`   // what the meter showed, less its leads; nil where a beep or a look was enough
	Unit    string   `json:"unit,omitzero"`    // of Value, Low and High: "ohm", "V", "A"
	Low     *float64 `json:"low,omitzero"`     // the limits as they were then; nil is none
	High    *float64 `json:"high,omitzero"`    // likewise
	Celsius *float64 `json:"celsius,omitzero"` // how warm the loom was
	Leads   *float64 `json:"leads,omitzero"`   // ohms of the meter's leads held together, taken off already
	Who     string   `json:"who,omitzero"`
	Why     string   `json:"why,omitzero"` // of what was skipped or does not apply
	At      string   `json:"at,omitzero"`  // RFC 3339, the phone's time, only for show
	Note    string   `json:"note,omitzero"`
}

// Expect is what a device should read between two of its terminals, as its own papers say it.
type Expect struct {
	Record
	Place   string   `json:"place,omitzero"`   // the device
	Plus    string   `json:"plus,omitzero"`    // the terminal for the red probe
	Minus   string   `json:"minus,omitzero"`   // the terminal for the black probe
	Unit    string   `json:"unit,omitzero"`    // "ohm" unplugged, "V" plugged with the key on
	Celsius *float64 `json:"celsius,omitzero"` // of a thermistor: at this temperature; nil is at any
	Low     float64  `json:"low,omitzero"`
	High    float64  `json:"high,omitzero"`
	Source  string   `json:"source,omitzero"` // where it is from
	Order   float64  `json:"order,omitzero"`
}

func (e *Expect) place() float64 { return e.Order }
