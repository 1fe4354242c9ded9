// Package frames draws pictures of tags as a phone's camera sees them: tilted, blurred, with glare, round a wire, dirty, in
// the dark, small. They are what the code reader is measured on, and what a wrapped tag's limit is checked against.
//
// The same seed draws the same picture on every machine. What is random in a picture was chosen from what happens under a
// bonnet and not from what the reader can do.
package frames
