package harness

import (
	"strings"

	"github.com/google/uuid"
)

// proposals is the name space of ProposedID. It must never change: printed tags depend on it.
var proposals = uuid.MustParse("6f0b1c52-8a53-5c1e-9d0f-3c7b5f1e2a44")

// ProposedID returns the id of a record that the app proposes from others, such as the wire of a circuit: a UUID of
// version 5 made of the kind and the source's ids, so that two phones that accept one proposal make one record.
//
// Source: RFC 9562, section 5.5 (name-based UUIDs).
func ProposedID(kind Kind, source ...string) string {
	return uuid.NewSHA1(proposals, []byte(string(kind)+"\x00"+strings.Join(source, "\x00"))).String()
}
