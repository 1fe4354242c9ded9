package bundle

// CoverKind is what goes over a loom or into a hole.
type CoverKind string

// The covers, from the loosest to the tightest, and what lines a hole.
const (
	SlitTube   CoverKind = "slit tube"
	Corrugated CoverKind = "corrugated tube"
	Braid      CoverKind = "braid"
	Shrink2    CoverKind = "heat-shrink 2:1"
	Shrink3    CoverKind = "heat-shrink 3:1"
	GrommetFor CoverKind = "grommet"
)

// Stock is one size that can be bought. Lengths are in millimetres; what a kind does not have is 0.
type Stock struct {
	_      [0]func() // never compared: that saves a function for each length of a list
	Kind   CoverKind
	Name   string
	Inside float64 // of a tube; of heat-shrink as supplied, at least; of braid at its widest
	Least  float64 // of heat-shrink after shrinking, at most; of braid at its narrowest
	Wall   float64 // after shrinking
	Hole   float64 // of a grommet: the hole in the panel
	Panel  float64 // of a grommet: how thick the panel is
	Mass   float64 // g/m; 0 is not known
	Source string
}

// Where the sizes come from.
const (
	sourceShrink2    = "SAE AMS-DTL-23053/5 class 1, from memory"
	sourceShrink3    = "trade sizes, dual wall, from memory: check the data sheet"
	sourceSlit       = "trade sizes of convoluted tubing (SAE J2192 family), from memory"
	sourceCorrugated = "European trade sizes, from memory: the real inside varies by 1 mm"
	sourceBraid      = "trade sizes of expandable braid, from memory: makers differ by 10 to 20 %"
	sourceGrommet    = "trade sizes, from memory: approximate"
)

