package device

import (
	"context"
	"errors"
	"fmt"

	"loomwright/storage"
)

// Device is the phone or computer the app runs on. New sets every field.
type Device struct {
	Files   Files
	Camera  Camera
	Wake    Wake
	Signal  Signal
	Voice   Voice
	Storage Storage
	Prefs   Prefs
	Shell   Shell
	View    View
	Paper   Paper

	Pictures Pictures
}

// What can be wrong. Each is one decision for the page; the text of the error says what the browser said.
var (
	// ErrUnavailable: this browser has no such thing. Offer the other way.
	ErrUnavailable = errors.New("not available here")
	// ErrCancelled: the person closed the chooser or the share sheet. Nothing to say.
	ErrCancelled = errors.New("cancelled")
	// ErrNeedsTap: too long after the tap; the browser wants another one. Keep what was made and show the button again.
	ErrNeedsTap = errors.New("needs another tap")
	// ErrRefused: the person, or the system's settings, do not allow it.
	ErrRefused = errors.New("permission refused")
	// ErrNoCamera: there is no camera.
	ErrNoCamera = errors.New("no camera")
	// ErrBusy: another program has the camera, or it failed to start.
	ErrBusy = errors.New("camera in use")
	// ErrHidden: the camera was let go because the app went out of sight. Start again on a tap.
	ErrHidden = errors.New("app out of sight")
	// ErrNoReader: the code reader could not be loaded. Offer typing the code.
	ErrNoReader = errors.New("code reader not loaded")
	// ErrNoCode: the picture holds no code that can be read.
	ErrNoCode = errors.New("no code found")
	// ErrNotPicture: the chosen file is no picture that this browser can show.
	ErrNotPicture = errors.New("not a picture")
	// ErrNoPaper: the program that makes PDF, or the fonts for it, could not be loaded.
	ErrNoPaper = errors.New("program for PDF not loaded")
)

// TooBigError says that a chosen file was not read because of its size.
type TooBigError struct {
	Name        string
	Size, Limit int64 // bytes
}

func (e *TooBigError) Error() string {
	return fmt.Sprintf("device: file %q: %d bytes, more than %d", e.Name, e.Size, e.Limit)
}

// File is a file that leaves or enters the app.
type File struct {
	Name string // without a folder, "roadster-2026-11-25.txt"
	Type string // media type, "text/plain"
	Data []byte

	outside any // of the browser, in place of Data: a text that was made by Making
}

// Chosen is a build file that a person chose. Read reads it from its beginning; without keep its photos are checked and
// let go.
type Chosen struct {
	Name string
	Read func(ctx context.Context, keep bool) storage.Source
}

// Making is a build file that is being made. Its photos come from the store of the same browser.
type Making interface {
	storage.Sink
	// Done returns the file.
	Done(name, kind string) File
}

// Way is how a file left the app.
type Way int

const (
	Downloaded Way = iota // it is in the download folder, or the browser asks where
	Shared                // the person gave it to another program through the share sheet
)

// Files moves files in and out.
type Files interface {
	// Save hands the file over: to the share sheet on a phone that takes such a file, else to Download. A phone whose
	// share sheet refuses the kind of file gets it as text, if it is UTF-8, named by ShareName. Make the bytes first and ask for the
	// tap then. Errors: ErrCancelled, ErrNeedsTap.
	Save(ctx context.Context, f File) (Way, error)

	// Download puts the file into the download folder.
	Download(f File) error

	// Open lets the person choose one file of any kind and reads it, at most limit bytes. The size is checked before
	// the first byte is read. Opening again ends a chooser that never answered. Errors: ErrCancelled, TooBigError.
	Open(ctx context.Context, limit int64) (File, error)

	// Choose lets the person choose a build file, of any size: it is read in pieces, and its photos stay outside Go.
	// Errors: ErrCancelled.
	Choose(ctx context.Context) (Chosen, error)

	// Own opens a build file that is one of the app's own files, such as the demo.
	Own(ctx context.Context, name string) (Chosen, error)

	// Make begins a build file.
	Make() Making

	// Copy puts text on the clipboard. Errors: ErrUnavailable, ErrRefused, ErrNeedsTap.
	Copy(ctx context.Context, text string) error
}

// Camera reads codes.
type Camera interface {
	// Start opens the camera that looks away from the person, shows it in the <video> with that id, which must be on
	// the page, and reads codes from the square in its middle until ctx ends, Stop is called, or the app goes out of
	// sight. Errors: ErrUnavailable (also without https), ErrRefused, ErrNoCamera, ErrBusy, ErrNoReader.
	Start(ctx context.Context, video string) (*Scan, error)

	// Photo lets the person take a picture, or choose one if take is false, and reads the codes in it: at least one,
	// in the order found. Errors: ErrCancelled, ErrNotPicture, ErrNoCode, ErrNoReader.
	Photo(ctx context.Context, take bool) ([]string, error)
}

// Picture is a photo, upright and scaled down, as JPEG with nothing in it but its pixels.
type Picture struct {
	Blob          storage.Blob
	Width, Height int
}

// Pictures takes and shows photos.
type Pictures interface {
	// Take lets the person take a photo, or choose one if take is false. The large one stays with the browser. Errors:
	// ErrCancelled, ErrNotPicture, ErrUnavailable.
	Take(ctx context.Context, take bool) (Picture, error)
	// Show returns an address at which the page shows a photo, until forget is called.
	Show(b storage.Blob) (url string, forget func())
}

