"""Clip lists, read by webvtt-py, OpenTimelineIO and Python's csv.

In: {"files": {name: text}}. Out: {"problems": [text, ...], "csv": [row, ...], "vtt": {name: [[start_s, end_s, text], ...]},
"otio": {name: [{"name", "start_s", "duration_s", "media", "markers": [[at_s, name], ...]}, ...]}}.
"""

import csv
import html
import io
import json
import sys

import opentimelineio as otio
import webvtt

question = json.load(sys.stdin)
out = {"problems": [], "csv": [], "vtt": {}, "otio": {}}


def seconds(stamp):
    hours, minutes, rest = stamp.split(":")
    return int(hours) * 3600 + int(minutes) * 60 + float(rest)


for name, text in question["files"].items():
    if name.endswith(".csv"):
        out["csv"] = list(csv.DictReader(io.StringIO(text, newline="")))
    elif name.endswith(".vtt"):
        cues = webvtt.from_buffer(io.StringIO(text))
        out["vtt"][name] = [[seconds(c.start), seconds(c.end), html.unescape(c.raw_text)] for c in cues]
        for cue in cues:
            if not seconds(cue.start) < seconds(cue.end):
                out["problems"].append(f"{name}: a cue ends before it begins: {cue}")
    elif name.endswith(".otio"):
        timeline = otio.adapters.read_from_string(text, "otio_json")
        clips = []
        for clip in timeline.find_clips():
            span = clip.source_range
            markers = [[m.marked_range.start_time.to_seconds(), m.name] for m in clip.markers]
            for at, _ in markers:
                if not span.contains(otio.opentime.RationalTime(at * span.start_time.rate, span.start_time.rate)):
                    # The last instant of a half-open span may round onto its end.
                    if abs(at - span.end_time_exclusive().to_seconds()) > 0.011:
                        out["problems"].append(f"{name}: a marker outside its clip: {clip.name}")
            clips.append({
                "name": clip.name, "start_s": span.start_time.to_seconds(), "duration_s": span.duration.to_seconds(),
                "media": clip.media_reference.name, "markers": markers, "metadata": dict(clip.metadata["scrim"]),
            })  # fmt: skip
        out["otio"][name] = clips
        # Written again by the library, it says the same.
        again = otio.adapters.read_from_string(otio.adapters.write_to_string(timeline, "otio_json"), "otio_json")
        if not timeline.is_equivalent_to(again):
            out["problems"].append(f"{name}: not the same when written again")

json.dump(out, sys.stdout, default=str)
