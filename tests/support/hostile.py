"""Files that nobody should have to read: each ends in a clear error, soon, without much memory, and reaches out to nothing."""

import gzip
import math
import os
from collections.abc import Callable
from pathlib import Path

import ezdxf
from support.outlines import dxf_bytes, svg

#: What a file is called, what writes it, and what its error says.
Case = tuple[str, Callable[[Path], None], str]


def _text(text: Callable[[], str]) -> Callable[[Path], None]:
    return lambda file: file.write_text(text(), encoding="utf-8") and None


def _bytes(data: Callable[[], bytes]) -> Callable[[Path], None]:
    return lambda file: file.write_bytes(data()) and None


def _sparse(start: bytes, size: int) -> Callable[[Path], None]:
    def write(file: Path) -> None:
        with file.open("wb") as stream:
            stream.write(start)
            stream.truncate(size)

    return write


def _laughs() -> str:
    entities = "".join(f'<!ENTITY l{level} "{f"&l{level - 1};" * 10}">' for level in range(1, 12))
    return f'<!DOCTYPE svg [<!ENTITY l0 "lol">{entities}]>' + svg("<text>&l11;</text>")


def _use_bomb() -> str:
    levels = "".join(
        f'<g id="g{level}">{f"""<use href="#g{level - 1}"/>""" * 10}</g>' for level in range(1, 12)
    )
    return svg(f'<defs><circle id="g0" r="3"/>{levels}</defs><use href="#g11"/>')


def _use_chain() -> str:
    links = "".join(f'<g id="g{level}"><use href="#g{level - 1}"/></g>' for level in range(1, 3000))
    return svg(f'<defs><circle id="g0" r="3"/>{links}</defs><use href="#g2999"/>')


def _many_points(count: int) -> str:
    return svg(f'<polyline points="{"1 2 " * count}"/>')


