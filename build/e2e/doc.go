// Package e2e drives Chromium through the app as a person would: by what is on the screen, at the size of a phone,
// with the server there and with the server gone. It holds tests only.
package e2e
