package device

import (
	"context"
	"encoding/base64"
	"fmt"
	"strings"
	"syscall/js"
)

type pictures struct{ chooser chooser }

// longSide is the pixels of the longer side that a photo is scaled to. Source: our choice: a cavity number is still read.
const longSide = 1600

func (p *pictures) Take(ctx context.Context, take bool) (Picture, error) {
	attributes := map[string]string{"accept": "image/*"}
	if take {
		attributes["capture"] = "environment"
	}
	file, err := p.chooser.choose(ctx, attributes)
	if err != nil {
		return Picture{}, err
	}
	meaning := map[string]error{"InvalidStateError": ErrNotPicture, "EncodingError": ErrNotPicture, "TypeError": ErrNotPicture}
	upright := map[string]any{"imageOrientation": "from-image"}
	bitmap, err := await(ctx, func() js.Value { return window().Call("createImageBitmap", file, upright) })
	if err != nil {
		return Picture{}, explain("photo", err, meaning)
	}
	w, h := bitmap.Get("width").Int(), bitmap.Get("height").Int()
	if long := max(w, h); long > longSide {
		w, h = max(1, w*longSide/long), max(1, h*longSide/long)
	}
	// Drawn anew, so that nothing of the file but its pixels is kept: no position, no date.
	url, err := try(func() js.Value {
		canvas := document().Call("createElement", "canvas")
		canvas.Set("width", w)
		canvas.Set("height", h)
		canvas.Call("getContext", "2d").Call("drawImage", bitmap, 0, 0, w, h)
		bitmap.Call("close")
		url := canvas.Call("toDataURL", "image/jpeg", 0.8)
		canvas.Set("width", 0)
		return url
	})
	if err != nil {
		return Picture{}, explain("photo", err, meaning)
	}
	_, text, ok := strings.Cut(url.String(), "base64,")
	data, err := base64.StdEncoding.DecodeString(text)
	if !ok || err != nil {
		return Picture{}, fmt.Errorf("device: photo of %d × %d: %w", w, h, ErrNotPicture)
	}
	return Picture{Data: data, Width: w, Height: h}, nil
}

func (*pictures) Show(data []byte) (url string, forget func()) {
	u := js.Global().Get("URL")
	url = u.Call("createObjectURL", fileOf(File{Name: "photo.jpg", Type: "image/jpeg", Data: data}).Call("slice", 0, len(data), "image/jpeg")).String()
	return url, func() { u.Call("revokeObjectURL", url) }
}
