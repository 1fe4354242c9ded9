//go:build !js

package device

import (
	"bytes"
	"context"

	"loomwright/storage"
)

// New returns a device without a browser: it remembers preferences, makes build files in memory, and has
// nothing else.
func New() Device {
	n := none{}
	return Device{Files: n, Camera: n, Wake: n, Signal: n, Voice: n, Storage: n, Prefs: &memory{}, Shell: n, View: n, Paper: n, Pictures: n}
}

// none is the answer of a device that cannot.
type none struct{}

func (none) Save(context.Context, File) (Way, error)       { return 0, ErrUnavailable }
func (none) Download(File) error                           { return ErrUnavailable }
func (none) Open(context.Context, int64) (File, error)     { return File{}, ErrUnavailable }
func (none) Choose(context.Context) (Chosen, error)        { return Chosen{}, ErrUnavailable }
func (none) Own(context.Context, string) (Chosen, error)   { return Chosen{}, ErrUnavailable }
func (none) Copy(context.Context, string) error            { return ErrUnavailable }
func (none) Start(context.Context, string) (*Scan, error)  { return nil, ErrUnavailable }
func (none) Photo(context.Context, bool) ([]string, error) { return nil, ErrUnavailable }
func (none) Take(context.Context, bool) (Picture, error)   { return Picture{}, ErrUnavailable }
func (none) Show(storage.Blob) (string, func())            { return "", func() {} }
func (none) Keep()                                         {}
func (none) Release()                                      {}
func (none) CanKeep() bool                                 { return false }
func (none) Arm()                                          {}
func (none) Click()                                        {}
func (none) Vibrate(...int)                                {}
func (none) CanSpeak() bool                                { return false }
func (none) Speak(string)                                  {}
func (none) Hush()                                         {}
func (none) Kept(context.Context) (Kept, error)            { return Kept{}, ErrUnavailable }
func (none) Persist(context.Context) (Kept, error)         { return Kept{}, ErrUnavailable }
func (none) Install() Install                              { return InstallUnknown }
func (none) Standalone() bool                              { return false }
func (none) Root() string                                  { return "" }
func (none) File(context.Context, string) ([]byte, error)  { return nil, ErrUnavailable }
func (none) Program() string                               { return "" }
func (none) Offline() bool                                 { return false }
func (none) UpdateWaiting() bool                           { return false }
func (none) Installable() bool                             { return false }
func (none) OnOffline(func()) (stop func())                { return func() {} }
func (none) OnUpdate(func()) (stop func())                 { return func() {} }
func (none) OnInstallable(func()) (stop func())            { return func() {} }
func (none) ApplyUpdate()                                  {}
func (none) PromptInstall(context.Context) (bool, error)   { return false, ErrUnavailable }
func (none) Hidden() bool                                  { return false }
func (none) Online() bool                                  { return true }
func (none) OnHidden(func()) (stop func())                 { return func() {} }
func (none) OnVisible(func()) (stop func())                { return func() {} }
func (none) OnOnline(func()) (stop func())                 { return func() {} }
func (none) PDF(context.Context, Order, func(page, pages int)) ([]byte, error) {
	return nil, ErrUnavailable
}

func (none) Make() Making {
	var b bytes.Buffer
	return making{storage.SinkTo(&b), &b}
}

// making is a build file that is made in memory.
type making struct {
	storage.Sink
	made *bytes.Buffer
}

func (m making) Done(name, kind string) File {
	return File{Name: name, Type: kind, Data: m.made.Bytes()}
}
