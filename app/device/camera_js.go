package device

import (
	"context"
	"fmt"
	"sync"
	"syscall/js"
)

// camera opens the camera and the picture chooser. The reader stays loaded between scans.
type camera struct {
	reader  *reader
	chooser chooser
}

func newCamera() *camera { return &camera{reader: newReader()} }

// cameraErrors is what getUserMedia says. Source: W3C Media Capture and Streams, 10.2 (getUserMedia).
var cameraErrors = sync.OnceValue(func() map[string]error {
	return map[string]error{
		"NotAllowedError":      ErrRefused,
		"SecurityError":        ErrRefused,
		"NotFoundError":        ErrNoCamera,
		"OverconstrainedError": ErrNoCamera,
		"NotReadableError":     ErrBusy,
		"AbortError":           ErrBusy,
	}
})

func (c *camera) Start(ctx context.Context, video string) (*Scan, error) {
	element := document().Call("getElementById", video)
	if element.IsNull() {
		return nil, fmt.Errorf("device: camera: no video %q on the page", video)
	}
	media := navigator().Get("mediaDevices")
	if !method(media, "getUserMedia") {
		return nil, fmt.Errorf("device: camera: %w", ErrUnavailable)
	}
	stream, err := openCamera(ctx, media)
	if err != nil {
		return nil, explain("camera", err, cameraErrors())
	}
	s := newScanning(ctx, element, stream)
	if s.decoder, err = c.decoder(s.ctx); err == nil {
		err = s.show()
	}
	if err != nil {
		s.end()
		if cause := s.err(); cause != nil {
			err = cause
		}
		return nil, err
	}
	background("scan", s.run)
	return s.scan(), nil
}

// openCamera asks for the camera. If ctx ends while the person is being asked, a camera that comes later is let go.
func openCamera(ctx context.Context, media js.Value) (js.Value, error) {
	// Source: our choice of 1280 × 720: the smallest common size at which a 12 mm code at 15 cm has 4 pixels a module;
	// ideal, so no camera is refused for it.
	wishes := map[string]any{
		"audio": false,
		"video": map[string]any{
			"facingMode": map[string]any{"ideal": "environment"},
			"width":      map[string]any{"ideal": 1280},
			"height":     map[string]any{"ideal": 720},
		},
	}
	type opened struct {
		stream js.Value
		err    error
	}
	answer := make(chan opened, 1)
	background("camera", func() {
		stream, err := await(context.Background(), func() js.Value { return media.Call("getUserMedia", wishes) })
		answer <- opened{stream, err}
	})
	select {
	case o := <-answer:
		return o.stream, o.err
	case <-ctx.Done():
		background("camera", func() {
			if o := <-answer; o.err == nil {
				letGo(o.stream)
			}
		})
		return js.Undefined(), ctx.Err()
	}
}

// letGo stops the tracks of a stream; the camera's light goes out.
func letGo(stream js.Value) {
	tracks := stream.Call("getTracks")
	for i := range tracks.Length() {
		tracks.Index(i).Call("stop")
	}
}

// decoder returns the browser's own reader, or the packaged one, loaded.
func (c *camera) decoder(ctx context.Context) (decoder, error) {
	if d, ok := newDetector(ctx); ok {
		return &either{own: d, packaged: c.reader}, nil
	}
	return c.reader, c.reader.load(ctx)
}

// either is the browser's own reader until it fails, then the packaged one.
type either struct {
	own      detector
	packaged *reader
	failed   bool
}

func (e *either) decode(ctx context.Context, p picture) ([]string, error) {
	if !e.failed {
		texts, err := e.own.decode(ctx, p)
		if err == nil || ctx.Err() != nil {
			return texts, err
		}
		e.failed = true
	}
	return e.packaged.decode(ctx, p)
}

func (c *camera) Photo(ctx context.Context, take bool) ([]string, error) {
	attributes := map[string]string{"accept": "image/*"}
	if take {
		attributes["capture"] = "environment"
	}
	file, err := c.chooser.choose(ctx, attributes)
	if err != nil {
		return nil, err
	}
	bitmap, err := await(ctx, func() js.Value { return window().Call("createImageBitmap", file) })
	if err != nil {
		return nil, explain("photo", err, map[string]error{
			"InvalidStateError": ErrNotPicture, "EncodingError": ErrNotPicture, "TypeError": ErrNotPicture,
		})
	}
	defer bitmap.Call("close")
	decoders := []decoder{c.reader}
	if d, ok := newDetector(ctx); ok {
		decoders = []decoder{d, c.reader}
	}
	p := newPicture()
	w, h := bitmap.Get("width").Int(), bitmap.Get("height").Int()
	for _, size := range photoSizes(w, h) {
		p.show(bitmap, 0, 0, w, h, size[0], size[1])
		for i, d := range decoders {
			texts, err := d.decode(ctx, p)
			if last := i == len(decoders)-1; err != nil && (last || ctx.Err() != nil) {
				return nil, err
			}
			if len(texts) > 0 {
				return texts, nil
			}
		}
	}
	return nil, fmt.Errorf("device: photo of %d × %d: %w", w, h, ErrNoCode)
}
