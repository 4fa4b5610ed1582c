"""A headless Chromium, driven over its DevTools protocol."""

import base64
import itertools
import json
import os
import pathlib
import shutil
import subprocess
import tempfile
import time

import websocket


class Browser:
    """Starts a browser with a profile of its own; `with` ends it."""

    def __init__(self):
        program = os.environ.get("SCRIM_CHROMIUM") or shutil.which("chromium") or shutil.which("chromium-browser")
        if program is None:
            raise SystemExit("no chromium: run tests/run, which installs it, or name one in SCRIM_CHROMIUM")
        self.folder = tempfile.TemporaryDirectory(prefix="scrim-browser-")
        options = ["--headless=new", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage", "--hide-scrollbars",
                   "--no-first-run", "--disable-extensions", "--disable-background-networking", "--disable-sync",
                   "--force-color-profile=srgb", "--remote-debugging-port=0", f"--user-data-dir={self.folder.name}"]  # fmt: skip
        self.process = subprocess.Popen(
            [program, *options, "about:blank"], stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
        )
        port_file = pathlib.Path(self.folder.name, "DevToolsActivePort")
        # The machine may be busy: this waits for the browser, it measures nothing.
        for _ in range(1200):
            if port_file.exists() and len(port_file.read_text().splitlines()) == 2:
                break
            if self.process.poll() is not None:
                raise SystemExit(f"chromium ended with {self.process.returncode}")
            time.sleep(0.1)
        else:
            raise SystemExit("chromium did not start within two minutes")
        port, path = port_file.read_text().split()
        self.socket = websocket.create_connection(f"ws://127.0.0.1:{port}{path}", suppress_origin=True, timeout=300)
        self.numbers = itertools.count(1)
        self.events = []

    def __enter__(self):
        return self

    def __exit__(self, *_):
        try:
            self.call("Browser.close")
            self.process.wait(30)
        except (OSError, websocket.WebSocketException, subprocess.TimeoutExpired):
            self.process.kill()
            self.process.wait()
        self.socket.close()
        self.folder.cleanup()

    def call(self, method, session=None, **parameters):
        number = next(self.numbers)
        message = {"id": number, "method": method, "params": parameters}
        if session is not None:
            message["sessionId"] = session
        self.socket.send(json.dumps(message))
        while True:
            answer = json.loads(self.socket.recv())
            if answer.get("id") == number:
                if "error" in answer:
                    raise RuntimeError(f"{method}: {answer['error']['message']}")
                return answer["result"]
            self.events.append(answer)

    def page(self):
        return Page(self)


class Page:
    """One tab."""

    def __init__(self, browser):
        self.browser = browser
        target = browser.call("Target.createTarget", url="about:blank")["targetId"]
        self.session = browser.call("Target.attachToTarget", targetId=target, flatten=True)["sessionId"]
        for domain in ("Page", "Runtime", "Log", "Network"):
            self.call(f"{domain}.enable")

    def call(self, method, **parameters):
        return self.browser.call(method, self.session, **parameters)

    def events(self, method):
        ours = [e for e in self.browser.events if e.get("sessionId") == self.session]
        return [e["params"] for e in ours if e.get("method") == method]

    def size(self, width, height, mobile=False):
        self.call("Emulation.setDeviceMetricsOverride", width=width, height=height, deviceScaleFactor=1, mobile=mobile)

    def media(self, scheme="light", media="", motion="no-preference"):
        features = [{"name": "prefers-color-scheme", "value": scheme}, {"name": "prefers-reduced-motion", "value": motion}]
        self.call("Emulation.setEmulatedMedia", media=media, features=features)

    def scripts(self, allowed):
        self.call("Emulation.setScriptExecutionDisabled", value=not allowed)

    def open(self, path):
        before = len(self.events("Page.loadEventFired"))
        self.call("Page.navigate", url=pathlib.Path(path).resolve().as_uri())
        while len(self.events("Page.loadEventFired")) == before:
            time.sleep(0.02)
            self.call("Runtime.evaluate", expression="0")

    def run(self, expression):
        answer = self.call("Runtime.evaluate", expression=expression, returnByValue=True, awaitPromise=True)
        if "exceptionDetails" in answer:
            raise RuntimeError(answer["exceptionDetails"].get("exception", {}).get("description", "script failed"))
        return answer["result"].get("value")

    def key(self, key, text=None):
        codes = {" ": 32, "ArrowLeft": 37, "ArrowRight": 39, "Escape": 27, "Home": 36, "End": 35, "Tab": 9, "Enter": 13, "h": 72}
        shared = {"key": key, "windowsVirtualKeyCode": codes[key], "code": {" ": "Space", "h": "KeyH"}.get(key, key)}
        self.call("Input.dispatchKeyEvent", type="keyDown", **shared, **({"text": text} if text else {}))
        self.call("Input.dispatchKeyEvent", type="keyUp", **shared)

    def pdf(self, **parameters):
        return base64.b64decode(self.call("Page.printToPDF", preferCSSPageSize=False, **parameters)["data"])

    def picture(self, path, whole=False):
        data = self.call("Page.captureScreenshot", format="png", captureBeyondViewport=whole)["data"]
        pathlib.Path(path).write_bytes(base64.b64decode(data))

    def until(self, expression, seconds=60):
        """Waits until a script says so; the limit is for a page that never will."""
        end = time.monotonic() + seconds
        while time.monotonic() < end:
            if self.run(expression):
                return True
            time.sleep(0.05)
        return False
