package wire

import (
	"bytes"
	"encoding/json"
	"fmt"
)

// Fields is a JSON object whose fields are read with their types. A field of
// another type is an error, never a zero value. The first error is kept, so a
// handler reads all that it needs and then asks Err once.
type Fields struct {
	raw map[string]json.RawMessage
	err error
}

// ReadFields reads a JSON object; what names it in errors.
func ReadFields(what string, data []byte) (*Fields, error) {
	var raw map[string]json.RawMessage
	if err := json.Unmarshal(data, &raw); err != nil || raw == nil {
		return nil, fmt.Errorf("%s is %s, want an object", what, kindOf(data))
	}
	return &Fields{raw: raw}, nil
}

// Err returns the first error of the reading methods.
func (f *Fields) Err() error { return f.err }

// Has reports whether the field is there and not null.
func (f *Fields) Has(name string) bool {
	raw, ok := f.raw[name]
	return ok && kindOf(raw) != "null"
}

// String reads a string that must be there.
func (f *Fields) String(name string) string { return read[string](f, name, "a string", true, "") }

// StringOr reads a string that may be missing.
func (f *Fields) StringOr(name, missing string) string {
	return read(f, name, "a string", false, missing)
}

// BoolOr reads a boolean that may be missing.
func (f *Fields) BoolOr(name string, missing bool) bool {
	return read(f, name, "true or false", false, missing)
}

// IntOr reads a whole number that may be missing.
func (f *Fields) IntOr(name string, missing int) int {
	return read(f, name, "a whole number", false, missing)
}

// ObjectOr reads an object of any fields that may be missing; then it is
// empty.
func (f *Fields) ObjectOr(name string) map[string]any {
	return read(f, name, "an object", false, map[string]any{})
}

// StringsOr reads an object whose values are strings, that may be missing.
func (f *Fields) StringsOr(name string) map[string]string {
	m := read(f, name, "an object of strings", false, map[string]json.RawMessage{})
	out := make(map[string]string, len(m))
	for k, raw := range m {
		var s string
		if kindOf(raw) == "null" || json.Unmarshal(raw, &s) != nil {
			f.fail("%s[%q] is %s, want a string", name, k, kindOf(raw))
		}
		out[k] = s
	}
	return out
}

func (f *Fields) fail(format string, args ...any) {
	if f.err == nil {
		f.err = fmt.Errorf(format, args...)
	}
}

// read decodes one field. Null counts as missing.
func read[T any](f *Fields, name, want string, required bool, missing T) T {
	raw, ok := f.raw[name]
	if !f.Has(name) {
		switch {
		case !required:
		case ok:
			f.fail("%s is null, want %s", name, want)
		default:
			f.fail("%s is missing, want %s", name, want)
		}
		return missing
	}
	var v T
	if err := json.Unmarshal(raw, &v); err != nil {
		f.fail("%s is %s, want %s", name, kindOf(raw), want)
		return missing
	}
	return v
}

// kindOf says in words what a JSON value is.
func kindOf(raw []byte) string {
	raw = bytes.TrimSpace(raw)
	if !json.Valid(raw) {
		return "not JSON"
	}
	switch raw[0] {
	case '"':
		return "a string"
	case '{':
		return "an object"
	case '[':
		return "a list"
	case 'n':
		return "null"
	case 't', 'f':
		return string(raw)
	}
	if len(raw) > 30 {
		return "a number"
	}
	return "the number " + string(raw)
}
