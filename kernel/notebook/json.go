package notebook

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"slices"
	"sort"
	"strconv"
	"strings"
	"unicode/utf16"
	"unicode/utf8"
)

// parseJSON reads one JSON value into maps, slices, strings, json.Numbers,
// booleans and nil. It is stricter than encoding/json, which would mend in
// silence: names that come twice, broken UTF-8, half surrogate pairs and text
// after the value are errors. All errors give line and column.
func parseJSON(data []byte) (any, error) {
	data = bytes.TrimPrefix(data, []byte("\ufeff"))
	if at := invalidUTF8(data); at >= 0 {
		return nil, placed(data, int64(at), errors.New("this is no UTF-8 text"))
	}
	if at := halfSurrogate(data); at >= 0 {
		return nil, placed(data, int64(at), errors.New("half of a surrogate pair stands for no character"))
	}
	dec := json.NewDecoder(bytes.NewReader(data))
	dec.UseNumber()
	v, err := parseValue(dec)
	if err == nil {
		if _, extra := dec.Token(); extra != io.EOF {
			err = errors.New("there is text after the end of the notebook")
		}
	}
	if err != nil {
		at := dec.InputOffset()
		var syntax *json.SyntaxError
		if errors.As(err, &syntax) {
			at = syntax.Offset
		}
		if errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) {
			err = errors.New("the text ends too early")
		}
		return nil, placed(data, at, err)
	}
	return v, nil
}

func parseValue(dec *json.Decoder) (any, error) {
	token, err := dec.Token()
	if err != nil {
		return nil, err
	}
	switch token {
	case json.Delim('{'):
		return parseObject(dec)
	case json.Delim('['):
		list := []any{}
		for dec.More() {
			v, err := parseValue(dec)
			if err != nil {
				return nil, err
			}
			list = append(list, v)
		}
		_, err := dec.Token()
		return list, err
	}
	return token, nil
}

func parseObject(dec *json.Decoder) (any, error) {
	object := map[string]any{}
	for dec.More() {
		token, err := dec.Token()
		if err != nil {
			return nil, err
		}
		name, ok := token.(string)
		if !ok {
			return nil, fmt.Errorf("a name is %v, want a string", token)
		}
		if _, twice := object[name]; twice {
			return nil, fmt.Errorf("the name %q comes twice", name)
		}
		if object[name], err = parseValue(dec); err != nil {
			return nil, err
		}
	}
	_, err := dec.Token()
	return object, err
}

func invalidUTF8(data []byte) int {
	for i := 0; i < len(data); {
		r, size := utf8.DecodeRune(data[i:])
		if r == utf8.RuneError && size == 1 {
			return i
		}
		i += size
	}
	return -1
}

// halfSurrogate finds an escape such as \ud83d that its other half does not
// follow. Backslashes stand in strings only.
func halfSurrogate(data []byte) int {
	for i := 0; i < len(data); i++ {
		if data[i] != '\\' {
			continue
		}
		r, ok := unicodeEscape(data[i:])
		if ok && utf16.IsSurrogate(r) {
			low, okLow := unicodeEscape(data[i+6:])
			if !okLow || utf16.DecodeRune(r, low) == utf8.RuneError {
				return i
			}
			i += 6
		}
		i++
	}
	return -1
}

func unicodeEscape(b []byte) (rune, bool) {
	if len(b) < 6 || b[0] != '\\' || b[1] != 'u' {
		return 0, false
	}
	v, err := strconv.ParseUint(string(b[2:6]), 16, 32)
	return rune(v), err == nil
}

func placed(data []byte, at int64, err error) error {
	before := data[:min(max(at, 0), int64(len(data)))]
	line := bytes.Count(before, []byte("\n")) + 1
	column := utf8.RuneCount(before[bytes.LastIndexByte(before, '\n')+1:]) + 1
	return fmt.Errorf("line %d, column %d: %w", line, column, err)
}

// appendJSON writes a tree as Jupyter's own writer does (Python's json.dumps
// with sort_keys, indent=1 and ensure_ascii=False).
func appendJSON(b []byte, v any, indent int) []byte {
	switch v := v.(type) {
	case map[string]any:
		names := make([]string, 0, len(v))
		for name := range v {
			names = append(names, name)
		}
		sort.Strings(names)
		return appendList(b, '{', '}', len(names), indent, func(b []byte, i int) []byte {
			b = append(appendString(b, names[i]), ": "...)
			return appendJSON(b, v[names[i]], indent+1)
		})
	case []any:
		return appendList(b, '[', ']', len(v), indent, func(b []byte, i int) []byte {
			return appendJSON(b, v[i], indent+1)
		})
	case string:
		return appendString(b, v)
	case json.Number:
		return append(b, v...)
	case int:
		return strconv.AppendInt(b, int64(v), 10)
	case bool:
		return strconv.AppendBool(b, v)
	case nil:
		return append(b, "null"...)
	}
	panic(fmt.Sprintf("a tree holds a %T", v))
}

func appendList(b []byte, open, closing byte, n, indent int, item func([]byte, int) []byte) []byte {
	b = append(b, open)
	for i := range n {
		if i > 0 {
			b = append(b, ',')
		}
		b = newLine(b, indent+1)
		b = item(b, i)
	}
	if n > 0 {
		b = newLine(b, indent)
	}
	return append(b, closing)
}

func newLine(b []byte, indent int) []byte {
	b = append(b, '\n')
	return append(b, strings.Repeat(" ", indent)...)
}

func appendString(b []byte, s string) []byte {
	b = append(b, '"')
	for _, r := range s {
		switch {
		case r == '"' || r == '\\':
			b = append(b, '\\', byte(r))
		case r == '\n':
			b = append(b, `\n`...)
		case r == '\r':
			b = append(b, `\r`...)
		case r == '\t':
			b = append(b, `\t`...)
		case r == '\b':
			b = append(b, `\b`...)
		case r == '\f':
			b = append(b, `\f`...)
		case r < 0x20:
			b = fmt.Appendf(b, `\u%04x`, r)
		default:
			b = utf8.AppendRune(b, r)
		}
	}
	return append(b, '"')
}

// asTree turns any value that encoding/json can write into a tree.
func asTree(v any) (any, error) {
	switch v := v.(type) {
	case string, bool, nil, json.Number:
		return v, nil
	}
	data, err := json.Marshal(v)
	if err != nil {
		return nil, err
	}
	return parseJSON(data)
}

// splitLines cuts text after each line end, as Python's str.splitlines(True)
// does; joined again the lines are the text.
func splitLines(s string) []any {
	lines := []any{}
	start := 0
	for i := 0; i < len(s); {
		r, size := utf8.DecodeRuneInString(s[i:])
		i += size
		if r == '\r' && strings.HasPrefix(s[i:], "\n") {
			i++
		}
		if slices.Contains(lineEnds, r) {
			lines = append(lines, s[start:i])
			start = i
		}
	}
	if start < len(s) {
		lines = append(lines, s[start:])
	}
	return lines
}

var lineEnds = []rune{'\n', '\r', '\v', '\f', 0x1c, 0x1d, 0x1e, 0x85, 0x2028, 0x2029}