// Scan is the camera at work. Stop it when the page goes: a forgotten one keeps the camera until its <video> is gone.
type Scan struct {
	// Texts has what was read, as it stands in the code: text of a stranger, to be checked and never to be opened. A
	// code that stays in view is told once every two seconds. Closed at the end.
	Texts <-chan string
	// Err is why Texts was closed: nil after Stop or the end of ctx, else ErrHidden, ErrBusy, ErrNoReader.
	Err func() error
	// Torch switches the light and waits until it did; nil if the camera has none that can be switched.
	Torch func(on bool) error
	// Zoom switches between once and twice the size and waits until it did; nil if the camera cannot.
	Zoom func(twice bool) error
	// Stop lets the camera go and closes Texts. It may be called more than once.
	Stop func()
}

// Wake keeps the screen on.
type Wake interface {
	// Keep keeps the screen on until Release, also after the app was out of sight. It does nothing where the browser
	// cannot, which CanKeep tells.
	Keep()
	Release()
	CanKeep() bool
}

// Signal is felt and heard. What is missing is silently left out, so that the page always flashes as well.
type Signal interface {
	// Arm makes sound possible. Call it in the tap that leads to Click later.
	Arm()
	// Click sounds a short click.
	Click()
	// Vibrate buzzes for the given times in milliseconds: on, off, on, …
	Vibrate(ms ...int)
}

// Voice reads aloud, for when both hands are busy. Only a voice that the phone itself has is used.
type Voice interface {
	CanSpeak() bool    // some phones know their voices only a moment after the first question
	Speak(text string) // in place of what is being said
	Hush()
}

// Paper makes PDF, in a program of its own that runs beside the page.
type Paper interface {
	// PDF hands the order over and returns the finished file. told is called before each page is made, in a goroutine that
	// must not wait. The program is loaded for each file and ends with it or with ctx, so that its memory is given back.
	// Errors: ErrNoPaper, PaperError, ErrUnavailable.
	PDF(ctx context.Context, o Order, told func(page, pages int)) ([]byte, error)
}

// Order is what is to be made. The device hands it on as it is; the two programs know what it means.
type Order struct {
	What          string // in words of the program
	Build         []byte // the state of the build
	Regular, Bold string // the fonts, as files of the app: "web/fonts/sheet.ttf"
}

// PaperError is what the program for PDF says is wrong: its name for it, "" if it has none, and a text.
type PaperError struct{ Code, Text string }

func (e *PaperError) Error() string { return "device: PDF: " + e.Text }

// Kept is what the browser promises about the data it holds.
type Kept struct {
	Persistent  bool  // not thrown away when space runs short
	Known       bool  // the two numbers below were told
	Used, Quota int64 // bytes
}

// Storage is the browser's promise to keep the data of the app.
type Storage interface {
	// Kept asks for nothing and tells the state. Errors: ErrUnavailable.
	Kept(ctx context.Context) (Kept, error)
	// Persist asks the browser to keep the data for good and tells the state then. Some browsers ask the person, so
	// call it after a first save and from a tap. Errors: ErrUnavailable.
	Persist(ctx context.Context) (Kept, error)
}

// Prefs remembers small choices of this phone: theme, last page. Never a build. Where the browser keeps nothing, they
// last until the page is closed.
type Prefs interface {
	Get(key string) string // "" if it was never put
	Put(key, value string) // "" forgets it
}

// Shell is the installed app around the pages.
type Shell interface {
	// Install says how this browser puts the app on the home screen.
	Install() Install
	// Standalone tells whether the app was started from the home screen, in a window of its own.
	Standalone() bool
	// Root is the address of the app up to and including its last slash, "https://h.example/a/".
	Root() string

	// File returns a file of the app itself, such as a font, by its name under Root.
	File(ctx context.Context, name string) ([]byte, error)
	// Program names the version of the running program: other bytes, other name. "" where that is not known.
	Program() string

	// Offline tells whether everything the app needs is stored on the phone.
	Offline() bool
	// UpdateWaiting tells whether a newer version is stored and waits for ApplyUpdate.
	UpdateWaiting() bool
	// Installable tells whether PromptInstall can show the browser's own prompt.
	Installable() bool

	// OnOffline, OnUpdate and OnInstallable call f each time the answer above may have changed, and once at the start
	// if it already is true.
	OnOffline(f func()) (stop func())
	OnUpdate(f func()) (stop func())
	OnInstallable(f func()) (stop func())

	// ApplyUpdate starts the newer version; the page loads again. Only on a tap, with everything saved.
	ApplyUpdate()
	// PromptInstall shows the browser's prompt and tells whether the person accepted. Errors: ErrUnavailable,
	// ErrNeedsTap.
	PromptInstall(ctx context.Context) (accepted bool, err error)
}

// View tells when the app comes into sight, goes out of it, and meets or loses a network.
type View interface {
	Hidden() bool
	Online() bool // the browser believes in a network; often wrong, for words only
	OnHidden(f func()) (stop func())
	OnVisible(f func()) (stop func())
	OnOnline(f func()) (stop func())
}
