"""The characters that the lettering promises, and their ink as shapely sees it."""

from collections.abc import Iterable

import shapely

from jiggen.geometry.measure import flatten
from jiggen.geometry.path import Path

ASCII = "".join(map(chr, range(0x21, 0x7F)))
SIGNS = "°±×÷−≠″′–—·…µμΔ♭♯ØøÆæŒœß≤≥≈√πΩαβ→←↑↓§©®™²³¹„“”‚‘’«»¡¿€£¥¢ı⌀"
READY_MADE = "½¼¾⅛⅜⅝⅞⅓⅔⅕⅖⅗⅘⅙⅚⅐⅑⅒"
ACCENTED = (
    "ÀÁÂÃÄÅÇÈÉÊËÌÍÎÏÐÑÒÓÔÕÖØÙÚÛÜÝÞàáâãäåçèéêëìíîïðñòóôõöøùúûüýþÿ"  # western Europe
    "ĀāĂăĄąĆćĈĉĊċČčĎďĐđĒēĔĕĖėĘęĚěĜĝĞğĠġĢģĤĥĦħĨĩĪīĬĭĮįİĴĵĶķĹĺĻļĽľŁłŃńŅņŇň"
    "ŌōŎŏŐőŔŕŖŗŘřŚśŜŝŞşŠšŢţŤťŦŧŨũŪūŬŭŮůŰűŲųŴŵŶŷŸŹźŻżŽžȘșȚț"
)
EVERY = "".join(dict.fromkeys(ASCII + SIGNS + READY_MADE + ACCENTED))


def ink(paths: Iterable[Path], pen: float, tolerance: float = 1e-4) -> shapely.Geometry:
    """What a round pen leaves: the independent judge of bounds, gaps and likeness."""
    lines = [[(point.x, point.y) for point in flatten(path, tolerance)] for path in paths]
    return shapely.MultiLineString(lines).buffer(pen / 2.0, quad_segs=64)
