"""A report in a real browser.

In: {"page": path, "sheet": path of the players' sheet, "pdf": path of a PDF of the page, "axe": path of axe.min.js, "headings": [...], "texts": [...], "hostile": text that stands in a name}.
Out: {"problems": [text, ...], "plays": n, "axe_rules": n, "pages": {"A4": n, "Letter": n}}.
"""

import io
import json
import pathlib
import sys
import unicodedata

import pypdf
from browser import Browser

question = json.load(sys.stdin)
axe = pathlib.Path(question["axe"]).read_text(encoding="utf-8")
problems = []
out = {"problems": problems, "plays": 0, "axe_rules": 0, "pages": {}}
# Opens what is folded.
UNFOLD = "document.querySelectorAll('details').forEach((e) => { e.open = true; }); 0"
TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]


def expect(what, is_so):
    if not is_so:
        problems.append(what)


def squeezed(text):
    # A printer sets some letters as one: NFKC takes them apart.
    return "".join(unicodedata.normalize("NFKC", text).split())


def check_access(page, where):
    page.run(axe + ";0")
    result = page.run(f"axe.run(document, {{runOnly: {json.dumps(TAGS)}}}).then((r) => JSON.parse(JSON.stringify("
                      "{passes: r.passes.length, violations: r.violations.map((v) => ({id: v.id, impact: v.impact,"
                      " nodes: v.nodes.slice(0, 3).map((n) => n.html + ' ' + n.failureSummary)}))})))")  # fmt: skip
    out["axe_rules"] = max(out["axe_rules"], result["passes"])
    for violation in result["violations"]:
        if violation["impact"] in ("serious", "critical"):
            problems.append(f"{where}: axe {violation['id']} ({violation['impact']}): {violation['nodes']}")


def check_playback(page):
    moved = "document.querySelector('.player .stage g[transform]').getAttribute('transform')"
    instant = "document.querySelector('.player input').value"
    page.run("document.querySelector('.opener').click()")
    first = page.run(moved)
    expect("playback does not move", page.until(f"{moved} !== {json.dumps(first)}"))
    expect("playback does not run by itself", page.run("document.querySelector('.controls button').textContent") == "Pause")
    page.key(" ")
    expect("space does not pause", page.run("document.querySelector('.controls button').textContent") == "Play")
    at = int(page.run(instant))
    page.key("ArrowRight")
    expect("the right arrow is no step on", int(page.run(instant)) == at + 1)
    page.key("ArrowLeft")
    page.key("ArrowLeft")
    expect("the left arrow is no step back", int(page.run(instant)) == at - 1)
    page.key("Home")
    expect("Home is not the beginning", page.run(instant) == "0")
    page.key("End")
    expect("End is not the end", page.run(f"{instant} === document.querySelector('.player input').max"))
    page.run("(() => { const s = document.querySelector('.player input'); s.value = 5; s.dispatchEvent(new Event('input')); })()")
    expect("scrubbing moves nobody", page.run(instant) == "5")
    page.key("h", "h")
    expect("H is not half speed", page.run("document.querySelector('.controls [aria-pressed]').ariaPressed") == "true")
    count = page.run("document.querySelectorAll('.tags li').length")
    expect("no tag in playback", count > 0)
    page.run("document.querySelector('.tags li:last-child button').click()")
    expect("the last tag is not current at its instant", page.run("document.querySelector('.tags li:last-child').getAttribute('aria-current')") == "step")
    check_access(page, "playback")
    page.run("document.querySelector('.player input').focus()")
    page.key("Escape")
    expect("Escape does not close", page.run("document.querySelector('.player') === null"))
    expect("the focus is lost on closing", page.run("document.activeElement.className") == "opener")


def check_contents(page):
    """A link of the contents to a folded section opens it, by mouse and by key, and a second time; one to an open section opens none."""
    count = "document.querySelectorAll('details[open]').length"
    folded = page.run("[...document.querySelectorAll('nav a')].filter((a) => document.querySelector(a.hash).closest('details')).map((a) => a.hash)")
    expect("no folded section in the contents", folded)
    expect("a section is open before anyone asks", page.run(count) == 0)
    for place, link in enumerate(folded):
        page.run(f"document.querySelector('nav a[href=\"{link}\"]').focus()")
        page.key("Enter", "\r")
        expect(f"{link} stays shut", page.run(f"document.querySelector('{link}').closest('details').open"))
        expect(f"{link} opens another", page.run(count) == place + 1)
    again = folded[-1]
    page.run(f"document.querySelector('{again}').closest('details').open = false")
    page.run(f"document.querySelector('nav a[href=\"{again}\"]').click()")
    expect(f"{again} opens only once", page.run(f"document.querySelector('{again}').closest('details').open"))


def check_width(page, where, width):
    found = page.run("document.documentElement.scrollWidth")
    expect(f"{where}: {found} px wide in {width}", found <= width)
    # No box stands out on the right, hidden or not.
    wide = page.run(f"[...document.querySelectorAll('body *')].filter((e) => e.getBoundingClientRect().right > {width} + 1"
                    " && !e.closest('svg')).map((e) => e.outerHTML.slice(0, 80)).slice(0, 3)")  # fmt: skip
    expect(f"{where}: stands out: {wide}", not wide)


