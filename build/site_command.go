package main

import (
	"context"
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"loomwright/build/site"
)

var siteOut string

var siteCommand = command{
	name: "site", args: "-o DIR",
	short: "write the static site for any host",
	long: `Writes the app as a static site into DIR. Any host that serves files over https will do, at the top of a
domain or in any folder, and the folder may be moved later. Beside each file stands a compressed copy (.br, .gz)
for hosts that use them.

DIR is made if it is missing. Files of an earlier site in it are written over; nothing else is touched.
Prints the size of each file. Fails if ` + site.Wasm + ` is too heavy for a phone on a weak signal.`,
	flags: func(f *flag.FlagSet) { f.StringVar(&siteOut, "o", "", "the folder to write to") },
	run: func(ctx context.Context, args []string) error {
		if siteOut == "" || len(args) > 0 {
			return usageError("build site: say where with -o DIR, and nothing else")
		}
		root, err := module()
		if err != nil {
			return err
		}
		return makeSite(ctx, root, siteOut, os.Stdout)
	},
}

// demo returns the build file that the app offers as an example.
func demo(root string) string { return filepath.Join(root, "testdata", "builds", "roadster.build") }

// makeSite writes the site as it is released, prints the sizes and checks the one that has a limit.
func makeSite(ctx context.Context, root, out string, w io.Writer) error {
	s, err := site.Make(ctx, site.Options{Module: root, Demo: demo(root), Out: out, Brotli: 11})
	if err != nil {
		return err
	}
	fmt.Fprintf(w, "%12s %12s %12s\n", "bytes", "brotli", "gzip")
	var raw, small int
	for _, f := range s.Files {
		raw += f.Raw
		if f.Brotli == 0 {
			small += f.Raw
			fmt.Fprintf(w, "%12d %12s %12s  %s\n", f.Raw, "-", "-", f.Name)
			continue
		}
		small += f.Brotli
		fmt.Fprintf(w, "%12d %12d %12d  %s\n", f.Raw, f.Brotli, f.Gzip, f.Name)
	}
	fmt.Fprintf(w, "%12d %12d %12s  all, version %s, in %s\n", raw, small, "", s.Version, out)
	wasm, _ := s.File(site.Wasm)
	if wasm.Brotli > site.WasmLimit {
		return fmt.Errorf("build site: %s weighs %d bytes compressed, the limit is %d", site.Wasm, wasm.Brotli, site.WasmLimit)
	}
	fmt.Fprintf(w, "%s is %d of %d bytes compressed\n", site.Wasm, wasm.Brotli, site.WasmLimit)
	return nil
}
