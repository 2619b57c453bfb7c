"""Names of folders from names of designs: plain, portable, and never a way out of the output folder."""

import hashlib
import re
import unicodedata

#: Letters that Unicode does not take apart into a plain letter and a sign.
_SPELT_OUT = str.maketrans(
    {"æ": "ae", "œ": "oe", "ø": "o", "ł": "l", "đ": "d", "ð": "d", "þ": "th", "ı": "i", "ħ": "h", "ŋ": "n"}
)
#: Device names that Windows takes for no file, whatever follows the dot (from memory).
_RESERVED = {"con", "prn", "aux", "nul"} | {
    f"{port}{digit}" for port in ("com", "lpt") for digit in range(10)
}
#: Longest folder name given, in characters: well below the 255 bytes of any file system in use.
_LONGEST = 60


def slug(name: str) -> str:
    """Returns a folder name for a design: lower-case ASCII letters, digits and single hyphens.

    Accents are dropped. If letters had to be left out altogether, or the name was cut short, a short hash of the
    whole name is added, so that two such designs do not share a folder.

    Args:
        name: Whatever the maker called it.

    Returns:
        1 to 60 characters; never empty, never `.` or `..`, never a name that Windows reserves.
    """
    spelt = unicodedata.normalize("NFKD", name.casefold()).translate(_SPELT_OUT)
    kept = "".join(each for each in spelt if not unicodedata.combining(each))
    plain = re.sub(r"[^a-z0-9]+", "-", kept).strip("-")
    lost = any(each.isalnum() and not each.isascii() for each in kept)
    if plain in _RESERVED:
        plain = f"{plain}-design"
    if plain and not lost and len(plain) <= _LONGEST:
        return plain
    short = hashlib.sha256(unicodedata.normalize("NFC", name).encode("utf-8", "surrogatepass")).hexdigest()[
        :8
    ]
    return f"{(plain or 'design')[: _LONGEST - 9].strip('-')}-{short}"
