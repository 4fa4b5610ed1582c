"""`real/convert.py` on scenes in the published form.

In: {"cases": [{"score": folder, "labels": folder of source.csv and hashes.csv, "output": folder, "files": scenes in all}, ...],
"hash": a file}. Out: {"cases": [{"refused": words} or {"rows": the rows of tracking.parquet, "hashes": [[game, frames,
SHA-256], ...]}, ...], "hash": that of the file's positions}.
"""

import json
import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent / "real"))

import convert
import polars

question = json.load(sys.stdin)
answers = []
for case in question["cases"]:
    output = Path(case["output"])
    try:
        convert.convert(Path(case["score"]), output, Path(case["labels"]), case["files"])
    except convert.Refused as refused:
        answers.append({"refused": str(refused)})
        continue
    tracking = output / "tracking.parquet"
    answers.append({"rows": polars.read_parquet(tracking).rows(), "hashes": convert.hashes_of(tracking)})
json.dump({"cases": answers, "hash": convert.hash_of(convert.frames_of(Path(question["hash"])))}, sys.stdout)
