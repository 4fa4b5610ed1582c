"""The page of `scrim review` in a real browser, by keyboard alone.

In: {"url": address, "axe": path of axe.min.js or null, "looks": whether the page itself is looked at first, "say": [{"keys": [key, ...],
"ends": whether these end a clip}, ...], "then": null, or {"kill": process or null}: after all, R is pressed until it cannot be saved, the process
killed first; the page must say so and stay}.
Out: {"problems": [text, ...], "axe_rules": n, "reaction_ms": [ms of each key, until the page has changed], "keys": n, "count": text}.
"""

import json
import os
import pathlib
import signal
import sys
import time

from browser import Browser

question = json.load(sys.stdin)
problems = []
out = {"problems": problems, "axe_rules": 0, "reaction_ms": [], "keys": 0, "count": ""}
TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
# When the page last changed after a key, by its own clock: what a person could see of it. The floor moves by itself and does not count.
WATCH = """
window.watched = { at: 0, changed: 0 };
new MutationObserver((all) => {
  const isSeen = (one) => !(one.target.parentElement ?? one.target).closest("#stage, #now, #scrub");
  if (watched.changed === 0 && all.some(isSeen)) watched.changed = performance.now();
}).observe(document.querySelector("main"), { subtree: true, childList: true, attributes: true, characterData: true });
document.addEventListener("keydown", () => { watched.at = performance.now(); watched.changed = 0; }, true);
0"""


def expect(what, is_so):
    if not is_so:
        problems.append(what)


def check_access(page, where):
    page.run(pathlib.Path(question["axe"]).read_text(encoding="utf-8") + ";0")
    result = page.run(f"axe.run(document, {{runOnly: {json.dumps(TAGS)}}}).then((r) => JSON.parse(JSON.stringify("
                      "{passes: r.passes.length, violations: r.violations.map((v) => ({id: v.id, impact: v.impact,"
                      " nodes: v.nodes.slice(0, 3).map((n) => n.html + ' ' + n.failureSummary)}))})))")  # fmt: skip
    out["axe_rules"] = max(out["axe_rules"], result["passes"])
    for violation in result["violations"]:
        problems.append(f"{where}: axe {violation['id']} ({violation['impact']}): {violation['nodes']}")


def press(page, key):
    named = {" ": (32, "Space"), "Enter": (13, "Enter"), "Escape": (27, "Escape"), "ArrowLeft": (37, "ArrowLeft"),
             "ArrowRight": (39, "ArrowRight"), "Tab": (9, "Tab")}  # fmt: skip
    code, name = named.get(key, (ord(key.upper()), None) if len(key) == 1 else (0, key))
    shared = {"key": key, "windowsVirtualKeyCode": code, **({"code": name} if name else {})}
    text = {"Enter": "\r"}.get(key, key if len(key) == 1 else None)
    page.call("Input.dispatchKeyEvent", type="keyDown", **shared, **({"text": text} if text else {}))
    page.call("Input.dispatchKeyEvent", type="keyUp", **shared)
    out["keys"] += 1


def answer(page, key):
    """A key that must change the page."""
    press(page, key)
    if not page.until("watched.at > 0 && watched.changed > 0", 10):
        problems.append(f"nothing changes at the key {key}")
        return
    # The change may come in parts: wait until nothing is on its way.
    out["reaction_ms"].append(page.run("watched.changed - watched.at"))
    time.sleep(0.05)


def text(page, selector):
    return page.run(f"document.querySelector({json.dumps(selector)}).innerText")


def focus_is_seen(page):
    return page.run("document.activeElement !== document.body && document.activeElement.matches(':focus-visible')")


