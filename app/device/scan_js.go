package device

import (
	"context"
	"errors"
	"fmt"
	"syscall/js"
	"time"
)

// Source: our choice. Between two decodes 150 ms, 6.7 a second: quick to the eye, and light on a slow phone. A code that
// stays in view is told every 2 s, so that a page which had not been ready for it hears of it again.
const (
	pace   = 150 * time.Millisecond
	repeat = 2 * time.Second
)

// readBudget is how many milliseconds the packaged reader may take for one picture of the camera. Source: our choice: on a
// slow phone the plain reading and one of its dearer steps.
const readBudget = 80

// scanning is one run of the camera. Its ctx ends it, and the cause of that end is the reason.
type scanning struct {
	ctx     context.Context
	cancel  context.CancelCauseFunc
	video   js.Value
	stream  js.Value
	track   js.Value
	decoder decoder
	texts   chan string
	stops   []func()
}

func newScanning(ctx context.Context, video, stream js.Value) *scanning {
	s := &scanning{video: video, stream: stream, track: stream.Call("getVideoTracks").Index(0), texts: make(chan string, 1)}
	s.ctx, s.cancel = context.WithCancelCause(ctx)
	s.stops = []func(){
		view{}.OnHidden(func() { s.cancel(ErrHidden) }),
		listen(s.track, "ended", func(js.Value) { s.cancel(ErrBusy) }),
	}
	if (view{}).Hidden() {
		s.cancel(ErrHidden)
	}
	return s
}

// show plays the camera on the page.
func (s *scanning) show() error {
	s.video.Set("muted", true)
	s.video.Set("playsInline", true) // else phones play in a player of their own
	s.video.Set("srcObject", s.stream)
	if _, err := await(s.ctx, func() js.Value { return s.video.Call("play") }); err != nil {
		return explain("camera", err, cameraErrors())
	}
	s.constrain("focusMode", "continuous", offers(s.capability("focusMode"), "continuous"))
	return nil
}

// end lets the camera go and closes Texts. It runs once, in run or after a start that failed.
func (s *scanning) end() {
	s.cancel(nil)
	for _, stop := range s.stops {
		stop()
	}
	letGo(s.stream)
	if s.video.Get("srcObject").Equal(s.stream) {
		s.video.Set("srcObject", nil)
	}
	close(s.texts)
}

// err is the reason of the end: nil while it runs and when the page itself ended it.
func (s *scanning) err() error {
	cause := context.Cause(s.ctx)
	if cause == nil || errors.Is(cause, context.Canceled) || errors.Is(cause, context.DeadlineExceeded) {
		return nil
	}
	return fmt.Errorf("device: scan: %w", cause)
}

func (s *scanning) run() {
	defer s.end()
	defer func() {
		if p := recover(); p != nil {
			s.cancel(fmt.Errorf("panic: %v", p))
			panic(p) // background reports it
		}
	}()
	p := newPicture()
	p.budget = readBudget
	told := map[string]time.Time{}
	for s.ctx.Err() == nil && s.video.Get("isConnected").Bool() {
		began := time.Now()
		if s.frame() && s.square(p) {
			texts, err := s.decoder.decode(s.ctx, p)
			if err != nil {
				s.cancel(err)
				return
			}
			for _, text := range texts {
				if time.Since(told[text]) < repeat {
					continue
				}
				told[text] = time.Now()
				select {
				case s.texts <- text:
				case <-s.ctx.Done():
				}
			}
		}
		s.wait(pace - time.Since(began))
	}
}

func (s *scanning) wait(d time.Duration) {
	t := time.NewTimer(d)
	defer t.Stop()
	select {
	case <-t.C:
	case <-s.ctx.Done():
	}
}

// frame waits for the next picture of the camera, at most a second.
func (s *scanning) frame() bool {
	source, request, cancel := s.video, "requestVideoFrameCallback", "cancelVideoFrameCallback"
	if !method(source, request) {
		source, request, cancel = window(), "requestAnimationFrame", "cancelAnimationFrame"
	}
	came := make(chan struct{}, 1)
	call := js.FuncOf(func(js.Value, []js.Value) any {
		came <- struct{}{}
		return nil
	})
	defer call.Release()
	handle := source.Call(request, call)
	t := time.NewTimer(time.Second)
	defer t.Stop()
	select {
	case <-came:
		return true
	case <-t.C:
	case <-s.ctx.Done():
	}
	source.Call(cancel, handle)
	return false
}

// square draws the square in the middle of the camera's picture, as large as it is.
func (s *scanning) square(p picture) bool {
	w, h := s.video.Get("videoWidth").Int(), s.video.Get("videoHeight").Int()
	side := min(w, h)
	if side == 0 {
		return false // nothing has come yet
	}
	p.show(s.video, (w-side)/2, (h-side)/2, side, side, side, side)
	return true
}

// scan is what the page gets.
func (s *scanning) scan() *Scan {
	scan := &Scan{Texts: s.texts, Err: s.err, Stop: func() { s.cancel(nil) }}
	if s.capability("torch").Truthy() {
		scan.Torch = func(on bool) error { return s.constrain("torch", on, true) }
	}
	if zoom := s.capability("zoom"); zoom.Type() == js.TypeObject {
		least, most := zoom.Get("min").Float(), zoom.Get("max").Float()
		if most >= 2 && least <= 2 {
			scan.Zoom = func(twice bool) error {
				if twice {
					return s.constrain("zoom", 2, true)
				}
				return s.constrain("zoom", max(1, least), true)
			}
		}
	}
	return scan
}

// capability is what the camera says it can, undefined if it says nothing of it.
func (s *scanning) capability(name string) js.Value {
	if !method(s.track, "getCapabilities") {
		return js.Undefined()
	}
	return s.track.Call("getCapabilities").Get(name)
}

// offers tells whether a list of the browser holds a value.
func offers(list js.Value, value string) bool {
	return method(list, "includes") && list.Call("includes", value).Truthy()
}

// constrain sets one property of the camera, if it may be set.
func (s *scanning) constrain(name string, value any, may bool) error {
	if !may {
		return nil
	}
	wish := map[string]any{"advanced": []any{map[string]any{name: value}}}
	_, err := await(s.ctx, func() js.Value { return s.track.Call("applyConstraints", wish) })
	return explain(name, err, map[string]error{"OverconstrainedError": ErrUnavailable})
}
