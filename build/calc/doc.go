// Package calc answers questions about lengths, wires and tags in lines of JSON, for scripts and spreadsheets: one request
// on a line, one answer on a line.
package calc
