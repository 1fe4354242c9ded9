package device

import (
	"context"
	"syscall/js"

	"loomwright/storage"
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
	made, err := await(ctx, func() js.Value { return loader("files").Call("shrink", file, longSide) })
	if err != nil {
		return Picture{}, explain("photo", err, map[string]error{
			"InvalidStateError": ErrNotPicture, "EncodingError": ErrNotPicture, "TypeError": ErrNotPicture})
	}
	return Picture{Blob: held{made}, Width: made.Get("width").Int(), Height: made.Get("height").Int()}, nil
}

func (*pictures) Show(b storage.Blob) (url string, forget func()) {
	url = loader("files").Call("show", arrayOf(b)).String()
	return url, func() { js.Global().Get("URL").Call("revokeObjectURL", url) }
}
