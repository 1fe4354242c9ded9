package kit

import (
	"strings"

	"loomwright/app/session"
)

// Typing is what is typed on a page and not entered yet: one field of one record, the last that was typed in. It is kept as
// a preference, so that neither the back gesture nor a reload loses it.
type Typing struct {
	S    *session.Session
	Page string
}

const typedMark = "\x1f" // stands between the record, the field and the text

func (t Typing) key() string { return t.Page + ":typed:" + t.S.ID() }

// Text returns what is typed in a field of a record and not entered yet.
func (t Typing) Text(id, field string) (text string, is bool) {
	return strings.CutPrefix(t.S.Device.Prefs.Get(t.key()), id+typedMark+field+typedMark)
}

// Keep keeps what is typed in a field of a record.
func (t Typing) Keep(id, field, text string) {
	t.S.Device.Prefs.Put(t.key(), id+typedMark+field+typedMark+text)
}

// Entered forgets it: it has become an edit.
func (t Typing) Entered() { t.S.Device.Prefs.Put(t.key(), "") }
