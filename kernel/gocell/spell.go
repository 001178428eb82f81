package gocell

import (
	"fmt"
	"go/ast"
	"go/token"
	"go/types"
	"strconv"
)

// A speller writes a type as source that gives the same type in a later check
// of the session's package. Types of cells are written by name, so that a
// variable follows a redeclared type. Compiled and predeclared types are
// referred to as they are, through a package of type names of the session's
// own, because they may have no name that a cell could write. Everything else
// is spelt out: a type literal remembers the check that it comes from, and
// keeping it would keep all of that.
type speller struct {
	pkg    *types.Package // the session's package in the check that made the type
	next   *int           // numbers the leaves of a session
	prefix string         // before the number
	leaves map[string]*types.TypeName
}

func (s *speller) spell(t types.Type, pos token.Pos) (ast.Expr, error) {
	switch t := t.(type) {
	case *types.Basic:
		return s.leaf(t, pos), nil
	case *types.Alias:
		if s.declares(t.Obj()) {
			return s.instance(&ast.Ident{NamePos: pos, Name: t.Obj().Name()}, t.TypeArgs(), pos)
		}
		return s.spell(types.Unalias(t), pos)
	case *types.Named:
		if t.Obj().Pkg() != s.pkg {
			return s.instance(s.leaf(t.Origin(), pos), t.TypeArgs(), pos)
		}
		if !s.declares(t.Obj()) {
			return nil, fmt.Errorf("the type %s is declared inside a block; declare it at the top of a cell", t.Obj().Name())
		}
		return s.instance(&ast.Ident{NamePos: pos, Name: t.Obj().Name()}, t.TypeArgs(), pos)
	case *types.Pointer:
		x, err := s.spell(t.Elem(), pos)
		return &ast.StarExpr{Star: pos, X: x}, err
	case *types.Slice:
		x, err := s.spell(t.Elem(), pos)
		return &ast.ArrayType{Lbrack: pos, Elt: x}, err
	case *types.Array:
		x, err := s.spell(t.Elem(), pos)
		n := &ast.BasicLit{ValuePos: pos, Kind: token.INT, Value: strconv.FormatInt(t.Len(), 10)}
		return &ast.ArrayType{Lbrack: pos, Len: n, Elt: x}, err
	case *types.Map:
		k, err := s.spell(t.Key(), pos)
		if err != nil {
			return nil, err
		}
		x, err := s.spell(t.Elem(), pos)
		return &ast.MapType{Map: pos, Key: k, Value: x}, err
	case *types.Chan:
		x, err := s.spell(t.Elem(), pos)
		dir := map[types.ChanDir]ast.ChanDir{types.SendRecv: ast.SEND | ast.RECV, types.SendOnly: ast.SEND, types.RecvOnly: ast.RECV}[t.Dir()]
		return &ast.ChanType{Begin: pos, Dir: dir, Value: &ast.ParenExpr{Lparen: pos, X: x, Rparen: pos}}, err
	case *types.Signature:
		return s.signature(t, pos)
	case *types.Struct:
		return s.structure(t, pos)
	case *types.Interface:
		return s.interfaceType(t, pos)
	}
	return nil, fmt.Errorf("a variable can't keep the type %s", t)
}

func (s *speller) declares(obj types.Object) bool { return obj.Parent() == s.pkg.Scope() }

// foreign says whether a field or method can be named only in another package.
func (s *speller) foreign(obj types.Object) bool { return !obj.Exported() && obj.Pkg() != s.pkg }

func (s *speller) leaf(t types.Type, pos token.Pos) ast.Expr {
	*s.next++
	name := s.prefix + strconv.Itoa(*s.next)
	if s.leaves == nil {
		s.leaves = map[string]*types.TypeName{}
	}
	s.leaves[name] = types.NewTypeName(token.NoPos, nil, name, t)
	return &ast.SelectorExpr{X: &ast.Ident{NamePos: pos, Name: typePackage}, Sel: &ast.Ident{NamePos: pos, Name: name}}
}

