package kit

import (
	"errors"
	"fmt"

	"loomwright/app/device"
	"loomwright/storage"
)

// Explain says what an error means to a person: what happened, whether the work is safe, what to do now. It is the
// only place where errors become sentences.
func Explain(err error) string {
	if err == nil {
		return ""
	}
	if text := explainLength(err); text != "" {
		return text
	}
	if text := explainFile(err); text != "" {
		return text
	}
	return explainDevice(err)
}

func explainFile(err error) string {
	var newer *storage.TooNewError
	var file *storage.FileError
	where := ""
	if errors.As(err, &file) {
		where = fmt.Sprintf(" It stops at line %d: %v.", file.Line, file.Err)
	}
	switch {
	case errors.As(err, &newer):
		return fmt.Sprintf("This was made by a newer version (%d; this app reads up to %d). Nothing was changed. Update the app, then open it again.", newer.Version, newer.Reads)
	case errors.Is(err, storage.ErrNotOurs):
		return "This is not a build file. Nothing was changed. Choose the file that was saved with “Save a backup”." + where
	case errors.Is(err, storage.ErrForked):
		return "This file and this phone hold two different edits under one name, as after a phone was restored. Nothing was changed. Open the file as a copy." + where
	case errors.Is(err, storage.ErrCorrupt):
		return "This file is damaged. Nothing was changed." + where
	case errors.Is(err, storage.ErrTooBig):
		return "That is over a limit of the file format. Nothing was changed. Shorten the text, or choose a smaller file." + where
	case errors.Is(err, storage.ErrNoSpace):
		return "This phone is full. Your last entries are kept on this page only. Free some space, then tap Try again, or save a backup now."
	case errors.Is(err, storage.ErrMissing):
		return "It is not on this phone. Nothing was changed. Open its backup file here."
	case errors.Is(err, storage.ErrStale):
		return "Another tab wrote to this build. Your entry is kept on this page. Save a backup, then reload."
	case errors.Is(err, storage.ErrReadOnly):
		return "Another tab or window is writing, so this one only reads. Nothing was changed. Tap Use here to write in this one."
	case errors.Is(err, storage.ErrDeviceUsed):
		return "This file holds edits of this phone that the phone does not have, as after a restore. Nothing was changed. Open the file as a copy."
	case errors.Is(err, storage.ErrLost):
		return "The browser has thrown the saved builds away. They cannot be read back from here. Open your newest backup file."
	}
	return ""
}

func explainDevice(err error) string {
	var big *device.TooBigError
	switch {
	case errors.As(err, &big):
		return fmt.Sprintf("The file is too big: %d MB, the limit is %d MB. Nothing was changed.", big.Size>>20, big.Limit>>20)
	case errors.Is(err, device.ErrCancelled):
		return ""
	case errors.Is(err, device.ErrNeedsTap):
		return "The browser wants another tap. Nothing is lost: tap the button again."
	case errors.Is(err, device.ErrRefused):
		return "The browser does not allow it. Allow the camera for this app in the phone's settings, or type the code."
	case errors.Is(err, device.ErrNoCamera):
		return "No camera was found. Type the eight signs printed beside the square, or choose a photo."
	case errors.Is(err, device.ErrBusy):
		return "Another app has the camera. Close it and tap Scan again, or type the code."
	case errors.Is(err, device.ErrHidden):
		return "The camera was let go while the app was out of sight. Tap Scan again."
	case errors.Is(err, device.ErrNoReader):
		return "The code reader could not be loaded. Type the eight signs printed beside the square."
	case errors.Is(err, device.ErrNoCode):
		return "No code was found in that picture. Go closer, hold still, keep the light off the gloss; or type the code."
	case errors.Is(err, device.ErrNotPicture):
		return "That file is not a picture this browser can show. Choose a photo."
	case errors.Is(err, device.ErrUnavailable):
		return "This browser cannot do that. Nothing was changed."
	}
	return "Something went wrong: " + err.Error() + ". What was saved is safe. Save a backup if this goes on."
}
