// Package y4m makes what a browser's fake camera shows: moving pictures of codes, as files in the YUV4MPEG2 form that
// Chromium plays in a loop with
//
//	--use-fake-device-for-media-stream --use-file-for-fake-video-capture=FILE
//
// A picture is grey, drawn from the modules of a code as a camera sees it: turned, tilted and out of focus.
package y4m
