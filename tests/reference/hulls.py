"""Areas of polygons and of convex hulls, and the hull's corners, by Shapely.

In: {"sets": [[[x, y], ...], ...]}. Out: [{"polygon_area": a, "hull_area": a, "hull": [[x, y], ...]}, ...].
"""

import json
import sys

from shapely import MultiPoint, Polygon

answers = []
for points in json.load(sys.stdin)["sets"]:
    hull = MultiPoint(points).convex_hull
    corners = list(hull.exterior.coords)[:-1] if hull.geom_type == "Polygon" else []
    polygon = Polygon(points) if len(points) >= 3 else Polygon()
    answers.append({"polygon_area": polygon.area, "hull_area": hull.area, "hull": corners})
json.dump(answers, sys.stdout)
