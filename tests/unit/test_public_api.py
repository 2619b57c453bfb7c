"""The names that a script may use are those of the package itself."""

import subprocess
import sys
from pathlib import Path

import pytest

import jiggen


def test_every_public_name_is_there():
    for name in jiggen.__all__:
        assert getattr(jiggen, name) is not None


def test_a_name_that_is_not_public_is_refused():
    with pytest.raises(AttributeError, match="no attribute 'paint'"):
        _ = jiggen.paint


def test_a_script_makes_and_proves_a_design(tmp_path):
    wren = Path(__file__).parents[2] / "profiles" / "instruments" / "wren.toml"
    design = jiggen.load(wren)
    neck = jiggen.work_out(design)
    assert neck.layout.frets[11].distance == pytest.approx(314.0, abs=1e-9)
    made = jiggen.make(design, jiggen.Order(parts=("nut-rule",)), tmp_path)
    assert jiggen.prove(made.folder).ok


def test_importing_the_package_imports_nothing_heavy():
    heavy = "{'ezdxf', 'shapely', 'numpy', 'click', 'reportlab'}"
    code = f"import sys, jiggen; sys.exit(bool({heavy} & set(sys.modules)))"
    root = str(Path(__file__).parents[2])
    assert subprocess.run([sys.executable, "-c", code], check=False, env={"PYTHONPATH": root}).returncode == 0
