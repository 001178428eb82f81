package notebook

import (
	"encoding/json"
	"fmt"
	"strconv"
)

// An object takes known fields out of a JSON object, each checked for its
// kind; what is left are the unknown ones. The first error is kept.
type object struct {
	fields map[string]any
	err    error
}

func objectOf(v any, what string) (*object, error) {
	fields, ok := v.(map[string]any)
	if !ok {
		return nil, fmt.Errorf("%s is %s, want an object", what, kindOf(v))
	}
	return &object{fields: fields}, nil
}

func (o *object) take(name string) any {
	v := o.fields[name]
	delete(o.fields, name)
	return v
}

func (o *object) wrong(name string, v any, want string) {
	if o.err == nil {
		o.err = fmt.Errorf("%s is %s, want %s", name, kindOf(v), want)
	}
}

// text takes a string or a list of lines; nothing is "".
func (o *object) text(name string) string {
	switch v := o.take(name).(type) {
	case nil:
		return ""
	case string:
		return v
	case []any:
		if s, ok := joinLines(v); ok {
			return s
		}
		o.wrong(name, v, "a string or a list of strings")
	default:
		o.wrong(name, v, "a string or a list of strings")
	}
	return ""
}

// object takes an object; nothing is an empty one.
func (o *object) object(name string) map[string]any {
	switch v := o.take(name).(type) {
	case nil:
	case map[string]any:
		return v
	default:
		o.wrong(name, v, "an object")
	}
	return map[string]any{}
}

// list takes a list; nothing is an empty one.
func (o *object) list(name string) []any {
	switch v := o.take(name).(type) {
	case nil:
	case []any:
		return v
	default:
		o.wrong(name, v, "a list")
	}
	return nil
}

// count takes a whole number from 0 up, or nothing.
func (o *object) count(name string) *int {
	switch v := o.take(name).(type) {
	case nil:
		return nil
	case json.Number:
		if n, err := strconv.Atoi(v.String()); err == nil && n >= 0 {
			return &n
		}
		o.wrong(name, v, "a whole number from 0 up, or null")
	default:
		o.wrong(name, v, "a whole number from 0 up, or null")
	}
	return nil
}

func (o *object) integer(name string) int {
	if n := o.count(name); n != nil {
		return *n
	}
	return 0
}

// rest returns the fields that nothing took, nil for none.
func (o *object) rest() map[string]any {
	if len(o.fields) == 0 {
		return nil
	}
	return o.fields
}

func kindOf(v any) string {
	switch v := v.(type) {
	case nil:
		return "null"
	case string:
		return "a string"
	case json.Number:
		return "the number " + v.String()
	case bool:
		return strconv.FormatBool(v)
	case []any:
		return "a list"
	case map[string]any:
		return "an object"
	}
	panic(fmt.Sprintf("a tree holds a %T", v))
}
