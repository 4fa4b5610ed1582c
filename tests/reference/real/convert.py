"""The published scenes to scrim's own form, and their check.

    python convert.py scenes SCORE_FOLDER OUTPUT      writes OUTPUT/tracking.parquet and OUTPUT/games.csv
    python convert.py hashes TRACKING                 prints game_id,frames,sha256 of a converted file

SCORE_FOLDER is the folder of the published scenes that end in a made shot: it holds `test/` and `train/` with one text
file a scene. README.md says where it comes from and which form is read. Needs polars.

`scenes` ends with code 1, and writes nothing, when a file is not of the published form or when a scene's positions are
not those that were labelled (hashes.csv).
"""

import csv
import hashlib
import re
import sys
from pathlib import Path

import polars

HERE = Path(__file__).resolve().parent

# The published form.
FILES = 3_723  # scenes in all: the place of a scene counts through the sorted files of `test`, then those of `train`
TICK_S = 0.01  # frame numbers count hundredths of a second
STEP = 12  # of frame numbers: 0.12 s
BALL, PLAYER = "BALL", "PLAYER"
CENTRE_FT = (47.0, 25.0)  # the origin is a corner of a court of 94 by 50 ft
M_PER_FT = 0.3048
# What the file's name says besides teams and game: the period, the game clock at the start and at the end.
NAME = re.compile(r".*_(?P<period>\d+)_(?P<start_s>\d+(\.\d+)?)_(?P<end_s>\d+(\.\d+)?)\.txt")
# A scene may fill its clock less exactly than its frames say, by this much at most.
CLOCK_SLACK_S = 1.0

# A hash counts positions in cells of this many millimetres. A published position has at most six decimals of a foot, so
# it lies midway between two millimetres only at odd multiples of 190.5 mm from the centre. These are 63.5 mm from the next
# border of a cell of 127 mm: how such a position is rounded cannot change the hash. Any shift of a scene does.
CELL_MM = 127

PLAYERS = [f"T{team}P{player}" for team in (1, 2) for player in range(1, 6)]


class Refused(Exception):
    """A file that is not what was published, or not what was labelled."""


def rows_of(path: Path) -> list[tuple[int, int, float, float, str]]:
    """Frame number, agent, x, y and group of each line."""
    rows = []
    for number, line in enumerate(path.read_text().splitlines(), 1):
        cells = line.split()
        if not cells:
            continue
        try:
            frame, agent, x_ft, y_ft, group = cells
            rows.append((int(frame), int(agent), float(x_ft), float(y_ft), group))
        except ValueError:
            raise Refused(f"{path}, line {number}: found `{line}`, expected frame, agent, x, y and group") from None
    if not rows:
        raise Refused(f"{path}: no rows")
    return rows


def frames_of(path: Path) -> list[list[tuple[int, int]]]:
    """Positions in millimetres from the centre, frame by frame: the ball, then the ten players in the file's order."""
    by_frame: dict[int, dict[int, tuple[float, float, str]]] = {}
    for frame, agent, x_ft, y_ft, group in rows_of(path):
        if agent in by_frame.setdefault(frame, {}):
            raise Refused(f"{path}: agent {agent} is there twice in frame {frame}")
        by_frame[frame][agent] = (x_ft, y_ft, group)
    numbers = list(by_frame)
    if any(after - before != STEP for before, after in zip(numbers, numbers[1:])):
        raise Refused(f"{path}: expected a frame each {STEP} numbers ({STEP * TICK_S} s), in order")
    first = by_frame[numbers[0]]
    ball = [agent for agent, (_, _, group) in first.items() if group == BALL]
    players = [agent for agent, (_, _, group) in first.items() if group == PLAYER]
    if (len(ball), len(players), len(first)) != (1, 10, 11):
        raise Refused(f"{path}: found {len(players)} players and {len(ball)} balls, expected ten and one")
    order = ball + players
    scene = []
    for number in numbers:
        agents = by_frame[number]
        if set(agents) != set(order):
            raise Refused(f"{path}, frame {number}: not the same ten players and ball as in the first frame")
        scene.append(
            [
                tuple(round((agents[agent][axis] - CENTRE_FT[axis]) * M_PER_FT * 1000) for axis in (0, 1))
                for agent in order
            ]
        )
    return scene


