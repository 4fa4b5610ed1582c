"""Areas of Voronoi cells within a rectangle, by SciPy (Qhull) and Shapely (GEOS).

In: {"sets": [[[x, y], ...], ...], "bounds": [[x, y], ...]}. Out: [[area, ...], ...], in the order of the sites.
Far-off helper sites close the outer cells: at 1000 m they are nearest to no place on the floor.
"""

import json
import sys

from scipy.spatial import Voronoi
from shapely import Polygon

question = json.load(sys.stdin)
bounds = Polygon(question["bounds"])
far = [(1000.0, 0.0), (-1000.0, 0.0), (0.0, 1000.0), (0.0, -1000.0)]
answers = []
for sites in question["sets"]:
    diagram = Voronoi(sites + far)
    cells = (diagram.regions[diagram.point_region[place]] for place in range(len(sites)))
    answers.append([Polygon(diagram.vertices[cell]).intersection(bounds).area for cell in cells])
json.dump(answers, sys.stdout)
