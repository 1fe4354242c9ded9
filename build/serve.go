package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"net"
	"net/http"
	"path/filepath"
	"time"

	"loomwright/build/site"
)

var serveAddr string

var serveCommand = command{
	name: "serve", args: "[-addr HOST:PORT]",
	short: "make the app and serve it on this computer",
	long: `Makes the app and serves it here, with the example build one tap away. Prints the address; end it with Ctrl-C.

The camera and the use with no signal need https or this computer's own address: a phone cannot use them from here.
For a phone write the site with "go run ./build site -o DIR" and put it on a host with https.`,
	flags: func(f *flag.FlagSet) { f.StringVar(&serveAddr, "addr", "localhost:8080", "the address to serve on") },
	run: func(ctx context.Context, args []string) error {
		if len(args) > 0 {
			return usageError("build serve: takes no arguments, only -addr")
		}
		root, err := module()
		if err != nil {
			return err
		}
		return serve(ctx, root, serveAddr)
	},
}

func serve(ctx context.Context, root, addr string) error {
	// Taken first: a port in use should be told at once, not after the compiling.
	listener, err := net.Listen("tcp", addr)
	if err != nil {
		return fmt.Errorf("build serve: address %q: %w", addr, err)
	}
	defer listener.Close()
	fmt.Println("making the app")
	out := filepath.Join(root, ".cache", "serve")
	// Level 5 weighs 17 % more than 11 and takes half a second instead of a quarter of a minute.
	s, err := site.Make(ctx, site.Options{Module: root, Demo: demo(root), Out: out, Brotli: 5})
	if err != nil {
		return err
	}
	host, port, err := net.SplitHostPort(addr)
	if err != nil {
		return err
	}
	if port == "0" {
		_, port, _ = net.SplitHostPort(listener.Addr().String())
	}
	if host == "" || net.ParseIP(host).IsUnspecified() {
		host = "localhost"
	}
	fmt.Printf("version %s\nhttp://%s/\n", s.Version, net.JoinHostPort(host, port))

	server := &http.Server{Handler: site.Handler(out), ReadHeaderTimeout: 10 * time.Second}
	go func() {
		<-ctx.Done()
		server.Close()
	}()
	if err := server.Serve(listener); !errors.Is(err, http.ErrServerClosed) {
		return fmt.Errorf("build serve: %w", err)
	}
	return nil
}
