package storagetest

import (
	"bytes"
	"crypto/sha256"
	"encoding/base64"
	"errors"
	"fmt"
	"strings"
	"testing"

	"loomwright/storage"
)

// Reader reads a build file in the way that is tested, and returns the blobs in it by their hash.
type Reader func(t *testing.T, file []byte) (*storage.Log, map[string][]byte, error)

// sealed gives lines the end that fits them.
func sealed(lines string, count int) string {
	return lines + fmt.Sprintf(`{"end":true,"count":%d,"sha256":"%x"}`+"\n", count, sha256.Sum256([]byte(lines)))
}

const (
	goodHead = `{"format":"loomwright-build","version":1,"build":"b1"}` + "\n"
	goodLine = `{"device":"a","n":1,"clock":1,"changes":[{"kind":"place","id":"p","set":{"name":"x"}}]}` + "\n"
)

// blobLine is the line of a blob as it is written.
func blobLine(text string) string {
	return `{"blob":"` + storage.BlobHash([]byte(text)) + `","data":"` + base64.StdEncoding.EncodeToString([]byte(text)) + `"}` + "\n"
}

// Refused checks that a reader refuses what is no build file, each with its reason and the line of it.
func Refused(t *testing.T, read Reader) {
	edit := func(line string) string { return sealed(goodHead+goodLine+line+"\n", 2) }
	field := func(f string) string {
		return edit(`{"device":"a","n":2,"clock":2,"changes":[{"kind":"place","id":"p","set":{` + f + `}}]}`)
	}
	wide := goodLine[:len(goodLine)-1] + strings.Repeat(" ", storage.MaxLine-len(goodLine)) + "\n" // just under 1 MB
	blob := func(hash string, data []byte) string {
		return sealed(goodHead+goodLine+`{"blob":"`+hash+`","data":"`+base64.StdEncoding.EncodeToString(data)+`"}`+"\n", 1)
	}
	for _, test := range []struct {
		name, file string
		line       int
		is         error
		says       string
	}{
		{"empty", "", 1, storage.ErrNotOurs, ""},
		{"a photo", "\xff\xd8\xff\xe0\x00\x10JFIF", 1, storage.ErrNotOurs, ""},
		{"long and without a newline", strings.Repeat("x", 2<<20), 1, storage.ErrNotOurs, ""},
		{"another format", `{"format":"something","version":1}` + "\n", 1, storage.ErrNotOurs, ""},
		{"newer version", strings.Replace(sealed(goodHead, 0), `:1,`, `:2,`, 1), 1, storage.ErrTooNew, "version 2, this app reads up to 1"},
		{"newer version with other fields", `{"format":"loomwright-build","version":7,"build":{"id":1}}` + "\n", 1, storage.ErrTooNew, "version 7"},
		{"newer version, the rest before it", `{"build":[],"version":7,"format":"loomwright-build"}` + "\n", 1, storage.ErrTooNew, "version 7"},
		{"other key case", strings.Replace(goodHead, "format", "Format", 1), 1, storage.ErrNotOurs, ""},
		{"format twice", strings.Replace(goodHead, `"version"`, `"format":"loomwright-build","version"`, 1), 1, storage.ErrCorrupt, "duplicate"},
		{"two headers in a line", goodHead[:len(goodHead)-1] + goodHead, 1, storage.ErrCorrupt, "more than one"},
		{"version 0", strings.Replace(goodHead, `:1,`, `:0,`, 1), 1, storage.ErrCorrupt, "version 0"},
		{"build without an id", strings.Replace(goodHead, `"b1"`, `""`, 1), 1, storage.ErrCorrupt, "not an id"},
		{"id that is a path", strings.Replace(goodHead, `"b1"`, `"../b1"`, 1), 1, storage.ErrCorrupt, "not an id"},
		{"header cut off", goodHead[:20], 1, storage.ErrNotOurs, ""},
		{"only a header", goodHead, 2, storage.ErrCorrupt, "no end"},
		{"no end", goodHead + goodLine, 3, storage.ErrCorrupt, "cut off after 1 edits"},
		{"cut off inside a line", goodHead + goodLine + goodLine[:40], 3, storage.ErrCorrupt, "cut off inside"},
		{"count", strings.Replace(sealed(goodHead+goodLine, 1), `"count":1`, `"count":2`, 1), 3, storage.ErrCorrupt, "counts 2 edits"},
		{"no count", strings.Replace(sealed(goodHead+goodLine, 1), `"count":1`, `"COUNT":1`, 1), 3, storage.ErrCorrupt, "counts 0 edits"},
		{"end that is a text", strings.Replace(sealed(goodHead+goodLine, 1), `"end":true`, `"end":"true"`, 1), 3, storage.ErrCorrupt, "counts 1 edits"},
		{"a byte changed", strings.Replace(sealed(goodHead+goodLine, 1), `"x"`, `"y"`, 1), 3, storage.ErrCorrupt, "not as it was written"},
		{"more after the end", sealed(goodHead+goodLine, 1) + goodLine, 4, storage.ErrCorrupt, "after the end"},
		{"an empty line", edit(""), 3, storage.ErrCorrupt, ""},
		{"not JSON", edit(`{"device":}`), 3, storage.ErrCorrupt, ""},
		{"two values", edit(goodLine[:len(goodLine)-1] + `{}`), 3, storage.ErrCorrupt, "more than one"},
		{"not an object", edit(`[1]`), 3, storage.ErrCorrupt, ""},
		{"nothing done", edit(`{"device":"a","n":2,"clock":2}`), 3, storage.ErrCorrupt, "neither a change nor a merge"},
		{"no device", edit(`{"n":2,"clock":2,"seen":{"b":1}}`), 3, storage.ErrCorrupt, "device"},
		{"n 0", edit(`{"device":"a","n":0,"clock":2,"seen":{"b":1}}`), 3, storage.ErrCorrupt, "n 0"},
		{"n a fraction", edit(`{"device":"a","n":1.5,"clock":2,"seen":{"b":1}}`), 3, storage.ErrCorrupt, "whole number"},
		{"n a text", edit(`{"device":"a","n":"2","clock":2,"seen":{"b":1}}`), 3, storage.ErrCorrupt, "whole number"},
		{"clock above 2^53", edit(`{"device":"a","n":2,"clock":9007199254740993,"seen":{"b":1}}`), 3, storage.ErrCorrupt, "clock"},
		{"undoes itself", edit(`{"device":"a","n":2,"clock":2,"undoes":2}`), 3, storage.ErrCorrupt, "undoes"},
		{"seen nothing", edit(`{"device":"a","n":2,"clock":2,"seen":{"b":0}}`), 3, storage.ErrCorrupt, "seen"},
		{"no id", edit(`{"device":"a","n":2,"clock":2,"changes":[{"kind":"place","set":{}}]}`), 3, storage.ErrCorrupt, "not an id"},
		{"an id with a slash", edit(`{"device":"a","n":2,"clock":2,"changes":[{"kind":"place","id":"a/b"}]}`), 3, storage.ErrCorrupt, "not an id"},
		{"an id too long", edit(`{"device":"a","n":2,"clock":2,"changes":[{"kind":"place","id":"` + strings.Repeat("a", 65) + `"}]}`), 3, storage.ErrCorrupt, "not an id"},
		{"one record twice", edit(`{"device":"a","n":2,"clock":2,"changes":[{"kind":"place","id":"p"},{"kind":"place","id":"p"}]}`), 3, storage.ErrCorrupt, "twice"},
		{"a field of the wrong type", field(`"name":7`), 3, storage.ErrCorrupt, `"name"`},
		{"gone that is no truth", field(`"gone":"yes"`), 3, storage.ErrCorrupt, `"gone"`},
		{"was of the wrong type", edit(`{"device":"a","n":2,"clock":2,"changes":[{"kind":"place","id":"p","was":{"name":7}}]}`), 3, storage.ErrCorrupt, `"name"`},
		{"a field twice", field(`"name":"a","name":"b"`), 3, storage.ErrCorrupt, "duplicate"},
		{"a key twice", edit(`{"device":"a","device":"a","n":2,"clock":2,"seen":{"b":1}}`), 3, storage.ErrCorrupt, "duplicate"},
		{"not UTF-8", field("\"note\":\"\xff\""), 3, storage.ErrCorrupt, "UTF-8"},
		{"half a surrogate", field(`"note":"\ud800"`), 3, storage.ErrCorrupt, ""},
		{"text of 4 KB", field(`"note":"` + strings.Repeat("a", storage.MaxString) + `"`), 0, nil, ""},
		{"text over 4 KB", field(`"note":"` + strings.Repeat("a", storage.MaxString+1) + `"`), 3, storage.ErrTooBig, "text of 4097 bytes"},
		{"16 levels", field(`"new":` + strings.Repeat("[", 12) + strings.Repeat("]", 12)), 0, nil, ""},
		{"17 levels", field(`"new":` + strings.Repeat("[", 13) + strings.Repeat("]", 13)), 3, storage.ErrTooBig, "levels"},
		{"levels never closed", field(`"new":` + strings.Repeat("[", 1<<20)), 3, storage.ErrTooBig, ""},
		{"a line over 1 MB", field(`"new":[` + strings.Repeat("1,", storage.MaxLine/2) + `1]`), 3, storage.ErrTooBig, ""},
		{"fork", edit(strings.Replace(goodLine[:len(goodLine)-1], `"x"`, `"y"`, 1)), 3, storage.ErrForked, `"a" 1`},
		{"the same line again", edit(goodLine[:len(goodLine)-1]), 0, nil, ""},
		{"a blob that is not its hash", blob(storage.BlobHash([]byte("x")), []byte("y")), 3, storage.ErrCorrupt, "hash"},
		{"a blob over 8 MB", blob(storage.BlobHash(make([]byte, storage.MaxBlob+1)), make([]byte, storage.MaxBlob+1)), 3, storage.ErrTooBig, ""},
		{"a blob that is not base64", sealed(goodHead+`{"blob":"x","data":"***"}`+"\n", 0), 2, storage.ErrCorrupt, "blob"},
		{"over 64 MB", goodHead + strings.Repeat(wide, 65), 65, storage.ErrTooBig, "without blobs"},
		{"a blob that is too long for a line", goodHead + `{"blob":"` + strings.Repeat("A", storage.MaxBlobLine), 2, storage.ErrTooBig, "the line is over"},
		{"a blob in place of the header", sealed(blobLine("a photo")+goodHead, 0), 1, storage.ErrNotOurs, ""},
		{"a blob after the end", sealed(goodHead+goodLine, 1) + blobLine("a photo"), 4, storage.ErrCorrupt, "after the end"},
		{"cut off inside a blob", goodHead + goodLine + blobLine("a photo")[:90], 3, storage.ErrCorrupt, "cut off inside"},
		{"cut off behind a blob", goodHead + goodLine + blobLine("a photo"), 4, storage.ErrCorrupt, "cut off after 1 edits"},
		{"a byte of a blob changed", strings.Replace(blob(storage.BlobHash([]byte("a photo")), []byte("a photo")), "YSBwaG90bw", "YSBwaG90bQ", 1), 3, storage.ErrCorrupt, "hash"},
		{"a hash in capitals", blob(strings.ToUpper(storage.BlobHash([]byte("a photo"))), []byte("a photo")), 3, storage.ErrCorrupt, "hash"},
		{"a blob without its padding", strings.Replace(blob(storage.BlobHash([]byte("a photo")), []byte("a photo")), "==", "", 1), 3, storage.ErrCorrupt, "blob"},
		{"a blob with too much padding", strings.Replace(blob(storage.BlobHash([]byte("a photo")), []byte("a photo")), "bw==", "b===", 1), 3, storage.ErrCorrupt, "blob"},
		{"a blob without data", sealed(goodHead+`{"blob":"x"}`+"\n", 0), 2, storage.ErrCorrupt, "blob"},
		{"a blob twice in a line", sealed(goodHead+strings.Replace(blobLine("a photo"), `","data"`, `","blob":"x","data"`, 1), 0), 2, storage.ErrCorrupt, "duplicate"},
		{"a blob changed, and its end not", strings.Replace(sealed(goodHead+goodLine+blobLine("a photo"), 1), blobLine("a photo"), blobLine("another photo"), 1), 4, storage.ErrCorrupt, "not as it was written"},
	} {
		t.Run(test.name, func(t *testing.T) {
			l, _, err := read(t, []byte(test.file))
			if test.is == nil {
				if err != nil {
					t.Errorf("refused: %v", err)
				}
				return
			}
			var at *storage.FileError
			if l != nil || !errors.Is(err, test.is) || !errors.As(err, &at) {
				t.Fatalf("got %v, %v, want %v", l, err, test.is)
			}
			if at.Line != test.line || !strings.Contains(err.Error(), test.says) {
				t.Errorf("got %v, want line %d and %q", err, test.line, test.says)
			}
		})
	}
}

