package bundle

// Term is one step of a number: what went in, or what came out.
type Term struct {
	_      [0]func() // never compared: that saves a function for each length of a list
	Name   string
	Value  float64
	Unit   string // "mm", "×", "g", "" for a count
	Reason string // why it is here
	Source string // where it comes from
}

// packed is the source of a diameter that was searched for.
const packed = "circles packed in the smallest circle"

const (
	practice       = "common practice"
	practiceMemory = "common practice, from memory"
)
