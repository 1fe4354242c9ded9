package tag

import (
	"errors"
	"fmt"
	"io"
	"strings"
	"sync"
	"unicode"
)

// Alphabet is the 29 signs of a code, in the order of their values 0 to 28. I, L, O, S, Z, 0 and 1 are left out:
// greasy or shouted, they pass for another sign. 29 is prime, which is what makes the check sign complete.
const Alphabet = "23456789ABCDEFGHJKMNPQRTUVWXY"

// CodeLength is how many signs a code has; the last one checks the others.
const CodeLength = 8

// weights of the eight signs: 1 for the last, 6 more for each before it, modulo 29. They differ and none is 0.
//
// Source: our choice, in the manner of ISBN-10 (ISO 2108): with a prime modulus a weighted sum finds every single
// wrong sign, because w·d ≠ 0 for d ≠ 0, and every two signs changed over, because (v-w)·d ≠ 0.
var weights = [CodeLength]int{14, 8, 2, 25, 19, 13, 7, 1}

// What can be wrong with a code.
var (
	ErrLength    = errors.New("tag: a code has 8 signs")
	ErrSign      = errors.New("tag: a sign that codes do not have")
	ErrCheckSign = errors.New("tag: the check sign does not fit")
)

// NewCode returns a fresh code drawn from random, every code equally likely. It draws again while taken says that
// the code is in use, so a code is never given twice; taken may be nil.
func NewCode(random io.Reader, taken func(code string) bool) (string, error) {
	for {
		var signs [CodeLength]byte
		for i := 0; i < CodeLength-1; {
			var b [1]byte
			if _, err := io.ReadFull(random, b[:]); err != nil {
				return "", fmt.Errorf("tag: no random bytes for a code: %w", err)
			}
			// 232 = 8 × 29: the bytes above it would make the first signs likelier.
			if b[0] < 232 {
				signs[i] = Alphabet[b[0]%29]
				i++
			}
		}
		signs[CodeLength-1] = checkSign(signs[:CodeLength-1])
		if code := string(signs[:]); taken == nil || !taken(code) {
			return code, nil
		}
	}
}

// checkSign returns the sign that makes the weighted sum of all eight a multiple of 29.
func checkSign(first []byte) byte {
	sum := 0
	for i, c := range first {
		sum += weights[i] * strings.IndexByte(Alphabet, c)
	}
	return Alphabet[(29-sum%29)%29] // the last weight is 1
}

// Check returns nil for a code as it is printed: eight signs of the alphabet in upper case with a check sign that
// fits. Otherwise the error is ErrLength, ErrSign or ErrCheckSign, with the text.
func Check(code string) error {
	if len(code) != CodeLength {
		return fmt.Errorf("%w: %q", ErrLength, Clean(code, 40))
	}
	sum := 0
	for i := range CodeLength {
		v := strings.IndexByte(Alphabet, code[i])
		if v < 0 {
			return fmt.Errorf("%w: %q", ErrSign, Clean(code, 40))
		}
		sum += weights[i] * v
	}
	if sum%29 != 0 {
		return fmt.Errorf("%w: %q", ErrCheckSign, code)
	}
	return nil
}

// Normalise returns a typed code as it is printed: upper case, without spaces and dashes. It changes no sign for
// another; see Repair.
func Normalise(typed string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsSpace(r) || unicode.Is(unicode.Pd, r) || r == '\u2212' || unicode.Is(unicode.Cf, r) {
			return -1
		}
		return unicode.ToUpper(r)
	}, typed)
}

// Format returns a code in two groups of four, as it is printed and read out: "7K3F 9Q2M". Other texts come back
// as they are.
func Format(code string) string {
	if len(code) != CodeLength {
		return code
	}
	return code[:4] + " " + code[4:]
}

// lookAlikes are the signs of the alphabet that a sign may have been on a worn tag.
//
// Source: our choice, from the shapes of the letters of a sans-serif type and of capitals written by hand.
var lookAlikes = sync.OnceValue(func() map[byte]string {
	return map[byte]string{
		'0': "DQ", 'O': "DQ", '1': "T7J", 'I': "T7J", 'L': "EJ", 'S': "5", 'Z': "27",
		'2': "7", '3': "8B", '4': "A", '5': "6", '6': "G58", '7': "T2", '8': "B36", '9': "PG",
		'A': "4R", 'B': "8R3", 'C': "G", 'D': "Q", 'E': "F", 'F': "EP", 'G': "C6", 'H': "N", 'J': "U",
		'K': "X", 'M': "NW", 'N': "MH", 'P': "RF9", 'Q': "DG", 'R': "PAB", 'T': "7Y", 'U': "VJ", 'V': "UY",
		'W': "VM", 'X': "KY", 'Y': "VTX",
	}
})

// Repair returns the codes that typed may have been meant to be, likeliest first, at most eight: signs that codes
// do not have are changed for ones they look like; if all signs are good but the check is not, one sign is
// changed for a look-alike, or two neighbours are changed over. It returns nothing for a good code and for a text
// that is not eight signs long.
func Repair(typed string) []string {
	code := Normalise(typed)
	if len(code) != CodeLength || Check(code) == nil {
		return nil
	}
	var found []string
	add := func(signs []byte) {
		if s := string(signs); len(found) < 8 && Check(s) == nil {
			for _, f := range found {
				if f == s {
					return
				}
			}
			found = append(found, s)
		}
	}
	var foreign []int
	for i := range CodeLength {
		if strings.IndexByte(Alphabet, code[i]) < 0 {
			foreign = append(foreign, i)
		}
	}
	if len(foreign) > 0 {
		replaceEach([]byte(code), foreign, add)
		return found
	}
	for i := range CodeLength {
		replaceEach([]byte(code), []int{i}, add)
	}
	for i := range CodeLength - 1 {
		signs := []byte(code)
		signs[i], signs[i+1] = signs[i+1], signs[i]
		add(signs)
	}
	return found
}

// replaceEach calls use with every choice of look-alikes at the positions.
func replaceEach(signs []byte, at []int, use func([]byte)) {
	if len(at) == 0 {
		use(signs)
		return
	}
	was := signs[at[0]]
	for _, c := range []byte(lookAlikes()[was]) {
		signs[at[0]] = c
		replaceEach(signs, at[1:], use)
	}
	signs[at[0]] = was
}