// Taken checks that a reader takes the blobs of a file, however their lines are written.
func Taken(t *testing.T, read Reader) {
	big := strings.Repeat("\x00\x01\xff\n", storage.MaxBlob/4)
	encoded := base64.StdEncoding.EncodeToString([]byte("???>>> a photo"))
	hash := storage.BlobHash([]byte("???>>> a photo"))
	for _, test := range []struct{ name, line, want string }{
		{"as it is written", blobLine("a photo"), "a photo"},
		{"empty", blobLine(""), ""},
		{"one byte", blobLine("\xff"), "\xff"},
		{"8 MB", blobLine(big), big},
		{"with spaces", `{"blob": "` + hash + `", "data": "` + encoded + `" }` + "\n", "???>>> a photo"},
		{"with signs written at length", `{"blob":"` + hash + `","data":"` + strings.ReplaceAll(encoded, "/", `\/`) + `"}` + "\n", "???>>> a photo"},
		{"with more in it", `{"blob":"` + hash + `","data":"` + encoded + `","from a later version":1}` + "\n", "???>>> a photo"},
		{"with its hash behind it", `{"blob":"` + hash + `","kind":"x","data":"` + encoded + `"}` + "\n", "???>>> a photo"},
	} {
		t.Run(test.name, func(t *testing.T) {
			l, blobs, err := read(t, []byte(sealed(goodHead+goodLine+test.line+blobLine("the next")+goodLine, 2)))
			if err != nil {
				t.Fatal(err)
			}
			if got, ok := blobs[storage.BlobHash([]byte(test.want))]; !ok || !bytes.Equal(got, []byte(test.want)) || len(blobs) != 2 {
				t.Errorf("%d blobs, among them one of %d bytes, want %d", len(blobs), len(got), len(test.want))
			}
			if l.Len() != 1 {
				t.Errorf("%d edits", l.Len())
			}
		})
	}
}
