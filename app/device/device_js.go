package device

// New returns the device that the browser runs on.
func New() Device {
	return Device{
		Files:   &files{},
		Camera:  newCamera(),
		Wake:    &wake{},
		Signal:  &signal{},
		Voice:   voice{},
		Storage: room{},
		Prefs:   newPrefs(),
		Shell:   shell{},
		View:    view{},
		Paper:   paper{},

		Pictures: &pictures{},
	}
}
