// Package storage keeps builds: the log of edits that a build is, the file that carries it, and the stores.
//
// # The promise
//
// A build saved by any released version opens in every later one, and what a newer version wrote is kept.
//
// # What a build is
//
// A build is its log of edits. Its state is what the edits add up to in their order; undo, history, autosave and the
// lossless merge of two phones all come from the log. Nothing is ever removed from it.
//
// A line is one JSON object without a newline inside:
//
//	{"device":"…","n":7,"clock":19,"at":"2026-03-01T10:20:30Z","changes":[
//	  {"kind":"place","id":"…","set":{"name":"split 4"},"was":{"name":"split"}}]}
//
// (device, n) names it; n counts from 1 without gaps. Lines are in the order (clock, device, n). The clock is logical,
// 1 + the highest its device had seen, at most 2^53; the phone's time orders nothing. "undoes":5 marks an edit that
// reverts line 5 of its own device. "seen":{"other device":12} says that the device has seen those lines; a merge is
// a line with nothing else.
//
// A line is checked (ids, types, limits) and refuses the file it is in. A state is judged, never refused, so the merge
// of two good logs always opens.
//
// # Who has seen what
//
// A line has seen its device's earlier lines, what its device had declared as seen by then, and all that those had
// seen. Two edits of one field conflict if neither has seen the other and their values differ. An edit that was
// replaced by another that had seen it is history and no side of a conflict: the sides are the last word of each
// phone. The value of the later edit in order is shown.
//
// # The file
//
// A build file is JSON Lines in UTF-8. First {"format":"loomwright-build","version":1,"build":"…"}, then the lines in
// order, then a line {"blob":"sha-256","data":"base64"} for each blob that a record names in its field "blob", and last
// {"end":true,"count":N,"sha256":"…"}: the number of edits, and the SHA-256 of every byte before this line. There is no
// time of export in it: the same log encodes to the same bytes.
//
// Limits: 64 MB without blobs, 1 MB a line, 8 MB a blob, 16 levels, 4 KB a string as written; valid UTF-8; no name twice in an
// object. Ids are 1 to 64 of the signs A-Z a-z 0-9 - _ and kinds too.
package storage
