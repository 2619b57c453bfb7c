"""Files that nobody should have to read end in a clear error, within memory and time, and reach out to nothing.

Each is read by a process of its own, which is told off by the system at its limits: 60 s of processor time, so that a
hang ends; the figures are in `tests/bench/bench_outline.py`. The process tells what it opened and whom it called.
"""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
from support.hostile import CASES, fifo

from jiggen.errors import JiggenError
from jiggen.outlines.model import Wish
from jiggen.outlines.read import read_outline

MOST_KIB = 500 * 1024
READ = """
import json, resource, sys
resource.setrlimit(resource.RLIMIT_CPU, (60, 60))
opened, called = [], []
def heard(event, arguments):
    if event == "open" and isinstance(arguments[0], str):
        opened.append(arguments[0])
    elif event.startswith(("socket.", "urllib.", "subprocess.", "os.system", "http.")) and event != "socket.__new__":
        called.append(event)
from pathlib import Path
import ezdxf.filemanagement  # reads settings and a list of fonts of its own where it is first imported
from jiggen.errors import JiggenError
from jiggen.outlines.model import Wish
from jiggen.outlines.read import read_outline
sys.addaudithook(heard)
try:
    read_outline(Path(sys.argv[1]), wish=Wish())
    said = "nothing"
except JiggenError as error:
    said = str(error)
roots = (sys.prefix, sys.base_prefix, *[each for each in sys.path if each])
outside = [each for each in opened if not each.startswith(roots)]
status = Path("/proc/self/status").read_text()  # what the system says of a child counts its parent in
peak = int(status.partition("VmHWM:")[2].split()[0])
print(json.dumps({"said": said, "outside": outside, "called": called, "peak": peak}))
"""


def read_apart(file: Path) -> dict[str, object]:
    done = subprocess.run(
        [sys.executable, "-c", READ, str(file)],
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
        env={**os.environ, "OPENBLAS_NUM_THREADS": "1"},
    )
    assert done.returncode == 0, done.stderr[-2000:]
    return json.loads(done.stdout)


@pytest.mark.parametrize(("name", "write", "sentence"), CASES, ids=[name for name, _, _ in CASES])
def test_it_is_refused_clearly_within_bounds_and_without_reaching_out(tmp_path, name, write, sentence):
    file = tmp_path / name
    write(file)
    found = read_apart(file)
    file.unlink()
    assert sentence in found["said"]
    assert name in found["said"]
    assert len(found["said"]) < 2000
    assert found["peak"] < MOST_KIB
    assert not found["called"]
    assert set(found["outside"]) <= {str(file)}


def test_a_document_type_elsewhere_is_not_fetched(tmp_path):
    file = tmp_path / "plain.svg"
    file.write_text(
        '<!DOCTYPE svg PUBLIC "-//W3C//DTD SVG 1.1//EN" "http://127.0.0.1:9/svg11.dtd">'
        '<svg xmlns="http://www.w3.org/2000/svg" width="9mm" height="9mm" viewBox="0 0 9 9"><circle r="3"/></svg>'
    )
    found = read_apart(file)
    assert found["said"] == "nothing"
    assert not found["called"]


@pytest.mark.parametrize(
    ("make", "sentence"),
    [
        (lambda file: None, "no such file"),
        (lambda file: file.mkdir(), "a folder"),
        (fifo, "a device or pipe"),
        (lambda file: file.symlink_to("/dev/zero"), "a device or pipe"),
        (lambda file: file.symlink_to(file), "cannot be opened"),
    ],
)
def test_what_is_no_file_is_told(tmp_path, make, sentence):
    file = tmp_path / "body.svg"
    make(file)
    with pytest.raises(JiggenError, match=r"body\.svg") as error:
        read_outline(file, wish=Wish())
    assert sentence in str(error.value)


@pytest.mark.parametrize(
    ("wish", "name"),
    [({"gap_mm": 0.0}, "gap"), ({"gap_mm": 9.0}, "gap"), ({"tolerance_mm": 1e-6}, "tolerance")],
)
def test_tolerances_out_of_reason_are_refused(tmp_path, wish, name):
    with pytest.raises(JiggenError, match=name):
        read_outline(tmp_path / "body.svg", wish=Wish(**wish))
