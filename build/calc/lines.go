package calc

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/go-json-experiment/json"
)

// longestLine is the most bytes of a request. Source: our choice, far above any request.
const longestLine = 1 << 20

// Run answers the requests of r, one a line, with one line each to w, in order, until r ends. A request that cannot be
// answered has {"error": …} for its answer, and the ones behind it are answered all the same; a line of white space has
// none. The error is that of reading or writing. An answer is written before the next request is waited for.
func Run(r io.Reader, w io.Writer) error {
	in, out := bufio.NewReaderSize(r, 64<<10), bufio.NewWriter(w)
	for first := true; ; first = false {
		line, long, err := readLine(in)
		if first {
			line = bytes.TrimPrefix(line, []byte("\xef\xbb\xbf"))
		}
		if len(bytes.TrimSpace(line)) > 0 {
			answer := Answer(line)
			if long {
				answer = refuse(fmt.Errorf("calc: the line is longer than %d bytes", longestLine))
			}
			out.Write(append(answer, '\n'))
		}
		if err != nil {
			if errors.Is(err, io.EOF) {
				err = nil
			}
			return errors.Join(err, out.Flush())
		}
		if in.Buffered() == 0 {
			if err := out.Flush(); err != nil {
				return err
			}
		}
	}
}

// readLine returns the next line without its end; of one that is too long, the beginning. With an error there may be a last
// line.
func readLine(in *bufio.Reader) (line []byte, long bool, err error) {
	for {
		part, err := in.ReadSlice('\n')
		if len(line)+len(part) > longestLine+1 {
			part, long = part[:max(0, longestLine-len(line))], true
		}
		line = append(line, part...)
		if errors.Is(err, bufio.ErrBufferFull) {
			continue
		}
		return bytes.TrimRight(line, "\r\n"), long, err
	}
}

// Answer answers one request. It always returns one line of JSON, without its end.
func Answer(line []byte) []byte {
	var head struct {
		Op string `json:"op"`
	}
	if err := json.Unmarshal(line, &head); err != nil {
		return refuse(plain(err))
	}
	for _, o := range ops {
		if o.name != head.Op {
			continue
		}
		result, err := o.answer(line)
		if err != nil {
			return refuse(err)
		}
		text, err := json.Marshal(result, json.Deterministic(true))
		if err != nil {
			return refuse(fmt.Errorf("calc: %s: %w", o.name, err))
		}
		return text
	}
	if head.Op == "" {
		return refuse(errors.New("calc: op is missing"))
	}
	return refuse(fmt.Errorf("calc: there is no op %q", head.Op))
}

func refuse(err error) []byte {
	text, bad := json.Marshal(struct {
		Error string `json:"error"`
	}{strings.ToValidUTF8(err.Error(), "\uFFFD")})
	if bad != nil {
		return []byte(`{"error":"calc: not a request"}`)
	}
	return text
}
