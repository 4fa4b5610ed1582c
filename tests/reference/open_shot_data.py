"""The spots and kinds of shots in the open data set of tests/shot-data.txt. Only these three columns are kept.

In: nothing. Out: [{"shots": [[x, y, is_three], ...], "without_spot": n}, ...], one for every file of the package that has
the columns. The unit is a tenth of a foot, origin under the hoop, y toward half court, x along the end line.
"""

import csv
import importlib.util
import json
import pathlib
import sys

KINDS = {"2PT Field Goal": False, "3PT Field Goal": True}

sys.stdin.read()
# Found, not imported: the package's own code (and what that needs) is not wanted.
spec = importlib.util.find_spec("isapy_data")
if spec is None:
    sys.exit("the open shot data set is not installed: pip install --no-deps -r tests/shot-data.txt")
files = []
for path in sorted((pathlib.Path(spec.origin).parent / "data").glob("*.csv")):
    with path.open(newline="", encoding="utf-8") as lines:
        rows = csv.reader(lines)
        header = next(rows)
        kind_name = next((name for name in ("typeShot", "shotType") if name in header), None)
        if kind_name is None or "locationX" not in header or "locationY" not in header:
            continue
        kind, x, y = (header.index(name) for name in (kind_name, "locationX", "locationY"))
        shots, without_spot = [], 0
        for row in rows:
            if row[x] == "NA" or row[y] == "NA":
                without_spot += 1
            else:
                shots.append([float(row[x]), float(row[y]), KINDS[row[kind]]])
        files.append({"shots": shots, "without_spot": without_spot})
json.dump(files, sys.stdout)
