// Package site makes the static site: one folder that works on any host, under any path, and offline after the
// first load.
//
// The folder holds one document (index.html), its loader, the program (app.wasm) with the wasm_exec.js of the Go
// that compiled it, the service worker, the manifest, and web/ with styles, icons and the code reader. Every address
// in it is relative. The service worker carries the list of all files with their hashes, so that a file of another
// version can never be mixed in.
package site