// Usual returns the sizes that shops usually have, by kind and then by size. A person's own list takes its place.
func Usual() []Stock {
	return []Stock{
		{Kind: SlitTube, Name: "3/16 in", Inside: 4.8, Source: sourceSlit},
		{Kind: SlitTube, Name: "1/4 in", Inside: 6.4, Source: sourceSlit},
		{Kind: SlitTube, Name: "3/8 in", Inside: 9.5, Source: sourceSlit},
		{Kind: SlitTube, Name: "1/2 in", Inside: 12.7, Source: sourceSlit},
		{Kind: SlitTube, Name: "5/8 in", Inside: 15.9, Source: sourceSlit},
		{Kind: SlitTube, Name: "3/4 in", Inside: 19.1, Source: sourceSlit},
		{Kind: SlitTube, Name: "1 in", Inside: 25.4, Source: sourceSlit},
		{Kind: SlitTube, Name: "1-1/4 in", Inside: 31.8, Source: sourceSlit},
		{Kind: SlitTube, Name: "1-1/2 in", Inside: 38.1, Source: sourceSlit},
		{Kind: SlitTube, Name: "2 in", Inside: 50.8, Source: sourceSlit},
		{Kind: Corrugated, Name: "NW 4.5", Inside: 4.5, Source: sourceCorrugated},
		{Kind: Corrugated, Name: "NW 6", Inside: 6, Source: sourceCorrugated},
		{Kind: Corrugated, Name: "NW 7.5", Inside: 7.5, Source: sourceCorrugated},
		{Kind: Corrugated, Name: "NW 8.5", Inside: 8.5, Source: sourceCorrugated},
		{Kind: Corrugated, Name: "NW 10", Inside: 10, Source: sourceCorrugated},
		{Kind: Corrugated, Name: "NW 13", Inside: 13, Source: sourceCorrugated},
		{Kind: Corrugated, Name: "NW 17", Inside: 17, Source: sourceCorrugated},
		{Kind: Corrugated, Name: "NW 22", Inside: 22, Source: sourceCorrugated},
		{Kind: Corrugated, Name: "NW 26", Inside: 26, Source: sourceCorrugated},
		{Kind: Corrugated, Name: "NW 29", Inside: 29, Source: sourceCorrugated},
		{Kind: Corrugated, Name: "NW 37", Inside: 37, Source: sourceCorrugated},
		{Kind: Braid, Name: "1/8 in", Inside: 6.4, Least: 2.4, Source: sourceBraid},
		{Kind: Braid, Name: "1/4 in", Inside: 11.1, Least: 3.2, Source: sourceBraid},
		{Kind: Braid, Name: "3/8 in", Inside: 15.9, Least: 4.8, Source: sourceBraid},
		{Kind: Braid, Name: "1/2 in", Inside: 19.1, Least: 6.4, Source: sourceBraid},
		{Kind: Braid, Name: "3/4 in", Inside: 31.8, Least: 12.7, Source: sourceBraid},
		{Kind: Braid, Name: "1 in", Inside: 38.1, Least: 19.1, Source: sourceBraid},
		{Kind: Braid, Name: "1-1/2 in", Inside: 63.5, Least: 25.4, Source: sourceBraid},
		{Kind: Shrink2, Name: "3/64 in", Inside: 1.17, Least: 0.58, Wall: 0.41, Source: sourceShrink2},
		{Kind: Shrink2, Name: "1/16 in", Inside: 1.6, Least: 0.79, Wall: 0.43, Source: sourceShrink2},
		{Kind: Shrink2, Name: "3/32 in", Inside: 2.36, Least: 1.17, Wall: 0.51, Source: sourceShrink2},
		{Kind: Shrink2, Name: "1/8 in", Inside: 3.18, Least: 1.58, Wall: 0.51, Source: sourceShrink2},
		{Kind: Shrink2, Name: "3/16 in", Inside: 4.75, Least: 2.36, Wall: 0.51, Source: sourceShrink2},
		{Kind: Shrink2, Name: "1/4 in", Inside: 6.35, Least: 3.18, Wall: 0.64, Source: sourceShrink2},
		{Kind: Shrink2, Name: "3/8 in", Inside: 9.53, Least: 4.75, Wall: 0.64, Source: sourceShrink2},
		{Kind: Shrink2, Name: "1/2 in", Inside: 12.7, Least: 6.35, Wall: 0.64, Source: sourceShrink2},
		{Kind: Shrink2, Name: "3/4 in", Inside: 19.05, Least: 9.53, Wall: 0.76, Source: sourceShrink2},
		{Kind: Shrink2, Name: "1 in", Inside: 25.4, Least: 12.7, Wall: 0.89, Source: sourceShrink2},
		{Kind: Shrink2, Name: "1-1/2 in", Inside: 38.1, Least: 19.05, Wall: 1.02, Source: sourceShrink2},
		{Kind: Shrink2, Name: "2 in", Inside: 50.8, Least: 25.4, Wall: 1.14, Source: sourceShrink2},
		{Kind: Shrink2, Name: "3 in", Inside: 76.2, Least: 38.1, Wall: 1.27, Source: sourceShrink2},
		{Kind: Shrink2, Name: "4 in", Inside: 101.6, Least: 50.8, Wall: 1.4, Source: sourceShrink2},
		{Kind: Shrink3, Name: "3/1", Inside: 3, Least: 1, Source: sourceShrink3},
		{Kind: Shrink3, Name: "4.8/1.5", Inside: 4.8, Least: 1.5, Source: sourceShrink3},
		{Kind: Shrink3, Name: "6/2", Inside: 6, Least: 2, Source: sourceShrink3},
		{Kind: Shrink3, Name: "9/3", Inside: 9, Least: 3, Source: sourceShrink3},
		{Kind: Shrink3, Name: "12/4", Inside: 12, Least: 4, Source: sourceShrink3},
		{Kind: Shrink3, Name: "18/6", Inside: 18, Least: 6, Source: sourceShrink3},
		{Kind: Shrink3, Name: "24/8", Inside: 24, Least: 8, Source: sourceShrink3},
		{Kind: Shrink3, Name: "39/13", Inside: 39, Least: 13, Source: sourceShrink3},
		{Kind: GrommetFor, Name: "6.4 mm inside", Inside: 6.4, Hole: 9.5, Panel: 1.6, Source: sourceGrommet},
		{Kind: GrommetFor, Name: "9.5 mm inside", Inside: 9.5, Hole: 12.7, Panel: 1.6, Source: sourceGrommet},
		{Kind: GrommetFor, Name: "12.7 mm inside", Inside: 12.7, Hole: 19.1, Panel: 1.6, Source: sourceGrommet},
		{Kind: GrommetFor, Name: "19.1 mm inside", Inside: 19.1, Hole: 25.4, Panel: 1.6, Source: sourceGrommet},
		{Kind: GrommetFor, Name: "25.4 mm inside", Inside: 25.4, Hole: 34.9, Panel: 1.6, Source: sourceGrommet},
	}
}
