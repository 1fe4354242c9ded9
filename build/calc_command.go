package main

import (
	"context"
	"fmt"
	"os"

	"loomwright/build/calc"
)

var calcCommand = command{
	name: "calc", args: "< REQUESTS > ANSWERS",
	short: "answer requests in lines of JSON, for scripts and spreadsheets",
	long: `Reads requests, one JSON object a line, and writes one answer a line, in the same order:

	{"op": "drop", "size": "0.5 mm2", "length_m": 6, "amps": 3, "celsius": 85}
	{"volts":0.838…}

A request that cannot be answered has {"error": …} for its answer and the rest are answered all the same. A field that an
op does not have is an error; a line of white space has no answer. ? marks what may be left out. A size is "20 AWG" or
"0.5 mm2"; a length is of conductor, out and back; null is for ever, or not known.

` + calc.Ops() + `
Without a table, a gauge goes by "ASTM B258" and mm2 by "ISO 6722-1"; without rules, by "33 CFR 183.425"; without a blade, by
medium ones; without fuse_ohm, by 0; without ecc (L, M, Q, H), by M. bundled is how many wires carry current side by side.
opens is "in time", "too late" (the wire may be hurt before) or "never".`,
	run: func(_ context.Context, args []string) error {
		if len(args) > 0 {
			return usageError("build calc: takes no arguments, requests come on standard input")
		}
		if err := calc.Run(os.Stdin, os.Stdout); err != nil {
			return fmt.Errorf("build calc: %w", err)
		}
		return nil
	},
}
