package harness

// Hunt is a search for a fault: what is dead, what works, when it happens, and what was measured since.
type Hunt struct {
	Record
	At      string   `json:"at,omitzero"`      // RFC 3339 when it began, the phone's time, only for show
	Dead    []string `json:"dead,omitzero"`    // places of devices
	Works   []string `json:"works,omitzero"`   // likewise
	When    []When   `json:"when,omitzero"`    // empty is always
	Moved   []string `json:"moved,omitzero"`   // places where moving the loom makes it come or go
	Answers []Shown  `json:"answers,omitzero"` // what was measured, in that order
	Found   string   `json:"found,omitzero"`   // what it was, in words
	Closed  string   `json:"closed,omitzero"`  // RFC 3339 when it was found; empty is open
	Note    string   `json:"note,omitzero"`
}

// When is what a fault that comes and goes comes with.
type When string

// The occasions.
const (
	WhenHot    When = "hot"
	WhenMoving When = "moving" // in corners, on bumps, when the engine rocks
	WhenWet    When = "wet"
)

// Whens lists every occasion in the order a person is offered them.
var Whens = []When{WhenHot, WhenMoving, WhenWet}

// Shown is a measurement with what it showed.
type Shown struct {
	Measure string `json:"measure"` // its key, see package suspect
	Shows   int    `json:"shows"`   // the number of the answer
	Do      string `json:"do"`      // as it was asked, in words that stay when the build changes
	Words   string `json:"words"`   // the answer in words
	At      string `json:"at"`      // RFC 3339
}

// Photo is a picture of a place, a connector or a tag. Its bytes are a blob of the store.
type Photo struct {
	Record
	On     Kind    `json:"on,omitzero"`
	Of     string  `json:"of,omitzero"`     // the record it shows
	Blob   string  `json:"blob,omitzero"`   // SHA-256 of its bytes
	Bytes  int     `json:"bytes,omitzero"`  // how many
	Width  int     `json:"width,omitzero"`  // in pixels, upright
	Height int     `json:"height,omitzero"` // likewise
	At     string  `json:"at,omitzero"`     // RFC 3339, the phone's time, only for show
	Arrows []Arrow `json:"arrows,omitzero"`
	Order  float64 `json:"order,omitzero"`
	Note   string  `json:"note,omitzero"`
}

// Arrow is drawn over a photo from its tail to its head, in parts of the width and height, 0 to 1.
type Arrow struct {
	X1 float64 `json:"x1"`
	Y1 float64 `json:"y1"`
	X2 float64 `json:"x2"`
	Y2 float64 `json:"y2"`
}

// Amendment is something that was changed after the build was made, told where it was done: the details may follow.
type Amendment struct {
	Record
	On    Kind    `json:"on,omitzero"`
	Of    string  `json:"of,omitzero"` // the record that was changed
	Text  string  `json:"text,omitzero"`
	Photo string  `json:"photo,omitzero"` // a photo record; empty is none
	At    string  `json:"at,omitzero"`    // RFC 3339, the phone's time, only for show
	Done  bool    `json:"done,omitzero"`  // the plan says it too by now
	Order float64 `json:"order,omitzero"`
}

func (p *Photo) place() float64     { return p.Order }
func (a *Amendment) place() float64 { return a.Order }
