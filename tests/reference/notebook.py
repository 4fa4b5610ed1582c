"""Executes a notebook of notebooks/ cell by cell, as a reader would, and answers what it calls `results`.

In: {"notebook": path, "package": folder with the Python package, "environment": {name: value}}. Out: results.
"""

import copy
import json
import os
import re
import sys
import tempfile

import nbformat
from nbclient import NotebookClient

# Places of somebody's machine have no business in what is published.
MACHINE_PATH = re.compile(r"/(?:tmp|home|root|work|Users|var/folders)/")


def check_committed(notebook, path):
    """A committed notebook was executed from top to bottom without an error, and names no place of a machine."""
    cells = [cell for cell in notebook.cells if cell.cell_type == "code"]
    counts = [cell.execution_count for cell in cells]
    assert counts == list(range(1, len(cells) + 1)), f"{path}: cells were not executed in order: {counts}"
    for cell in cells:
        errors = [output for output in cell.outputs if output.output_type in ("error", "stream")]
        assert not errors, f"{path}, cell {cell.id}: {errors}"
    data = [output.data for cell in cells for output in cell.outputs]
    assert any("image/png" in shown for shown in data), f"{path}: no plot"
    texts = [cell.source for cell in notebook.cells]
    texts += [str(text) for shown in data for kind, text in shown.items() if not kind.startswith("image/")]
    found = [text for text in texts if MACHINE_PATH.search(text)]
    assert not found, f"{path}: places of a machine: {found}"


def main():
    question = json.load(sys.stdin)
    notebook = nbformat.read(question["notebook"], as_version=4)
    nbformat.validate(notebook)
    check_committed(notebook, question["notebook"])
    asked = copy.deepcopy(notebook)
    asked.cells.append(nbformat.v4.new_code_cell("import json\nprint(json.dumps(results, default=lambda value: value.item()))"))
    with tempfile.TemporaryDirectory() as folder:
        os.environ.update(question["environment"])
        os.environ["PYTHONPATH"] = question["package"]
        # The kernel's and the libraries' own files: none in anybody's home.
        for name in ("IPYTHONDIR", "JUPYTER_RUNTIME_DIR", "JUPYTER_CONFIG_DIR", "JUPYTER_DATA_DIR", "MPLCONFIGDIR"):
            os.environ[name] = folder
        NotebookClient(asked, timeout=600, kernel_name="python3", resources={"metadata": {"path": folder}}).execute()
    print(asked.cells[-1].outputs[0].text)


if __name__ == "__main__":
    main()
