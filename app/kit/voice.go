package kit

import (
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/session"
)

// prefVoice is whether the next thing to do is read aloud on this phone.
const prefVoice = "voice"

// Voice is what a page reads aloud: each thing once, when it comes up.
type Voice struct{ said string }

// Says reads a thing aloud, if the person wants that and it is another one than before. key tells things apart.
func (v *Voice) Says(s *session.Session, key, text string) {
	if v.said == key {
		return
	}
	v.said = key
	if key == "" {
		s.Device.Voice.Hush()
	} else if s.Device.Prefs.Get(prefVoice) != "" {
		s.Device.Voice.Speak(Spoken(text))
	}
}

// Button switches reading aloud on and off; on says the text at once. It is nil on a phone that cannot.
func (v *Voice) Button(s *session.Session, key, text string) app.UI {
	if !s.Device.Voice.CanSpeak() {
		return nil
	}
	on := s.Device.Prefs.Get(prefVoice) != ""
	return Choice("Read aloud", "", on, func(app.Context, app.Event) {
		if on {
			s.Device.Prefs.Put(prefVoice, "")
			s.Device.Voice.Hush()
			return
		}
		s.Device.Prefs.Put(prefVoice, "on")
		s.Device.Voice.Speak(Spoken(text))
	}, key, text, on)
}

// spokenWords are what a voice would spell.
func spokenWords() [][2]string {
	return [][2]string{{"mm²", "square millimetres"}, {"mm2", "square millimetres"}, {"mm", "millimetres"}, {"Ω", "ohm"}, {">", "to"}}
}

// Spoken is a text as it is said: numbers in one piece, units in words.
func Spoken(text string) string {
	var b strings.Builder
	runes := []rune(text)
	digit := func(i int) bool { return i >= 0 && i < len(runes) && runes[i] >= '0' && runes[i] <= '9' }
	for i, r := range runes {
		thousands := digit(i-1) && digit(i+1) && digit(i+2) && digit(i+3) && !digit(i+4)
		if (r == ' ' || r == '\u00a0' || r == '\u202f' || r == '\u2009') && thousands {
			continue
		}
		b.WriteRune(r)
	}
	words := strings.Fields(b.String())
	for i, w := range words {
		for _, x := range spokenWords() {
			if bare := strings.TrimRight(w, ".,;:"); bare == x[0] {
				words[i] = x[1] + strings.TrimPrefix(w, bare)
				break
			}
		}
	}
	return strings.Join(words, " ")
}
