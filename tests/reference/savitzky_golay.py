"""Savitzky-Golay weights and filtered signals, by SciPy.

In: {"weights": [[half_width, order, derivative], ...], "signals": [{"samples": [...], "half_width": h, "order": o,
"hz": f}, ...]}. Out: {"weights": [[...], ...] by ascending sample, "signals": [{"value": [...], "slope": [...]}, ...]},
slopes a second, the ends from the polynomial of the first and last whole window.
"""

import json
import sys

from scipy.signal import savgol_coeffs, savgol_filter

question = json.load(sys.stdin)
weights = [
    savgol_coeffs(2 * half + 1, order, deriv=derivative, use="dot").tolist()
    for half, order, derivative in question["weights"]
]
signals = []
for signal in question["signals"]:
    window, order, hz = 2 * signal["half_width"] + 1, signal["order"], signal["hz"]
    value, slope = (
        savgol_filter(signal["samples"], window, order, deriv=derivative, delta=1 / hz, mode="interp").tolist()
        for derivative in (0, 1)
    )
    signals.append({"value": value, "slope": slope})
json.dump({"weights": weights, "signals": signals}, sys.stdout)
