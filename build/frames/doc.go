// Package frames draws pictures of tags as a phone's camera sees them: tilted, blurred, with glare, round a wire, dirty, in
// the dark, small. They are what the code reader is measured on, and what a wrapped tag's limit is checked against.
//
// The same seed draws the same picture on every machine. What is random in a picture was chosen from what happens under a
// bonnet and not from what the reader can do.
//
// How fair they are: of the 360 with a code the narrowest module in the picture measures under 1.5 pixels in one, 1.5 to 2 in
// 18, 2 to 3 in 62, 3 to 4 in 115, more in 164; the small ones have 1.8 to 2.6. Scenes that even a reader who knew where each
// module lies could not read were drawn again, 79 of them: glare 28, dirt 27, blur 12, mixed 11, dim 1.
package frames
