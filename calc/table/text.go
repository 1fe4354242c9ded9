package table

// Text returns the text of a file, in the encoding that it seems to be in, so that a person can mend it before it is read
// again. The error wraps ErrEmpty, ErrTooBig or ErrNotText.
func Text(data []byte) (text string, used Encoding, err error) {
	if _, err := Read(data, Options{}); err != nil {
		return "", "", err
	}
	text, used = decode(data, "")
	return text, used, nil
}
