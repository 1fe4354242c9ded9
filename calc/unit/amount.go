package unit

import (
	"math"
	"strconv"
	"strings"
)

// ParseAmount reads a plain number as a person keys it, with a point or a comma: "0.2", "0,2", "10". What is no number, has
// no end, or is not from least to most is not one.
func ParseAmount(text string, least, most float64) (float64, bool) {
	v, err := strconv.ParseFloat(strings.Replace(strings.TrimSpace(text), ",", ".", 1), 64)
	if err != nil || math.IsNaN(v) || v < least || v > most {
		return 0, false
	}
	return v, true
}
