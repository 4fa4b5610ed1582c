"""Whether the report's first page names the habits that were planted in a practice season, and nothing else.

By hand: for each season

    scrim practice --season --habits planted --games 112 --seed S --noise 0.10 --output GAMES
    scrim run pipelines/nightly.toml --input GAMES --output TABLES

then `planted_habits.py SCRIM GAMES TABLES [GAMES TABLES ...]`, SCRIM being the program. Prints what each team's first page says, how many
planted habits are named, and how many findings are neither a planted habit nor what follows from it.
"""

import csv
import html.parser
import pathlib
import re
import subprocess
import sys
import tempfile


class Findings(html.parser.HTMLParser):
    """The text of each finding's sentence."""

    def __init__(self):
        super().__init__()
        self.found, self.inside, self.item, self.under = [], False, False, 0

    def handle_starttag(self, tag, attributes):
        attributes = dict(attributes)
        if tag == "section":
            self.inside = attributes.get("class") == "findings"
        if self.inside and tag == "li":
            self.item = True
            self.found.append("")
        if self.item and tag == "div":
            self.under += 1

    def handle_endtag(self, tag):
        if tag == "section":
            self.inside = False
        if tag == "li":
            self.item = False
        if self.item and tag == "div":
            self.under -= 1

    def handle_data(self, text):
        if self.inside and self.item and not self.under:
            self.found[-1] += text.replace("\u00a0", " ")


def names(games):
    """What each player is called, by id."""
    called = {}
    for path in sorted(games.glob("*/players.csv")):
        with path.open(encoding="utf-8", newline="") as file:
            called.update((row["player_id"], row["name"]) for row in csv.DictReader(file))
    return called


def more(text):
    """Whether the team's number, the first in the sentence, is above the league's, the last."""
    numbers = [float(number) for number in re.findall(r"(\d+(?:\.\d+)?) (?:%|m|s)(?![a-z])", text)]
    return len(numbers) >= 2 and numbers[0] > numbers[-1]


def judge(habit, players, text):
    """Whether the text names the habit, and whether it at least follows from it."""
    match habit:
        case "hedge_slipped":
            slips = "the screener slips" in text and text.startswith("When they") and more(text)
            # Slips of a hedge that the tables read as another coverage, and what the hedge then gives up.
            return slips and "When they hedge" in text, slips or text.startswith("When they hedge")
        case "late_after_rub_s":
            is_theirs = players[0] in text and "guarding the screener" in text and more(text)
            return is_theirs and "a rub screen" in text, is_theirs
        case "pair_flips":
            both = all(player in text for player in players)
            # The second screen of a flip is a ball screen out of another, by a screener who screens again; a missed flip is not used.
            follows = both or "another ball screen" in text or "screens again" in text
            return both and "flipped" in text and more(text), follows and more(text)
    raise SystemExit(f"no such habit: {habit}")


def main():
    scrim, *folders = sys.argv[1:]
    planted_count = named = findings_count = strange = 0
    for games, tables in zip(map(pathlib.Path, folders[::2]), folders[1::2], strict=True):
        with (games / "truth" / "planted.csv").open(encoding="utf-8", newline="") as file:
            planted = {row["team_id"]: row for row in csv.DictReader(file)}
        called = names(games)
        with (games / "truth" / "looks.csv").open(encoding="utf-8", newline="") as file:
            teams = sorted({row["team_id"] for row in csv.DictReader(file)})
        for team in teams:
            with tempfile.TemporaryDirectory() as folder:
                page = pathlib.Path(folder) / "report.html"
                subprocess.run([scrim, "report", "--quiet", "--tables", tables, "--team", team, "--output", page], check=True,
                               stdout=subprocess.DEVNULL)  # fmt: skip
                parser = Findings()
                parser.feed(page.read_text(encoding="utf-8"))
            row = planted.get(team)
            players = [called[player] for player in row["player_ids"].split()] if row else []
            judged = [judge(row["habit"], players, text) if row else (False, False) for text in parser.found]
            planted_count += row is not None
            named += any(is_it for is_it, _ in judged)
            findings_count += len(judged)
            strange += sum(not follows for _, follows in judged)
            for (is_it, follows), text in zip(judged, parser.found, strict=True):
                print(games.name, team, "planted" if is_it else "follows" if follows else "STRANGE", text)
            if row and not any(is_it for is_it, _ in judged):
                print(games.name, team, "MISSED", row["habit"], row["player_ids"])
    print(f"planted {planted_count}, named {named}; findings {findings_count}, neither planted nor following {strange}")


main()
