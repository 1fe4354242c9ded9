package device

import (
	"strings"
	"syscall/js"
)

type voice struct{}

func speech() js.Value { return window().Get("speechSynthesis") }

// local returns a voice that speaks on the phone itself: others would send the words away. English ones come first.
func (voice) local() js.Value {
	all := speech()
	if !all.Truthy() {
		return js.Undefined()
	}
	all = all.Call("getVoices")
	var found js.Value
	for i := range all.Length() {
		v := all.Index(i)
		if !v.Get("localService").Truthy() {
			continue
		}
		if strings.HasPrefix(strings.ToLower(v.Get("lang").String()), "en") {
			return v
		}
		if !found.Truthy() {
			found = v
		}
	}
	return found
}

func (v voice) CanSpeak() bool {
	defer report("voice")
	return v.local().Truthy()
}

func (v voice) Speak(text string) {
	defer report("voice")
	own := v.local()
	if !own.Truthy() {
		return
	}
	words := window().Get("SpeechSynthesisUtterance").New(text)
	words.Set("voice", own)
	words.Set("lang", own.Get("lang"))
	speech().Call("cancel")
	speech().Call("speak", words)
}

func (voice) Hush() {
	defer report("voice")
	if s := speech(); s.Truthy() {
		s.Call("cancel")
	}
}
