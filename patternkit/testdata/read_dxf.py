# Reads a DXF file by ezdxf and writes what it found as JSON: errors, repairs,
# the unit, and for each block its entities with their layer and points, curves
# flattened within 0.001.
import json
import sys

import ezdxf

doc = ezdxf.readfile(sys.argv[1])
audit = doc.audit()


def points(e):
    kind = e.dxftype()
    if kind == "LINE":
        return [e.dxf.start, e.dxf.end]
    if kind == "POLYLINE":
        ring = [v.dxf.location for v in e.vertices]
        return ring + ring[:1] if e.is_closed else ring
    if kind == "SPLINE":
        return list(e.flattening(0.001))
    if kind == "POINT":
        return [e.dxf.location]
    return []


blocks = {}
for ref in doc.modelspace().query("INSERT"):
    blocks[ref.dxf.name] = [
        {
            "kind": e.dxftype(),
            "layer": e.dxf.layer,
            "points": [[p[0], p[1]] for p in points(e)],
            "text": e.dxf.text if e.dxftype() == "TEXT" else "",
        }
        for e in doc.blocks[ref.dxf.name]
    ]
json.dump({
    "errors": [str(e.message) for e in audit.errors],
    "fixes": [str(e.message) for e in audit.fixes],
    "version": doc.dxfversion,
    "units": doc.units,
    "blocks": blocks,
}, sys.stdout)
