package kit

import (
	"strconv"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/calc/unit"
)

// Entry is a number being keyed in on the pad: the text as a person would write it.
type Entry string

// Keys of the pad that are not signs.
const (
	KeyBack = "back" // takes the last sign away
	KeyNext = "next" // for the page: the entry is done
	KeyFoot = "'"
)

const entryLimit = 24 // signs; more is a stuck key

// Press returns the entry after a key. A fraction key adds its fraction to what stands there, so 1/2 and then 1/8
// make 5/8; a sum of one inch or more is not taken.
func (e Entry) Press(key string) Entry {
	text := string(e)
	switch {
	case key == KeyBack:
		return Entry(dropLast(text))
	case strings.Contains(key, "/"):
		return Entry(addFraction(text, key))
	case len(text) >= entryLimit:
		return e
	case key == KeyFoot:
		if text == "" || strings.ContainsAny(text, "'/.") {
			return e
		}
		return Entry(text + "' ")
	case key == ".":
		if text == "" || strings.ContainsAny(text, "./") {
			return e
		}
		return Entry(text + ".")
	case strings.Contains(text, "/"):
		return e // a digit after a fraction would change what the fraction means
	}
	return Entry(text + key)
}

// Type returns the entry after a key of a keyboard, by the name that a browser gives it: any sign that a length is
// written with is taken as it is, so that what is typed can be read, or be said to be no length, but never changes under
// the hand. ok is false for other keys.
func (e Entry) Type(key string) (typed Entry, ok bool) {
	switch {
	case key == "Backspace":
		signs := []rune(string(e))
		return Entry(signs[:max(0, len(signs)-1)]), true
	case len(key) == 1 && strings.Contains("0123456789.,/'\"- mcinft", key):
		if len(e) >= entryLimit {
			return e, true
		}
		return e + Entry(key), true
	}
	return e, false
}

// dropLast takes one sign away, or a whole fraction or foot mark, as they were keyed whole.
func dropLast(text string) string {
	if whole, _, ok := cutFraction(text); ok {
		return whole
	}
	if strings.HasSuffix(text, "' ") {
		return text[:len(text)-2]
	}
	if text == "" {
		return ""
	}
	return text[:len(text)-1]
}

// cutFraction splits "14 5/8" into "14" and "5/8".
func cutFraction(text string) (whole, fraction string, ok bool) {
	if !strings.Contains(text, "/") {
		return text, "", false
	}
	if i := strings.LastIndexByte(text, ' '); i >= 0 {
		whole, fraction = text[:i], text[i+1:]
		if strings.HasSuffix(whole, "'") {
			whole += " "
		}
		return whole, fraction, true
	}
	return "", text, true
}

func addFraction(text, key string) string {
	if strings.Contains(text, ".") {
		return text
	}
	whole, old, _ := cutFraction(text)
	n := sixteenths(old) + sixteenths(key)
	if n <= 0 || n >= 16 {
		return text
	}
	d := 16
	for n%2 == 0 {
		n, d = n/2, d/2
	}
	f := strconv.Itoa(n) + "/" + strconv.Itoa(d)
	switch {
	case whole == "":
		return f
	case strings.HasSuffix(whole, " "):
		return whole + f
	}
	return whole + " " + f
}

func sixteenths(fraction string) int {
	above, below, ok := strings.Cut(fraction, "/")
	if !ok {
		return 0
	}
	n, err1 := strconv.Atoi(above)
	d, err2 := strconv.Atoi(below)
	if err1 != nil || err2 != nil || d <= 0 || 16%d != 0 {
		return 0
	}
	return n * 16 / d
}

var (
	metricKeys = []string{"7", "8", "9", "4", "5", "6", "1", "2", "3"}
	inchExtra  = []string{"1/16", "1/8", "1/4", "1/2", KeyFoot, "."}
)

// Keys is the number pad: three columns over the full width, fraction keys above in inch builds. on gets the key
// as its scope; next is the word on the key that ends the entry.
func Keys(sys unit.System, next string, on func(ctx app.Context, key string)) app.UI {
	class := "keys"
	var extra []string
	if sys == unit.Imperial {
		class, extra = "keys inch", inchExtra
	}
	key := func(label, class, name, key string) app.UI {
		return app.Button().Type("button").Class(class).Aria("label", name).
			OnClick(func(ctx app.Context, _ app.Event) { on(ctx, key) }, key).Text(label)
	}
	return app.Div().Class(class).Body(
		app.Range(extra).Slice(func(i int) app.UI { return key(extra[i], "frac", keyName(extra[i]), extra[i]) }),
		app.Range(metricKeys).Slice(func(i int) app.UI { return key(metricKeys[i], "", metricKeys[i], metricKeys[i]) }),
		key("⌫", "word", "take back one sign", KeyBack),
		key("0", "", "0", "0"),
		app.Button().Type("button").Class("go").OnClick(func(ctx app.Context, _ app.Event) { on(ctx, KeyNext) }, next).Text(next),
	)
}

func keyName(key string) string {
	switch key {
	case KeyFoot:
		return "feet"
	case ".":
		return "point"
	}
	return key
}

// Shown is the entry in big numerals, with the other unit and what is wrong with it so far.
func (e Entry) Shown(sys unit.System, both string) app.UI {
	return app.Div().Class("line mid grow").Body(
		app.Span().Class("big caret").Aria("live", "polite").Text(string(e)),
		app.Span().Class("both").Text(both),
	)
}
