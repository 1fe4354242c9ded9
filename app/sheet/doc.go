// Package sheet writes every list and drawing of a build: CSV and JSON for other programs, PDF for paper, SVG for
// drawings. The screens show the same tables that are written here, so a number on paper is the number on the phone.
//
// It is pure Go: the app and the command line share it. What varies (the date, the fonts) is a parameter, so the
// same build and options give the same bytes.
package sheet
