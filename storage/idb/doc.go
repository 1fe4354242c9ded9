// Package idb is the store in the browser: IndexedDB behind a thin wrapper of our own, because the promise to lose
// nothing lives here. It needs js/wasm.
//
// Strict durability for what a person enters; a write is done at the transaction's complete event and not before. A
// handle that the browser took away is opened again, once for each call. One tab writes, by a Web Lock; the others
// read. What was saved is also counted in local storage, so that a database that comes back empty or older than it
// was is noticed.
package idb
