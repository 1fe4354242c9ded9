package session

import (
	"context"
	"errors"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/device"
	"loomwright/calc/harness"
	"loomwright/storage"
)

// TakePhoto takes or chooses a photo of a record, and keeps it: its bytes first, then what names them. then is told when
// both are there, also of an error.
func (s *Session) TakePhoto(ctx app.Context, on harness.Kind, of string, take bool, then func(app.Context, error)) {
	build := s.ID()
	ctx.Async(func() {
		picture, err := s.Device.Pictures.Take(context.Background(), take)
		photo := harness.Photo{On: on, Of: of, Width: picture.Width, Height: picture.Height}
		if err == nil {
			photo.Bytes = picture.Blob.Size()
			photo.Blob, err = s.Store.PutBlob(context.Background(), picture.Blob)
		}
		s.Later(ctx, func(ctx app.Context) {
			if err == nil && s.ID() == build {
				photo.At, photo.Order = s.at(), float64(s.B().Photos.Len()+1)
				err = s.Do(storage.Put(harness.KindPhoto, s.NewID(), harness.Photo{}, photo))
			}
			if !errors.Is(err, device.ErrCancelled) {
				then(ctx, err)
			}
		})
	})
}
