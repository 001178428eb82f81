package dxf

import (
	"fmt"

	"patternkit/patternkit/geom"
)

// Curves returns d as a file of release 2000 whose curves are exact: each run
// of cubics is one SPLINE of degree 3 with their handles. Its unit is the
// millimetre.
func (d Drawing) Curves() []byte {
	w := &writer{handles: 0x100}
	body := &writer{handles: 0x100}
	records := d.tables(body)
	d.blocks(body, records)
	d.objects(body)
	w.section("HEADER")
	w.put(9, "$ACADVER")
	w.put(1, "AC1015")
	w.put(9, "$HANDSEED")
	w.put(5, fmt.Sprintf("%X", body.handles+1))
	w.put(9, "$MEASUREMENT")
	w.int(70, 1)
	w.put(9, "$INSUNITS")
	w.int(70, 4) // millimetres
	box := d.bounds()
	w.put(9, "$EXTMIN")
	w.point(10, box.Min)
	w.put(9, "$EXTMAX")
	w.point(10, box.Max)
	w.endSection()
	w.Write(body.Bytes())
	w.put(0, "EOF")
	return w.Bytes()
}

// handle writes a new handle and returns it.
func (w *writer) handle(code int) string {
	w.handles++
	h := fmt.Sprintf("%X", w.handles)
	w.put(code, h)
	return h
}

const modelSpace, paperSpace = "*Model_Space", "*Paper_Space"

// tables writes the tables that the release wants and returns the handles of
// the records of the blocks, by their names.
func (d Drawing) tables(w *writer) map[string]string {
	w.section("TABLES")
	w.table("VPORT", nil, nil)
	w.table("LTYPE", []string{"ByBlock", "ByLayer", "Continuous"}, func(name string) {
		w.put(100, "AcDbLinetypeTableRecord")
		w.put(2, name)
		w.int(70, 0)
		w.put(3, "")
		w.int(72, 65)
		w.int(73, 0)
		w.number(40, 0)
	})
	w.table("LAYER", d.layers(), func(name string) {
		w.put(100, "AcDbLayerTableRecord")
		w.text(2, name)
		w.int(70, 0)
		w.int(62, 7)
		w.put(6, "Continuous")
		w.int(370, -3)
	})
	w.table("STYLE", []string{"Standard"}, func(name string) {
		w.put(100, "AcDbTextStyleTableRecord")
		w.put(2, name)
		w.int(70, 0)
		w.number(40, 0)
		w.number(41, 1)
		w.number(50, 0)
		w.int(71, 0)
		w.number(42, 2.5)
		w.put(3, "txt")
		w.put(4, "")
	})
	w.table("VIEW", nil, nil)
	w.table("UCS", nil, nil)
	w.table("APPID", []string{"ACAD"}, func(name string) {
		w.put(100, "AcDbRegAppTableRecord")
		w.put(2, name)
		w.int(70, 0)
	})
	w.table("DIMSTYLE", []string{"Standard"}, func(name string) {
		w.put(100, "AcDbDimStyleTableRecord")
		w.put(2, name)
		w.int(70, 0)
	})
	names := []string{modelSpace, paperSpace}
	for _, b := range d.Blocks {
		names = append(names, b.Name)
	}
	records := w.table("BLOCK_RECORD", names, func(name string) {
		w.put(100, "AcDbBlockTableRecord")
		w.put(2, name)
	})
	w.endSection()
	return records
}

// table writes a table with a record for each name and returns their handles.
func (w *writer) table(kind string, names []string, record func(name string)) map[string]string {
	w.put(0, "TABLE")
	w.put(2, kind)
	table := w.handle(5)
	w.put(330, "0")
	w.put(100, "AcDbSymbolTable")
	w.int(70, len(names))
	if kind == "DIMSTYLE" {
		w.put(100, "AcDbDimStyleTable")
		w.int(71, len(names))
	}
	handles := map[string]string{}
	for _, name := range names {
		w.put(0, kind)
		code := 5
		if kind == "DIMSTYLE" {
			code = 105
		}
		handles[name] = w.handle(code)
		w.put(330, table)
		w.put(100, "AcDbSymbolTableRecord")
		record(name)
	}
	w.put(0, "ENDTAB")
	return handles
}