with Browser() as browser:
    page = browser.page()
    for scheme in ("light", "dark"):
        page.media(scheme)
        page.size(1280, 900)
        page.open(question["page"])
        check_access(page, scheme)
        page.run(UNFOLD)
        check_access(page, scheme + ", unfolded")
    out["plays"] = page.run("document.querySelectorAll('.opener').length")
    expect("a figure without playback", out["plays"] == page.run("document.querySelectorAll('figure[data-play]').length") > 0)
    expect("a name became an element", page.run("document.querySelectorAll('script').length") == 3)
    expect("the hostile name is not on the page", question["hostile"] in page.run("document.body.textContent"))
    expect("a hostile name ran", page.run("window.hostile === undefined"))
    page.media("light")
    page.open(question["page"])
    check_contents(page)
    page.open(question["page"])
    check_playback(page)
    whole = page.run("document.querySelector('main').innerText")

    page.media("light", motion="reduce")
    page.open(question["page"])
    page.run("document.querySelector('.opener').click()")
    expect("playback runs by itself against the reader's wish", page.run("document.querySelector('.controls button').textContent") == "Play")

    page.media("light")
    page.size(390, 844, mobile=True)
    page.open(question["page"])
    check_width(page, "phone", 390)
    page.run("document.querySelector('.opener').click()")
    check_width(page, "phone with playback", 390)
    check_access(page, "phone")

    # Without scripts: all text but the openers', all drawings.
    page.size(1280, 900)
    drawings = page.run("document.querySelectorAll('.frame svg').length")
    page.scripts(False)
    page.open(question["page"])
    page.scripts(True)
    bare = page.run("document.querySelector('main').innerText")
    everything = squeezed(page.run("document.body.textContent"))
    expect("an opener without scripts", page.run("document.querySelectorAll('.opener').length") == 0)
    expect("text is missing without scripts", squeezed(bare) == squeezed(whole.replace("Play the real tracks", "")))
    expect("drawings are missing without scripts", page.run("document.querySelectorAll('.frame svg').length") == drawings > 0)

    # What the program prints is the page, not its source.
    printed = pypdf.PdfReader(question["pdf"])
    first = squeezed(printed.pages[0].extract_text())
    expect(f"a PDF of {len(printed.pages)} pages begins {first[:80]!r}", len(printed.pages) <= 6 and first.startswith("Ball-screenreport"))
    # On paper: as it is, six pages; with all that is folded, everything.
    folded = len(pypdf.PdfReader(io.BytesIO(page.pdf(paperWidth=8.27, paperHeight=11.69, printBackground=False))).pages)
    expect(f"{folded} pages before anything is unfolded", folded <= 6)
    page.run(UNFOLD)
    for name, width, height in (("A4", 8.27, 11.69), ("Letter", 8.5, 11.0)):
        reader = pypdf.PdfReader(io.BytesIO(page.pdf(paperWidth=width, paperHeight=height, printBackground=False)))
        out["pages"][name] = len(reader.pages)
        expect(f"{name}: {len(reader.pages)} pages", 2 <= len(reader.pages) <= 24)
        printed = squeezed("".join(sheet.extract_text() for sheet in reader.pages))
        first = squeezed(reader.pages[0].extract_text())
        apart = page.run("[...document.querySelectorAll('.findings h2, .findings > *, .brief h2, .brief li')].map((e) => e.textContent)")
        later = [text for text in apart if squeezed(text) not in first]
        expect(f"{name}: not on the first sheet: {later[:3]}", apart and not later)
        cells = page.run("[...document.querySelectorAll('main h2, main h3, main h4, caption, .frame .moment, tbody th, td .main, td .count, .brief li')].map((e) => e.textContent)")
        lost = [cell for cell in cells if squeezed(cell) not in printed]
        expect(f"{name}: not on paper: {lost[:5]} ({len(lost)} of {len(cells)})", not lost)
        # What the paper's width leaves must hold everything: 13 mm of margin on either side, at 96 px an inch.
        inside = int((width - 2 * 13 / 25.4) * 96)
        page.media("light", media="print")
        page.size(inside, 1000)
        check_width(page, f"{name} sheet", inside)
        page.media("light")
        page.size(1280, 900)
    # The players' sheet: one page, readable on a phone.
    page.open(question["sheet"])
    check_access(page, "players' sheet")
    pictures = page.run("[...document.querySelectorAll('.rules li')].map(rule => rule.querySelectorAll('svg.court').length)")
    expect(f"pictures of three rules: {pictures}", len(pictures) == 3 and all(1 <= n <= 2 for n in pictures))
    for name, width, height in (("A4", 8.27, 11.69), ("Letter", 8.5, 11.0)):
        reader = pypdf.PdfReader(io.BytesIO(page.pdf(paperWidth=width, paperHeight=height, printBackground=False)))
        expect(f"players' sheet on {name}: {len(reader.pages)} pages", len(reader.pages) == 1)
    page.size(390, 844, mobile=True)
    page.open(question["sheet"])
    check_width(page, "players' sheet on a phone", 390)
    page.size(1280, 900)

    for text in question["headings"]:
        expect(f"not on the page: {text}", squeezed(text) in squeezed(bare))
    # Folded or not.
    for text in question["texts"]:
        expect(f"not on the page: {text}", squeezed(text) in everything)

    for error in page.events("Runtime.exceptionThrown"):
        problems.append(f"exception: {error['exceptionDetails'].get('text')} {error['exceptionDetails'].get('exception', {}).get('description')}")
    for entry in page.events("Log.entryAdded") + page.events("Runtime.consoleAPICalled"):
        problems.append(f"console: {json.dumps(entry)[:300]}")
    asked = {request["request"]["url"].split(":")[0] for request in page.events("Network.requestWillBeSent")}
    expect(f"asked the network: {asked}", asked <= {"file", "data"})

json.dump(out, sys.stdout)
