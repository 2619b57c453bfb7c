"""PDF: pages at true size, never scaled by the reader, as far as a file can ask for that.

Source: ISO 32000-1:2008, sections 7.7 for the document, 8.4 for graphics state, 8.10 for forms, 12.2 for
`PrintScaling`, 12.4.2 for page labels, 8.11 for layers.
"""

from collections.abc import Iterator, Sequence
from functools import partial
from typing import assert_never

from jiggen import __version__
from jiggen.drawing.model import Area, Ink, Inset, Page, Words
from jiggen.drawing.tiles import tile_pages
from jiggen.export.numbers import DECIMALS, LETTERING_DECIMALS, number
from jiggen.export.pdf_file import PdfFile, information, references, text_string
from jiggen.export.pdf_font import FontBuilder
from jiggen.export.pdf_paths import POINTS_PER_MM, path_operators
from jiggen.export.writer import Content, Job, PlanJob, sheet_file_name
from jiggen.geometry.box import Box
from jiggen.parts.model import Role
from jiggen.sheets.model import Sheet

#: Decimals of a place on a page that is looked at, mm.
PAGE_DECIMALS = 3


def sheets_as_pdf(job: Job) -> Iterator[tuple[str, Content]]:
    """Yields each sheet on a page of its own size, one layer for each operation, nothing else."""
    for sheet in job.sheet_set.sheets:
        yield sheet_file_name(sheet.number, "pdf"), partial(encode_sheet, sheet)


def plan_as_pdf(plan: PlanJob) -> Iterator[tuple[str, bytes]]:
    """Yields the working plan on one long page."""
    yield "plan.pdf", encode_pages([plan.page], **_facts(plan))


def tiles_as_pdf(plan: PlanJob) -> Iterator[tuple[str, bytes]]:
    """Yields the plan in tiles, with an index page, for a printer that holds no more than a sheet."""
    yield "plan-tiles.pdf", encode_pages(tile_pages(plan.page, plan.options.paper), **_facts(plan))


def _facts(plan: PlanJob) -> dict[str, str]:
    design = plan.layout.spec.design
    return {"subject": plan.subject, "author": design.owner, "date": design.date}


def encode_pages(pages: Sequence[Page], *, subject: str = "", author: str = "", date: str = "") -> bytes:
    """Returns a document of pages.

    Args:
        pages: One or more.
        subject: For the document's properties, as the next two.
        author: Whose it is.
        date: ISO 8601, or empty.
    """
    file, fonts = PdfFile(), FontBuilder()
    forms: dict[int, tuple[int, Page]] = {}  # pages that others show, by identity
    root, tree, resources = file.reserve(), file.reserve(), file.reserve()
    leaves = []
    for page in pages:
        content = file.put_stream(_in_millimetres(_content(page, fonts, forms, file)))
        leaves.append(_put_leaf(file, tree, content, resources, (page.width_mm, page.height_mm)))
    named = "".join(f" /P{number_} {number_} 0 R" for number_, _ in forms.values())
    shared = f" /XObject <<{named} >>" if named else ""
    file.put(f"<< {fonts.put(file)}{shared} >>", resources)
    labels = " ".join(
        f"{index} << /P {text_string(page.name)} >>" for index, page in enumerate(pages) if page.name
    )
    _put_tree(file, tree, leaves)
    _put_root(file, root, tree, f" /PageLabels << /Nums [{labels}] >>" if labels else "")
    info = file.put(
        information(title=pages[0].title, subject=subject, author=author, version=__version__, date=date)
    )
    return file.encode(root=root, info=info)


def _content(page: Page, fonts: FontBuilder, forms: dict[int, tuple[int, Page]], file: PdfFile) -> str:
    """Returns the operators of a page, in millimetres; puts pages that it shows into the file as forms."""
    lines: list[str] = []
    state = ""
    for item in page.items:
        match item:
            case Ink():
                wanted = f"{_colour(item.pen.colour)} RG {number(item.pen.width_mm)} w"
                drawn = f"{path_operators(item.paths, PAGE_DECIMALS)}\nS"
            case Area():
                wanted = f"{_colour(item.colour)} rg"
                drawn = f"{path_operators(item.paths, PAGE_DECIMALS)}\nf*"
            case Words():
                colour = _colour(item.colour)
                wanted, drawn = f"{colour} RG {colour} rg", fonts.show(item)
            case Inset():
                wanted, drawn = state, _show(item, fonts, forms, file)
            case _:
                assert_never(item)
        if wanted != state:
            lines.append(wanted)
            state = wanted
        lines.append(drawn)
    return "\n".join(lines)