func (d Drawing) blocks(w *writer, records map[string]string) {
	w.section("BLOCKS")
	for _, b := range append([]Block{{Name: modelSpace}, {Name: paperSpace}}, d.Blocks...) {
		owner := records[b.Name]
		w.put(0, "BLOCK")
		w.entity(owner, "0")
		w.put(100, "AcDbBlockBegin")
		w.put(2, b.Name)
		w.int(70, 0)
		w.point(10, geom.Point{})
		w.put(3, b.Name)
		w.put(1, "")
		for _, it := range b.Items {
			w.curveItem(owner, it)
		}
		w.put(0, "ENDBLK")
		w.entity(owner, "0")
		w.put(100, "AcDbBlockEnd")
	}
	w.endSection()
	w.section("ENTITIES")
	for _, b := range d.Blocks {
		w.put(0, "INSERT")
		w.entity(records[modelSpace], "0")
		w.put(100, "AcDbBlockReference")
		w.put(2, b.Name)
		w.point(10, geom.Point{})
	}
	for _, it := range d.Items {
		w.curveItem(records[modelSpace], it)
	}
	w.endSection()
}

// objects writes the root of the dictionaries, which every file has.
func (d Drawing) objects(w *writer) {
	w.section("OBJECTS")
	w.put(0, "DICTIONARY")
	root := w.handle(5)
	w.put(330, "0")
	w.put(100, "AcDbDictionary")
	w.int(281, 1)
	w.put(3, "ACAD_GROUP")
	w.put(350, fmt.Sprintf("%X", w.handles+1))
	w.put(0, "DICTIONARY")
	w.handle(5)
	w.put(330, root)
	w.put(100, "AcDbDictionary")
	w.int(281, 1)
	w.endSection()
}

func (w *writer) entity(owner, layer string) {
	w.handle(5)
	w.put(330, owner)
	w.put(100, "AcDbEntity")
	w.text(8, layer)
}

func (w *writer) curveItem(owner string, it Item) {
	switch {
	case it.Text != "":
		w.put(0, "TEXT")
		w.entity(owner, it.Layer)
		w.put(100, "AcDbText")
		w.point(10, it.At)
		w.number(40, it.Height.MM())
		w.text(1, it.Text)
		w.put(100, "AcDbText")
	case it.Path.Empty():
		w.put(0, "POINT")
		w.entity(owner, it.Layer)
		w.put(100, "AcDbPoint")
		w.point(10, it.At)
	default:
		w.curvePath(owner, it.Layer, it.Path.Segments())
	}
}

// curvePath writes lines as LINE and each run of curves as one SPLINE.
func (w *writer) curvePath(owner, layer string, segments []geom.Segment) {
	for i := 0; i < len(segments); {
		if g := segments[i]; !g.Curve {
			w.put(0, "LINE")
			w.entity(owner, layer)
			w.put(100, "AcDbLine")
			w.point(10, g.A)
			w.point(11, g.B)
			i++
			continue
		}
		end := i
		for end < len(segments) && segments[end].Curve {
			end++
		}
		w.spline(owner, layer, segments[i:end])
		i = end
	}
}

// spline writes cubics: each knot between two is threefold, so that the curve
// runs through the ends of each.
func (w *writer) spline(owner, layer string, cubics []geom.Segment) {
	n := len(cubics)
	w.put(0, "SPLINE")
	w.entity(owner, layer)
	w.put(100, "AcDbSpline")
	w.number(210, 0)
	w.number(220, 0)
	w.number(230, 1)
	w.int(70, 8) // planar
	w.int(71, 3)
	w.int(72, 3*n+5)
	w.int(73, 3*n+1)
	w.int(74, 0)
	w.number(40, 0)
	for i := range n + 1 {
		for range 3 {
			w.number(40, float64(i))
		}
	}
	w.number(40, float64(n))
	w.point(10, cubics[0].A)
	for _, g := range cubics {
		w.point(10, g.C1)
		w.point(10, g.C2)
		w.point(10, g.B)
	}
}