def _zigzag(count: int) -> str:
    sides = " ".join(f"{0.001 * step} 0 {100 + 0.001 * step} 100" for step in range(count // 2))
    return svg(f'<polygon points="{sides} 300 300"/>')


def _meander(count: int) -> str:
    rows = " ".join(
        f"{0.001 * step} 0 {0.001 * step} 100 {0.001 * step + 0.0005} 100 {0.001 * step + 0.0005} 0"
        for step in range(count // 4)
    )
    return svg(f'<path d="M{rows} 0 -5 z"/>')


def _wild(count: int) -> str:
    places = " ".join(f"{step * step * 7919 % 4001}" for step in range(6 * count))
    return svg(f'<path d="M0 0C{places}z"/>', 'width="4000mm" viewBox="0 0 4000 4000"')


def _ellipses(count: int) -> str:
    body = "".join(f'<ellipse rx="{2000 + step}" ry="{900 + step}"/>' for step in range(count))
    return svg(body, 'width="4000mm" viewBox="0 0 4000 4000"')


def _rings(count: int) -> str:
    return svg("".join(f'<circle r="{200 + step * 0.1}"/>' for step in range(count)))


def _lines(count: int) -> str:
    return svg(
        "".join(f'<path d="M{step % 97} {step % 89}L{step % 83 + 1} {step % 79}"/>' for step in range(count))
    )


def _inserts(levels: int, each: int, *, loop: bool = False) -> bytes:
    document = ezdxf.new("R2000", units=4)
    for level in range(levels):
        block = document.blocks.new(f"b{level}")
        for _ in range(each):
            if level:
                block.add_blockref(f"b{level - 1}", (0, 0))
            else:
                block.add_line((0, 0), (1, 1))
    if loop:
        document.blocks.get("b0").add_blockref(f"b{levels - 1}", (1, 1))
    document.modelspace().add_blockref(f"b{levels - 1}", (0, 0))
    return dxf_bytes(document)


def _array(rows: int, nested: int) -> bytes:
    document = ezdxf.new("R2000", units=4)
    document.blocks.new("b0")
    for level in range(nested):
        insert = document.blocks.new(f"b{level + 1}").add_blockref(f"b{level}", (0, 0))
        insert.dxf.row_count = insert.dxf.column_count = rows
        insert.dxf.row_spacing = insert.dxf.column_spacing = 1
    document.modelspace().add_blockref(f"b{nested}", (0, 0))
    return dxf_bytes(document)


def _plain_dxf(entities: str) -> str:
    return (
        "0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n4\n0\nENDSEC\n"
        f"0\nSECTION\n2\nENTITIES\n{entities}0\nENDSEC\n0\nEOF\n"
    )


def _dxf_lines(count: int) -> str:
    return _plain_dxf(
        "".join(f"0\nLINE\n8\n0\n10\n{step}\n20\n0\n11\n{step}.5\n21\n3\n" for step in range(count))
    )


def _dxf_polyline(count: int) -> str:
    vertices = "".join(f"10\n{step % 997}\n20\n{step % 991}\n" for step in range(count))
    return _plain_dxf(
        f"0\nLWPOLYLINE\n8\n0\n100\nAcDbEntity\n100\nAcDbPolyline\n90\n{count}\n70\n1\n{vertices}"
    )


def _spline(count: int, degree: int = 3) -> bytes:
    document = ezdxf.new("R2000", units=4)
    places = [(100 * math.cos(step * 0.01), 100 * math.sin(step * 0.01)) for step in range(count)]
    document.modelspace().add_open_spline(places, degree=degree)
    return dxf_bytes(document)


def _binary() -> bytes:
    document = ezdxf.new("R2000", units=4)
    document.modelspace().add_circle((0, 0), 9)
    return dxf_bytes(document, binary=True)


CASES: tuple[Case, ...] = (
    ("entities.svg", _text(_laughs), "a document type that declares something"),
    (
        "external.svg",
        _text(lambda: '<!DOCTYPE svg [<!ENTITY x SYSTEM "file:///etc/passwd">]>' + svg("<text>&x;</text>")),
        "a document type that declares something",
    ),
    (
        "parameter.svg",
        _text(lambda: '<!DOCTYPE svg [<!ENTITY % x SYSTEM "http://127.0.0.1:9/x"> %x;]>' + svg("")),
        "a document type that declares something",
    ),
    ("deep.svg", _text(lambda: svg("<g>" * 200_000 + "</g>" * 200_000)), "elements 100 deep"),
    ("unclosed.svg", _text(lambda: svg("<g>" * 200_000)), "elements 100 deep"),
    ("elements.svg", _text(lambda: svg("<g/>" * 400_000)), "at most 50000"),
    ("gigabyte.svg", _sparse(b'<svg xmlns="http://www.w3.org/2000/svg" id="', 1 << 30), "at most 20000000"),
    ("attribute.svg", _text(lambda: svg(f'<g id="{"x" * 19_000_000}"/>')), "nothing that is drawn"),
    ("path.svg", _text(lambda: svg(f'<path d="M0 0{"h1v1" * 4_000_000}"/>')), "characters of path data"),
    ("ten-million-points.svg", _text(lambda: _many_points(10_000_000)), "at most 20000000"),
    ("curves.svg", _text(lambda: svg(f'<path d="M0 0{"h1v1" * 200_000}"/>')), "for more than 10000 lines and curves"),
    ("digits.svg", _text(lambda: svg(f'<path d="M0 0L{"9" * 1_000_000} 5"/>')), "numbers that a drawing could have"),
    ("transform.svg", _text(lambda: svg(f'<g transform="scale({"1.1" * 3000}x)"><circle r="3"/></g>')), "got transform"),
    ("transforms.svg", _text(lambda: svg(f'<g transform="{"scale(2)" * 2000}"><circle r="3"/></g>')), "got transform"),
    ("scales.svg", _text(lambda: svg('<g transform="scale(1e9)">' * 40 + '<circle r="3"/>' + "</g>" * 40)), "expected"),
    ("use-loop.svg", _text(lambda: svg('<g id="a"><use href="#b"/></g><g id="b"><use href="#a"/></g>')), "in use within itself"),
    ("use-bomb.svg", _text(_use_bomb), "more than 10000 lines and curves"),
    ("use-chain.svg", _text(_use_chain), "elements 100 deep"),
    ("zigzag.svg", _text(lambda: _zigzag(9_900)), "expected"),
    ("meander.svg", _text(lambda: _meander(9_900)), "expected"),
    ("few-curves.svg", _text(lambda: svg(f'<path d="M0 0{"h1v1" * 30_000}"/>')), "more than 10000 lines and curves"),
    ("rings.svg", _text(lambda: _rings(1000)), "at most 200"),
    ("lines.svg", _text(lambda: _lines(9_000)), "expected"),
    ("planet.svg", _text(lambda: svg('<circle r="6378e6"/>', 'width="100" height="100"')), "numbers that a drawing could have"),
    ("county.svg", _text(lambda: svg('<ellipse rx="50000" ry="20"/>')), "a drawing of 100.0 m"),
    ("wild.svg", _text(lambda: _wild(9_000)), "steps to follow"),
    ("ellipses.svg", _text(lambda: _ellipses(190)), "steps to follow"),
    ("cut-short.svg", _text(lambda: svg('<circle r="3"/>')[:-9]), "well-formed XML to its end"),
    ("latin.svg", _bytes(lambda: b'<?xml version="1.0" encoding="x-none"?><svg/>'), "unknown encoding"),
    ("compressed.svg", _bytes(lambda: gzip.compress(b" " * 50_000_000)), "a compressed file"),
    ("noise.svg", _bytes(lambda: bytes(range(256)) * 1000), "something that starts with"),
    ("noise.dxf", _bytes(lambda: bytes(range(256)) * 1000), "something that starts with"),
    ("noise.csv", _bytes(lambda: bytes(range(256)) * 1000), "something that starts with"),
    ("empty.svg", _text(lambda: " \n"), "an empty file"),
    ("page.svg", _text(lambda: "<!DOCTYPE html><html></html>"), "an SVG file"),
    ("drawing.dxf", _text(lambda: "%PDF-1.7"), "a PDF"),
    ("block-loop.dxf", _bytes(lambda: _inserts(3, 1, loop=True)), "an INSERT of itself"),
    ("block-bomb.dxf", _bytes(lambda: _inserts(11, 10)), "more than 10000 lines and curves"),
    ("block-chain.dxf", _bytes(lambda: _inserts(900, 1)), "blocks 50 deep"),
    ("array.dxf", _bytes(lambda: _array(30_000, 1)), "an INSERT of 30000 × 30000"),
    ("arrays.dxf", _bytes(lambda: _array(200, 5)), "those in blocks counted each time"),
    ("lines.dxf", _text(lambda: _dxf_lines(100_000)), "at most 25000"),
    ("many-lines.dxf", _text(lambda: _dxf_lines(24_000)), "more than 10000 lines and curves"),
    ("polyline.dxf", _text(lambda: _dxf_polyline(100_000)), "at most 10000 can be read"),
    ("ten-million-points.dxf", _text(lambda: _dxf_polyline(3_000_000)), "at most"),
    ("spline.dxf", _bytes(lambda: _spline(20_000)), "at most 1500 can be read"),
    ("degree.dxf", _bytes(lambda: _spline(30, degree=25)), "numbers that make none"),
    ("cut-short.dxf", _bytes(lambda: _inserts(3, 3)[:-300]), "cut short"),
    ("headless.dxf", _text(lambda: "0\nSECTION\n2\nENTITIES\n0\nLINE\n10\nEOF\n"), "expected"),
    ("cut-short-binary.dxf", _bytes(lambda: _binary()[:-300]), "cut short"),
    ("spoilt-binary.dxf", _bytes(lambda: _binary()[:3000] + b"\xff" * 500 + _binary()[3500:]), "expected"),
    ("large-binary.dxf", _bytes(lambda: b"AutoCAD Binary DXF\r\n\x1a\x00" + b"\x01" * 3_000_000 + b"EOF"), "at most 1000000"),
    ("codes.dxf", _text(lambda: _plain_dxf("0\nLINE\nten\n5\n")), "a broken DXF"),
    ("ten-million-rows.csv", _text(lambda: "x (mm), half-width (mm)\n" + "1,2\n" * 10_000_000), "at most 20000000"),
    ("rows.csv", _text(lambda: "x (mm), half-width (mm)\n" + "1,2\n" * 200_000), "at most 400"),
    ("line.csv", _text(lambda: "1," * 400_000), "at most 300"),
    ("quotes.csv", _text(lambda: '"' * 900_000), "expected"),
)  # fmt: skip


def fifo(file: Path) -> None:
    """Makes a pipe that nobody writes to."""
    os.mkfifo(file)
