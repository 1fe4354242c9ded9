package site

import (
	"bytes"
	"compress/gzip"
	"fmt"
	"os"
	"path"
	"path/filepath"
	"strconv"

	"github.com/andybalholm/brotli"
)

// write puts one file into the folder, with its compressed copies where they are smaller.
func write(o Options, name string, data []byte) (File, error) {
	f := File{Name: name, Raw: len(data)}
	target := filepath.Join(o.Out, filepath.FromSlash(name))
	if err := os.MkdirAll(filepath.Dir(target), 0o755); err != nil {
		return f, fmt.Errorf("site: %w", err)
	}
	if err := os.WriteFile(target, data, 0o644); err != nil {
		return f, fmt.Errorf("site: %w", err)
	}
	var err error
	if f.Brotli, err = sibling(o, target, ".br", data, "brotli"+strconv.Itoa(o.Brotli), func(data []byte) ([]byte, error) {
		var out bytes.Buffer
		w := brotli.NewWriterOptions(&out, brotli.WriterOptions{Quality: o.Brotli, LGWin: 24})
		return pack(&out, w, data)
	}); err != nil {
		return f, err
	}
	f.Gzip, err = sibling(o, target, ".gz", data, "gzip", func(data []byte) ([]byte, error) {
		var out bytes.Buffer
		w, err := gzip.NewWriterLevel(&out, gzip.BestCompression)
		if err != nil {
			return nil, err
		}
		return pack(&out, w, data)
	})
	return f, err
}

// sibling writes a compressed copy and returns its size. Where there should be none, one from an earlier site is taken
// away, so that no host can serve it.
func sibling(o Options, target, ext string, data []byte, kind string, squeeze func([]byte) ([]byte, error)) (int, error) {
	if o.Brotli == 0 || !squeezable(target) {
		if err := os.Remove(target + ext); err != nil && !os.IsNotExist(err) {
			return 0, fmt.Errorf("site: %w", err)
		}
		return 0, nil
	}
	small, err := cached(o.Cache, kind, data, squeeze)
	if err == nil {
		err = os.WriteFile(target+ext, small, 0o644)
	}
	if err != nil {
		return 0, fmt.Errorf("site: compress %s: %w", target, err)
	}
	return len(small), nil
}

func pack(out *bytes.Buffer, w interface {
	Write([]byte) (int, error)
	Close() error
}, data []byte) ([]byte, error) {
	if _, err := w.Write(data); err != nil {
		return nil, err
	}
	if err := w.Close(); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}

// squeezable tells whether a file is worth compressing: pictures and fonts of the web are compressed already.
func squeezable(name string) bool {
	switch path.Ext(name) {
	case ".png", ".woff2", ".jpg":
		return false
	}
	return true
}