def look(page):
    """What the page is before anything is answered; leaves it as it was."""
    moved = "document.querySelector('#stage g[transform]').getAttribute('transform')"
    first = page.run(moved)
    expect("the players do not move by themselves", page.until(f"{moved} !== {json.dumps(first)}", 10))
    press(page, " ")
    instant = page.run("document.querySelector('#scrub').value")
    time.sleep(0.3)
    expect("Space does not pause", page.run("document.querySelector('#scrub').value") == instant)
    press(page, "ArrowRight")
    expect("the right arrow is no step on", page.run("document.querySelector('#scrub').value") == str(int(instant) + 1))
    press(page, "ArrowLeft")
    expect("the left arrow is no step back", page.run("document.querySelector('#scrub').value") == instant)
    press(page, "s")
    expect("S is not slower", "0.5" in text(page, "[data-do=slower]"))
    press(page, "s")
    press(page, "s")
    press(page, "p")
    expect("P does not play again", page.until("Number(document.querySelector('#scrub').value) < 15", 5))
    press(page, " ")
    numbers = page.run("[...document.querySelectorAll('#stage text')].map((e) => e.textContent).filter((t) => t !== '').length")
    expect(f"{numbers} players have a number", numbers == 10)
    # The two that the clip is about differ from the others, and from each other, by shape.
    expect("no mark of the two", page.run("document.querySelectorAll('#stage circle[r=\"8.8\"]').length") == 2)
    expect("the two marks are alike", page.run("document.querySelectorAll('#stage circle[stroke-dasharray]').length") == 1)
    for scheme in ("light", "dark"):
        page.media(scheme)
        check_access(page, scheme)
    page.media("light")
    press(page, "9")
    check_access(page, "choosing")
    below = page.run("document.querySelector('#chooser').getBoundingClientRect().bottom")
    expect(f"the longest list of words ends at {below} of 900 px", below <= 900)
    expect("no letter for each word", page.run("document.querySelectorAll('#choices button').length") == 27)
    press(page, "Escape")
    expect("Escape does not leave", page.run("document.querySelector('#chooser').hidden"))
    # By Tab alone every control can be reached, and it is seen where one is.
    reached = set()
    for _ in range(60):
        press(page, "Tab")
        if page.run("document.activeElement === document.body"):
            break
        expect(f"the focus is not seen: {page.run('document.activeElement.outerHTML')[:80]}", focus_is_seen(page))
        reached.add(page.run("document.activeElement.innerText || document.activeElement.id"))
    controls = page.run("[...document.querySelectorAll('button, input')].filter((e) => !e.disabled && e.offsetParent !== null).map((e) => e.innerText || e.id)")
    expect(f"not reached by Tab: {set(controls) - reached}", set(controls) <= reached)
    # Single keys can be switched off (WCAG 2.1.4), and on again.
    page.run("document.querySelector('#keys-on').focus()")
    press(page, "Enter")
    press(page, "n")
    time.sleep(0.3)
    expect("a key answers though keys are off", page.run("fetch('state').then((r) => r.json()).then((s) => s.lines)") == 0)
    press(page, "Enter")
    # Everything fits a narrow window.
    page.size(390, 844, mobile=True)
    width = page.run("document.documentElement.scrollWidth")
    expect(f"{width} px wide in 390", width <= 390)
    page.size(1280, 900)
    page.run("document.querySelector('#which').focus()")


def refuse(page, process):
    if process is not None:
        os.kill(process, signal.SIGKILL)
    for _ in range(3):
        before = [text(page, selector) for selector in ("#count", "#which", "#says")]
        press(page, "r")
        if page.until("!document.querySelector('#trouble').hidden", 3):
            break
    else:
        problems.append("the page never says that nothing is saved")
        return
    expect(f"not reported: {text(page, '#trouble')}", text(page, "#trouble").startswith("NOT SAVED"))
    time.sleep(0.3)
    after = [text(page, selector) for selector in ("#count", "#which", "#says")]
    expect(f"the page went on: {before} and {after}", before == after)


with Browser() as browser:
    page = browser.page()
    page.size(1280, 900)
    page.media("light")
    page.call("Page.navigate", url=question["url"])
    ready = page.until("document.querySelector('#lines button') !== null || document.querySelector('#end')?.hidden === false", 30)
    expect("the page shows no clip", ready)
    if question["looks"]:
        look(page)
    page.run(WATCH)
    out["keys"] = 0
    for clip in question["say"]:
        before = text(page, "#count")
        for key in clip["keys"]:
            answer(page, key)
        expect(f"{clip}: {text(page, '#trouble')}", page.run("document.querySelector('#trouble').hidden"))
        if clip["ends"]:
            changed = f"document.querySelector('#count').innerText !== {json.dumps(before)}"
            expect(f"{clip} does not end the clip", page.until(changed, 10))
    if question["then"] is not None:
        refuse(page, question["then"]["kill"])
    out["count"] = text(page, "#count")
    if question["looks"]:
        expect("the next clip is not announced", "Clip " in page.run("document.querySelector('#said').textContent"))
    requests = [e["request"]["url"] for e in page.events("Network.requestWillBeSent")]
    origin = question["url"].split("/")[2]
    strangers = [url for url in requests if url.split("/")[2:3] != [origin] and not url.startswith("data:")]
    expect(f"asked elsewhere: {strangers[:3]}", not strangers)
    entries = [e["entry"].get("text", "") for e in page.events("Log.entryAdded")]
    # What cannot be saved is on the console, too: the browser puts it there.
    expect(f"on the console: {entries[:3]}", not entries or question["then"] is not None)
    expect("a script failed", not page.events("Runtime.exceptionThrown"))

json.dump(out, sys.stdout)
