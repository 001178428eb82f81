package main

import (
	"errors"
	"fmt"
	"go/ast"
	"go/parser"
	"math/big"
	"regexp"
	"slices"
	"strings"
	"unicode"

	"patternkit/patternkit/geom"
)

// goValue turns what stands in a table into a Go expression. A length with
// its unit becomes one of equal value; what is Go stays as it is.
func goValue(text string) (string, error) {
	if text == "" {
		return "", errors.New("it is empty; write a value, or leave the column out and the notebook's own value holds")
	}
	_, notLength := geom.ParseLength(text)
	if notLength == nil {
		return lengthInGo(text), nil
	}
	_, notGo := parser.ParseExpr(text)
	switch {
	case notGo == nil:
		return text, nil
	case likeLength.MatchString(text):
		return "", notLength
	}
	return "", fmt.Errorf("%q is neither a length with its unit, such as 92 cm or 36 1/2 in, nor a Go expression, such as 92*CM: %w", text, notGo)
}

// likeLength matches what was meant as a length, so that the message can say
// what is wrong with it as one.
var likeLength = regexp.MustCompile(`^[+-]?[0-9][0-9.,/ ]*\s*(\pL+|")$`)

var unitsInGo = map[string]string{"mm": "MM", "cm": "CM", "m": "M"}

// lengthInGo writes a length that geom.ParseLength has read as a Go
// expression. It goes by way of a fraction, so nothing is rounded.
func lengthInGo(text string) string {
	end := strings.LastIndexAny(text, "0123456789.") + 1
	unit, known := unitsInGo[strings.ToLower(strings.TrimSpace(text[end:]))]
	if !known {
		unit = "Inch"
	}
	number, negative := strings.CutPrefix(text[:end], "-")
	sum := new(big.Rat)
	for _, word := range strings.Fields(strings.TrimPrefix(number, "+")) {
		over, under, _ := strings.Cut(word, "/")
		part := decimal(over)
		if under != "" {
			part.Quo(part, decimal(under))
		}
		sum.Add(sum, part)
	}
	if negative {
		sum.Neg(sum)
	}
	if digits, exact := sum.FloatPrec(); exact {
		return sum.FloatString(digits) + "*" + unit
	}
	return fmt.Sprintf("(%s.0/%s)*%s", sum.Num(), sum.Denom(), unit)
}

// decimal reads digits and at most one point; a zero in front does not make
// them octal.
func decimal(digits string) *big.Rat {
	n, ok := new(big.Rat).SetString("0" + strings.TrimLeft(digits, "0"))
	if !ok {
		panic(fmt.Sprintf("%q was read as a number by geom.ParseLength", digits))
	}
	return n
}

// plainText reports whether a cell of a table names a row and is no value:
// no length, and no Go but bare words such as Ada and Anna-Lise.
func plainText(text string) bool {
	if text == "" {
		return false
	}
	if _, err := geom.ParseLength(text); err == nil {
		return false
	}
	e, err := parser.ParseExpr(text)
	if err != nil {
		return !likeLength.MatchString(text)
	}
	words := true
	ast.Inspect(e, func(n ast.Node) bool {
		switch n := n.(type) {
		case nil, *ast.BinaryExpr:
		case *ast.Ident:
			words = words && !slices.Contains([]string{"true", "false", "nil"}, n.Name)
		default:
			words = false
		}
		return true
	})
	return words
}

const longestName = 100 // bytes; file systems hold 255, and an ending comes on

// fitName returns an error unless name can name a file and a folder on every
// usual system.
func fitName(name string) error {
	at := strings.IndexFunc(name, func(r rune) bool {
		return strings.ContainsRune(`/\:*?"<>|`, r) || !unicode.IsPrint(r)
	})
	lower := strings.ToLower(name)
	stem, _, _ := strings.Cut(lower, ".")
	why := ""
	switch {
	case name == "":
		return errors.New("the row has no name")
	case at >= 0:
		r := []rune(name[at:])[0]
		why = fmt.Sprintf("it holds %q", r)
	case name[0] == '.' || name[0] == '-':
		why = "it begins with " + name[:1]
	case strings.HasSuffix(name, "."):
		why = "it ends in a point"
	case strings.HasSuffix(lower, ".ipynb") || strings.HasSuffix(lower, ".html"):
		why = "its ending would be taken for that of an output"
	case len(name) > longestName:
		why = fmt.Sprintf("it is longer than %d bytes", longestName)
	case reservedName.MatchString(stem):
		why = "Windows keeps that name for a device"
	default:
		return nil
	}
	return fmt.Errorf("%q can't name a file: %s", name, why)
}

// reservedName matches what Windows takes for a device, whatever the ending
// (learn.microsoft.com, "Naming Files, Paths, and Namespaces").
var reservedName = regexp.MustCompile(`^(con|prn|aux|nul|com[0-9¹²³]|lpt[0-9¹²³])$`)
