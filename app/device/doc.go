// Package device is what the phone can do for the app: files in and out, the camera as a code reader, the screen kept
// awake, a buzz and a click, preferences, and what is known of installing and updating.
//
// Pages take a [Device], or one of the small interfaces in it, and never meet the browser's own objects. In the
// browser [New] answers with the real thing; natively it answers with one that has nothing but preferences, so that
// pages are built and tested without a browser. A test replaces just the field it needs:
//
//	d := device.New()
//	d.Camera = fakeCamera{"7K3F9Q2M"}
//
// # Which calls wait
//
// A method that takes a context.Context waits for the browser or for the person and must run in a goroutine of its
// own (ctx.Async of the framework), never on the one that draws. It is called straight after the tap: browsers allow
// the share sheet, the file chooser, the clipboard and the install prompt only for a moment after one. All other
// methods return at once and may be called from anywhere.
//
// A func given to an On… method runs in its own goroutine, a panic in it is caught and reported to the console, and the
// func that On… returns ends the subscription. Draw from it through ctx.Dispatch.
package device