func (s *speller) instance(name ast.Expr, args *types.TypeList, pos token.Pos) (ast.Expr, error) {
	if args.Len() == 0 {
		return name, nil
	}
	out := &ast.IndexListExpr{X: name, Lbrack: pos, Rbrack: pos}
	for t := range args.Types() {
		x, err := s.spell(t, pos)
		if err != nil {
			return nil, err
		}
		out.Indices = append(out.Indices, x)
	}
	return out, nil
}

func (s *speller) signature(t *types.Signature, pos token.Pos) (*ast.FuncType, error) {
	fields := func(tuple *types.Tuple, variadic bool) (*ast.FieldList, error) {
		list := &ast.FieldList{Opening: pos, Closing: pos}
		for i := range tuple.Len() {
			typ := tuple.At(i).Type()
			last := variadic && i == tuple.Len()-1
			if last {
				typ = typ.(*types.Slice).Elem()
			}
			x, err := s.spell(typ, pos)
			if err != nil {
				return nil, err
			}
			if last {
				x = &ast.Ellipsis{Ellipsis: pos, Elt: x}
			}
			list.List = append(list.List, &ast.Field{Type: x})
		}
		return list, nil
	}
	params, err := fields(t.Params(), t.Variadic())
	if err != nil {
		return nil, err
	}
	results, err := fields(t.Results(), false)
	return &ast.FuncType{Func: pos, Params: params, Results: results}, err
}

func (s *speller) structure(t *types.Struct, pos token.Pos) (ast.Expr, error) {
	list := &ast.FieldList{Opening: pos, Closing: pos}
	for i := range t.NumFields() {
		v := t.Field(i)
		if s.foreign(v) {
			return s.leaf(t, pos), nil
		}
		x, err := s.spell(v.Type(), pos)
		if err != nil {
			return nil, err
		}
		f := &ast.Field{Type: x}
		if !v.Embedded() {
			f.Names = []*ast.Ident{{NamePos: pos, Name: v.Name()}}
		}
		if tag := t.Tag(i); tag != "" {
			f.Tag = &ast.BasicLit{ValuePos: pos, Kind: token.STRING, Value: strconv.Quote(tag)}
		}
		if v.Embedded() && s.isLeaf(x) {
			return nil, fmt.Errorf("a variable can't keep a struct type without a name that embeds %s; give the type a name", v.Name())
		}
		list.List = append(list.List, f)
	}
	return &ast.StructType{Struct: pos, Fields: list}, nil
}

// isLeaf says whether x refers to a type by a name that is not the type's own.
func (s *speller) isLeaf(x ast.Expr) bool {
	if star, ok := x.(*ast.StarExpr); ok {
		x = star.X
	}
	_, ok := x.(*ast.SelectorExpr)
	return ok
}

func (s *speller) interfaceType(t *types.Interface, pos token.Pos) (ast.Expr, error) {
	if t.NumMethods() == 0 && t.NumEmbeddeds() == 0 {
		return s.leaf(types.NewInterfaceType(nil, nil).Complete(), pos), nil
	}
	list := &ast.FieldList{Opening: pos, Closing: pos}
	for i := range t.NumExplicitMethods() {
		m := t.ExplicitMethod(i)
		if s.foreign(m) {
			return s.leaf(t, pos), nil
		}
		x, err := s.signature(m.Type().(*types.Signature), pos)
		if err != nil {
			return nil, err
		}
		list.List = append(list.List, &ast.Field{Names: []*ast.Ident{{NamePos: pos, Name: m.Name()}}, Type: x})
	}
	for e := range t.EmbeddedTypes() {
		x, err := s.spell(e, pos)
		if err != nil {
			return nil, err
		}
		list.List = append(list.List, &ast.Field{Type: x})
	}
	return &ast.InterfaceType{Interface: pos, Methods: list}, nil
}
