package patternkit

import "math"

// corner is the angle of the cloth between an edge and the next in outline
// order: 90° where they are square, 180° where one runs on into the other.
func corner(before, after Edge) Angle {
	return 180*Degree - before.Path.TangentAt(before.Path.Length()).AngleTo(after.Path.TangentAt(0))
}

// acrossDart is the angle of the cloth where the parts of an edge meet when a
// dart is closed: 180° where the edge runs on.
func acrossDart(p Piece, d Dart) Angle {
	for i, e := range p.edges {
		if e.Name != d.Mouth {
			continue
		}
		before, after := p.edges[(i+len(p.edges)-1)%len(p.edges)], p.edges[(i+1)%len(p.edges)]
		back := before.Path.TangentAt(before.Path.Length()).Neg()
		return angleBetween(back, d.Tip.Sub(e.Path.Start())) + angleBetween(d.Tip.Sub(e.Path.End()), after.Path.TangentAt(0))
	}
	return Angle(math.NaN())
}

func angleBetween(a, b Point) Angle {
	t := a.AngleTo(b)
	return max(t, -t)
}