def hash_of(scene: list[list[tuple[int, int]]]) -> str:
    """A line a frame: the cells (column, row) of the ball and the players in order, all separated by blanks."""
    lines = (
        " ".join(str(value // CELL_MM) for position in frame for value in position) + "\n" for frame in scene
    )
    return hashlib.sha256("".join(lines).encode("ascii")).hexdigest()


def table_of(game_id: str, path: Path, scene: list[list[tuple[int, int]]]) -> polars.DataFrame:
    """One scene as rows of scrim's own columns."""
    named = NAME.fullmatch(path.name)
    if named is None:
        raise Refused(f"{path}: expected a name that ends in _PERIOD_CLOCK_CLOCK.txt")
    period, start_s, end_s = int(named["period"]), float(named["start_s"]), float(named["end_s"])
    if abs(start_s - len(scene) * STEP * TICK_S - end_s) > CLOCK_SLACK_S:
        raise Refused(f"{path}: {len(scene)} frames do not fill the clock from {start_s} to {end_s} s")
    rows = []
    for index, frame in enumerate(scene):
        t_s = round(index * STEP * TICK_S, 2)
        for player_id, (x_mm, y_mm) in zip([None, *PLAYERS], frame):
            team_id = None if player_id is None else player_id[:2]
            rows.append((game_id, period, t_s, start_s - t_s, team_id, player_id, x_mm / 1000, y_mm / 1000))
    return polars.DataFrame(
        rows,
        schema={
            "game_id": polars.String,
            "period": polars.UInt8,
            "t_s": polars.Float64,
            "game_clock_s": polars.Float32,
            "team_id": polars.String,
            "player_id": polars.String,
            "x_m": polars.Float32,
            "y_m": polars.Float32,
        },
        orient="row",
    )


def rows_of_csv(name: str, root: Path = HERE) -> list[dict[str, str]]:
    with open(root / name, newline="") as file:
        return list(csv.DictReader(file))


def convert(score: Path, output: Path, root: Path = HERE, files: int = FILES) -> int:
    """Converts the scenes that `root`/source.csv places, and checks them against `root`/hashes.csv. Their count."""
    published = [path for part in ("test", "train") for path in sorted((score / part).glob("*.txt"))]
    if len(published) != files:
        raise Refused(f"{score}: found {len(published)} scenes in test/ and train/, expected {files}")
    hashes = {row["game_id"]: row["sha256"] for row in rows_of_csv("hashes.csv", root)}
    tables, games, others = [], [], []
    for row in rows_of_csv("source.csv", root):
        game_id, path = row["game_id"], published[int(row["source_index"])]
        scene = frames_of(path)
        if hash_of(scene) != hashes[game_id]:
            others.append(f"{game_id} ({path})")
        tables.append(table_of(game_id, path, scene))
        games.append(f"{game_id},,real,T1,T2,nba\n")
    if others:
        raise Refused(f"{len(others)} scenes are not those that were labelled: {', '.join(others)}")
    output.mkdir(parents=True, exist_ok=True)
    polars.concat(tables).write_parquet(output / "tracking.parquet")
    head = "game_id,date,season,home_team_id,away_team_id,court\n"
    (output / "games.csv").write_text(head + "".join(games))
    return len(games)


def hashes_of(tracking: Path) -> list[tuple[str, int, str]]:
    """Game, frames and hash of each scene of a converted file."""
    found = []
    table = polars.read_parquet(tracking).sort("game_id", "t_s", "player_id", nulls_last=False)
    for (game_id,), rows in table.group_by("game_id", maintain_order=True):
        mm = [(round(x * 1000), round(y * 1000)) for x, y in rows.select("x_m", "y_m").iter_rows()]
        scene = [mm[at : at + 11] for at in range(0, len(mm), 11)]
        found.append((game_id, len(scene), hash_of(scene)))
    return found


def main(arguments: list[str]) -> int:
    match arguments:
        case ["scenes", score, output]:
            try:
                print(f"{convert(Path(score), Path(output))} scenes, all as they were labelled")
            except Refused as refused:
                print(refused, file=sys.stderr)
                return 1
        case ["hashes", tracking]:
            print("game_id,frames,sha256")
            for row in hashes_of(Path(tracking)):
                print(*row, sep=",")
        case _:
            print(__doc__, file=sys.stderr)
            return 2
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
