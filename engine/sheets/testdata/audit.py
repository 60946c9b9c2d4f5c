# Reads DXF files and prints for each, one line of JSON: what the audit found, and what
# stands in it.
import json
import sys

import ezdxf

for name in sys.argv[1:]:
    document = ezdxf.readfile(name)
    audit = document.audit()
    space = document.modelspace()
    print(json.dumps({
        "release": document.dxfversion,
        "found": [e.message for e in audit.errors + audit.fixes],
        "points": [[p.dxf.layer, *p.dxf.location.vec2] for p in space.query("POINT")],
        "outlines": [[p.dxf.layer, *(c for v in p.vertices for c in v.dxf.location.vec2)]
                     for p in space.query("POLYLINE")],
        "texts": [[t.dxf.layer, t.dxf.text] for t in space.query("TEXT")],
        "lines": len(space.query("LINE")),
    }))
