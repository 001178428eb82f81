package dxf

import "patternkit/patternkit/geom"

// Lines returns d as a file of release 12, whose curves are drawn as straight
// lines within tolerance of them. Its unit is the millimetre, which that
// release has no place to say.
func (d Drawing) Lines(tolerance geom.Length) []byte {
	w := &writer{}
	w.section("HEADER")
	w.put(9, "$ACADVER")
	w.put(1, "AC1009")
	box := d.bounds()
	w.put(9, "$EXTMIN")
	w.point(10, box.Min)
	w.put(9, "$EXTMAX")
	w.point(10, box.Max)
	w.endSection()
	w.section("TABLES")
	w.lineTypes()
	w.layerTable(d.layers())
	w.endSection()
	w.section("BLOCKS")
	for _, b := range d.Blocks {
		w.put(0, "BLOCK")
		w.put(8, "0")
		w.put(2, b.Name)
		w.int(70, 0)
		w.point(10, geom.Point{})
		w.put(3, b.Name)
		for _, it := range b.Items {
			w.lineItem(it, tolerance)
		}
		w.put(0, "ENDBLK")
		w.put(8, "0")
	}
	w.endSection()
	w.section("ENTITIES")
	for _, b := range d.Blocks {
		w.put(0, "INSERT")
		w.put(8, "0")
		w.put(2, b.Name)
		w.point(10, geom.Point{})
	}
	for _, it := range d.Items {
		w.lineItem(it, tolerance)
	}
	w.endSection()
	w.put(0, "EOF")
	return w.Bytes()
}

func (w *writer) lineTypes() {
	w.put(0, "TABLE")
	w.put(2, "LTYPE")
	w.int(70, 1)
	w.put(0, "LTYPE")
	w.put(2, "CONTINUOUS")
	w.int(70, 0)
	w.put(3, "Solid line")
	w.int(72, 65)
	w.int(73, 0)
	w.number(40, 0)
	w.put(0, "ENDTAB")
}

func (w *writer) layerTable(layers []string) {
	w.put(0, "TABLE")
	w.put(2, "LAYER")
	w.int(70, len(layers))
	for _, name := range layers {
		w.put(0, "LAYER")
		w.put(2, name)
		w.int(70, 0)
		w.int(62, 7)
		w.put(6, "CONTINUOUS")
	}
	w.put(0, "ENDTAB")
}

func (w *writer) lineItem(it Item, tolerance geom.Length) {
	switch {
	case it.Text != "":
		w.put(0, "TEXT")
		w.put(8, it.Layer)
		w.point(10, it.At)
		w.number(40, it.Height.MM())
		w.text(1, it.Text)
	case it.Path.Empty():
		w.put(0, "POINT")
		w.put(8, it.Layer)
		w.point(10, it.At)
	default:
		w.linePath(it.Layer, it.Path, tolerance)
	}
}

// linePath writes one straight line as LINE and anything else as POLYLINE.
func (w *writer) linePath(layer string, path geom.Path, tolerance geom.Length) {
	points := path.Flatten(tolerance)
	at := func(i int) geom.Point { return geom.Pt(geom.Length(points[i][0]), geom.Length(points[i][1])) }
	if len(points) == 2 {
		w.put(0, "LINE")
		w.put(8, layer)
		w.point(10, at(0))
		w.point(11, at(1))
		return
	}
	closed, n := 0, len(points)
	if path.Closed() {
		closed, n = 1, n-1
	}
	w.put(0, "POLYLINE")
	w.put(8, layer)
	w.int(66, 1)
	w.point(10, geom.Point{})
	w.int(70, closed)
	for i := range n {
		w.put(0, "VERTEX")
		w.put(8, layer)
		w.point(10, at(i))
	}
	w.put(0, "SEQEND")
	w.put(8, layer)
}