def _show(inset: Inset, fonts: FontBuilder, forms: dict[int, tuple[int, Page]], file: PdfFile) -> str:
    page, place, window = inset.page, inset.place, inset.window
    if id(page) not in forms:
        content = _content(page, fonts, forms, file)
        box = f"[0 0 {number(page.width_mm)} {number(page.height_mm)}]"
        entries = f"/Type /XObject /Subtype /Form /BBox {box} /Resources 3 0 R"
        forms[id(page)] = (file.put_stream(f"1 J 1 j\n{content}", entries), page)
    form, _ = forms[id(page)]
    matrix = " ".join(
        number(each, 6)
        for each in (place.cosine, place.sine, -place.sine, place.cosine, place.shift.x, place.shift.y)
    )
    return f"q {_rectangle(window)} re W n {matrix} cm /P{form} Do Q"


def _rectangle(box: Box) -> str:
    return " ".join(number(each) for each in (box.low.x, box.low.y, box.width, box.height))


def encode_sheet(sheet: Sheet) -> bytes:
    """Returns a sheet on a page of its size: lines as fine as the machine wants them, one layer for each operation."""
    file = PdfFile()
    root, tree, resources = file.reserve(), file.reserve(), file.reserve()
    width = number(sheet.machine.line_width_mm)
    lines: list[str] = []
    layers: list[int] = []
    for index, operation in enumerate(sheet.machine.operations):
        layers.append(file.put(f"<< /Type /OCG /Name {text_string(operation.name)} >>"))
        colour, paint = _colour(operation.colour), "f*" if operation.filled else "S"
        lines.append(f"/OC /L{index} BDC\n{colour} rg {colour} RG {width} w")
        decimals = LETTERING_DECIMALS if operation.role is Role.LETTERING else DECIMALS
        lines += [f"{path_operators(mark.paths, decimals)}\n{paint}" for mark in sheet.marks(operation.name)]
        lines.append("EMC")
    content = file.put_stream(_in_millimetres("\n".join(lines)))
    leaf = _put_leaf(file, tree, content, resources, (sheet.width_mm, sheet.height_mm))
    named = "".join(f" /L{index} {layer} 0 R" for index, layer in enumerate(layers))
    file.put(f"<< /Properties <<{named} >> >>", resources)
    _put_tree(file, tree, [leaf])
    every = references(layers)
    _put_root(file, root, tree, f" /OCProperties << /OCGs {every} /D << /Order {every} /ON {every} >> >>")
    tags = [placement.cut_part.tag for placement in sheet.placements]
    name = tags[0].design_name if tags else ""
    info = file.put(
        information(
            title=f"{name}, sheet {sheet.number}",
            subject="; ".join(f"{tag.part_name}: {tag.line()}" for tag in tags),
            author="",
            version=__version__,
            date=tags[0].revision_date if tags else "",
        )
    )
    return file.encode(root=root, info=info)


def _in_millimetres(content: str) -> str:
    unit = number(POINTS_PER_MM, 9)
    return f"q {unit} 0 0 {unit} 0 0 cm 1 J 1 j\n{content}\nQ"


def _put_leaf(file: PdfFile, tree: int, content: int, resources: int, size_mm: tuple[float, float]) -> int:
    width, height = (number(size * POINTS_PER_MM, 6) for size in size_mm)
    return file.put(
        f"<< /Type /Page /Parent {tree} 0 R /MediaBox [0 0 {width} {height}]"
        f" /Contents {content} 0 R /Resources {resources} 0 R >>"
    )


def _put_tree(file: PdfFile, tree: int, leaves: Sequence[int]) -> None:
    file.put(f"<< /Type /Pages /Count {len(leaves)} /Kids {references(leaves)} >>", tree)


def _put_root(file: PdfFile, root: int, tree: int, more: str) -> None:
    file.put(
        f"<< /Type /Catalog /Pages {tree} 0 R /Lang (en) /ViewerPreferences"
        f" << /PrintScaling /None /DisplayDocTitle true >>{more} >>",
        root,
    )


def _colour(colour: str) -> str:
    """Returns `#rrggbb` as three numbers from 0 to 1."""
    return " ".join(number(int(colour[at : at + 2], 16) / 255.0, 3) for at in (1, 3, 5))
