"""SVGs that other people's libraries write, of curves that other people drew: glyphs of a free font.

The font is DejaVu (free licence of its own), as matplotlib brings it along. Each writer returns the text of an SVG with
one outline, and millimetres in one of the units of its path data.
"""

import io
from collections.abc import Callable
from pathlib import Path

#: Glyphs with one outer contour, and in most of them inner ones.
GLYPHS = "8&BSgQRß@Ω6e"
#: Height of capitals is some 0.73 of this, mm: about as long as a body.
EM_MM = 600.0


def font_file(name: str = "DejaVuSans-Bold") -> Path:
    """Returns where the font lies."""
    import matplotlib as mpl

    return Path(mpl.get_data_path()) / "fonts" / "ttf" / f"{name}.ttf"


def by_fonttools(letter: str) -> tuple[str, float]:
    """Writes a glyph as fontTools' pen does: quadratic curves, in font units, y up."""
    from fontTools.pens.svgPathPen import SVGPathPen
    from fontTools.ttLib import TTFont

    with TTFont(font_file()) as font:
        glyphs = font.getGlyphSet()
        pen = SVGPathPen(glyphs)
        glyphs[font.getBestCmap()[ord(letter)]].draw(pen)
        units = font["head"].unitsPerEm
    head = 'width="900mm" height="900mm" viewBox="0 0 900 900"'
    data = f'<g transform="translate(100,700) scale({EM_MM / units},-{EM_MM / units})"><path d="{pen.getCommands()}"/></g>'
    return f'<svg xmlns="http://www.w3.org/2000/svg" {head}>{data}</svg>', EM_MM / units


def by_matplotlib(letter: str) -> tuple[str, float]:
    """Draws a glyph as a patch and saves the figure as SVG, in points."""
    import matplotlib as mpl
    from matplotlib.backends.backend_svg import FigureCanvasSVG
    from matplotlib.figure import Figure
    from matplotlib.font_manager import FontProperties
    from matplotlib.patches import PathPatch
    from matplotlib.textpath import TextPath

    figure = Figure(figsize=(20, 20), frameon=False)
    FigureCanvasSVG(figure)
    axes = figure.add_axes((0, 0, 1, 1), frameon=False)
    axes.set_axis_off()
    axes.set_xlim(0, 20)
    axes.set_ylim(0, 20)
    path = TextPath((2, 4), letter, size=14, prop=FontProperties(fname=str(font_file())))
    axes.add_patch(PathPatch(path))
    stream = io.StringIO()
    with mpl.rc_context({"svg.hashsalt": "0", "path.simplify": False}):
        figure.savefig(stream, format="svg", metadata={"Date": None})
    return stream.getvalue(), 25.4 / 72.0


def by_cairo(letter: str) -> tuple[str, float]:
    """Draws a glyph's curves on cairo's SVG surface, in points; cairo knows cubic curves only."""
    import cairocffi
    from fontTools.pens.basePen import BasePen
    from fontTools.ttLib import TTFont

    stream = io.BytesIO()
    surface = cairocffi.SVGSurface(stream, 2400, 2400)
    context = cairocffi.Context(surface)

    class Hand(BasePen):
        def _moveTo(self, place):  # noqa: N802 - fontTools' names
            context.move_to(*place)

        def _lineTo(self, place):  # noqa: N802
            context.line_to(*place)

        def _curveToOne(self, first, second, end):  # noqa: N802
            context.curve_to(*first, *second, *end)

        def _closePath(self):  # noqa: N802
            context.close_path()

    with TTFont(font_file()) as font:
        glyphs = font.getGlyphSet()
        scale = EM_MM / 25.4 * 72.0 / font["head"].unitsPerEm
        context.translate(300, 1900)
        context.rotate(0.3)
        context.scale(scale, -scale)
        glyphs[font.getBestCmap()[ord(letter)]].draw(Hand(glyphs))
    context.fill()
    surface.finish()
    return stream.getvalue().decode(), 25.4 / 72.0


def by_skia(letter: str) -> tuple[str, float]:
    """Joins a glyph with a disc by skia's path operations, which makes curves of its own where both cross."""
    import pathops
    from fontTools.pens.svgPathPen import SVGPathPen
    from fontTools.ttLib import TTFont

    with TTFont(font_file()) as font:
        glyphs = font.getGlyphSet()
        glyph, disc = pathops.Path(), pathops.Path()
        glyphs[font.getBestCmap()[ord(letter)]].draw(glyph.getPen(glyphSet=glyphs))
        pen = disc.getPen()
        pen.moveTo((1500, 600))
        for places in (
            ((1500, 931), (1231, 1200), (900, 1200)),
            ((569, 1200), (300, 931), (300, 600)),
            ((300, 269), (569, 0), (900, 0)),
            ((1231, 0), (1500, 269), (1500, 600)),
        ):
            pen.curveTo(*places)
        pen.closePath()
        joined = pathops.op(glyph, disc, pathops.PathOp.UNION, fix_winding=True)
        out = SVGPathPen(None)
        joined.draw(out)
    scale = EM_MM / 2048.0
    head = 'width="30in" height="30in" viewBox="0 0 762 762"'
    data = f'<path transform="matrix({scale} 0 0 {-scale} 50 600)" d="{out.getCommands()}"/>'
    return f'<svg xmlns="http://www.w3.org/2000/svg" {head}>{data}</svg>', scale


WRITERS: dict[str, Callable[[str], tuple[str, float]]] = {
    "fontTools": by_fonttools,
    "matplotlib": by_matplotlib,
    "cairo": by_cairo,
    "skia": by_skia,
}
#: What each needs, as it is imported.
NEEDS = {"fontTools": "fontTools", "matplotlib": "matplotlib", "cairo": "cairocffi", "skia": "pathops"}
