package device

import (
	"context"
	"sync"
	"syscall/js"
)

type signal struct {
	mu    sync.Mutex
	sound js.Value // an AudioContext, made at the first Arm
}

func (s *signal) Arm() {
	defer report("sound")
	s.mu.Lock()
	defer s.mu.Unlock()
	if !s.sound.Truthy() {
		kind := window().Get("AudioContext")
		if kind.Type() != js.TypeFunction {
			return
		}
		s.sound = kind.New()
	}
	sound := s.sound
	background("sound", func() {
		// A refusal leaves it silent.
		_, _ = await(context.Background(), func() js.Value { return sound.Call("resume") })
	})
}

// Click is a beep too short to be heard as a tone. Source: our choice, by ear of the pitch of a camera's shutter.
func (s *signal) Click() {
	defer report("click")
	s.mu.Lock()
	defer s.mu.Unlock()
	if !s.sound.Truthy() || s.sound.Get("state").String() != "running" {
		return
	}
	const hertz, seconds, loud, quiet = 1760, 0.05, 0.4, 0.001
	now := s.sound.Get("currentTime").Float()
	tone, gain := s.sound.Call("createOscillator"), s.sound.Call("createGain")
	tone.Get("frequency").Set("value", hertz)
	gain.Get("gain").Call("setValueAtTime", loud, now)
	gain.Get("gain").Call("exponentialRampToValueAtTime", quiet, now+seconds)
	tone.Call("connect", gain)
	gain.Call("connect", s.sound.Get("destination"))
	tone.Call("start", now)
	tone.Call("stop", now+seconds)
}

func (*signal) Vibrate(ms ...int) {
	defer report("vibrate")
	if !method(navigator(), "vibrate") {
		return
	}
	pattern := make([]any, len(ms))
	for i, m := range ms {
		pattern[i] = m
	}
	navigator().Call("vibrate", pattern)
}
