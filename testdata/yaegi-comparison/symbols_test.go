package yaegicomparison

import (
	"reflect"

	"github.com/traefik/yaegi/interp"

	"patternkit/patternkit"
)

// drafting offers the interpreter what the programs need.
var drafting = interp.Exports{
	"patternkit/patternkit": { // it reads the import path a/a as a
		"CM":            reflect.ValueOf(patternkit.CM),
		"MM":            reflect.ValueOf(patternkit.MM),
		"DraftBodice":   reflect.ValueOf(patternkit.DraftBodice),
		"Body":          reflect.ValueOf((*patternkit.Body)(nil)),
		"Bodice":        reflect.ValueOf((*patternkit.Bodice)(nil)),
		"BodiceOptions": reflect.ValueOf((*patternkit.BodiceOptions)(nil)),
		"Length":        reflect.ValueOf((*patternkit.Length)(nil)),
		"Piece":         reflect.ValueOf((*patternkit.Piece)(nil)),
		"Point":         reflect.ValueOf((*patternkit.Point)(nil)),
		"Pt":            reflect.ValueOf(patternkit.Pt),
	},
}
