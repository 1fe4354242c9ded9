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

// TextAs returns the text of a list in an encoding that a person chose. The errors are those of Text.
func TextAs(data []byte, as Encoding) (string, error) {
	if _, err := Read(data, Options{Encoding: as}); err != nil {
		return "", err
	}
	text, _ := decode(data, as)
	return text, nil
}
