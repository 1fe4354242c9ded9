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
		var hash string
		if err == nil {
			hash, err = s.Store.PutBlob(context.Background(), picture.Blob)
		}
		s.Later(ctx, func(ctx app.Context) {
			if err == nil && s.ID() == build {
				err = s.keepPhoto(on, of, hash, picture)
			}
			if !errors.Is(err, device.ErrCancelled) {
				then(ctx, err)
			}
		})
	})
}

func (s *Session) keepPhoto(on harness.Kind, of, hash string, p device.Picture) error {
	return s.Do(storage.Put(harness.KindPhoto, s.NewID(), harness.Photo{}, harness.Photo{On: on, Of: of, Blob: hash, Bytes: p.Blob.Size(),
		Width: p.Width, Height: p.Height, At: s.at(), Order: float64(s.B().Photos.Len() + 1)}))
}
