"""Sets the SHA-256 of each file against the manifest."""

import hashlib
from collections.abc import Iterator, Mapping

from jiggen.proof.report import Fault, Finding


def compare_hashes(expected: Mapping[str, str], files: Mapping[str, bytes]) -> Iterator[Finding]:
    """Yields a finding for each file that differs, is missing, or is not known to the manifest.

    Args:
        expected: SHA-256 in hexadecimal, by file name.
        files: The bytes, by file name, without the manifest itself.
    """
    for name, digest in expected.items():
        if name not in files:
            yield Finding(
                fault=Fault.MISSING_FILE, message="the manifest names it, but it is not there", file=name
            )
        elif (found := hashlib.sha256(files[name]).hexdigest()) != digest.lower():
            yield Finding(
                fault=Fault.HASH_MISMATCH,
                message=f"its SHA-256 is {found[:12]}…, the manifest says {digest[:12]}…: it was changed or exchanged",
                file=name,
            )
    for name in sorted(set(files) - set(expected)):
        yield Finding(
            fault=Fault.UNLISTED_FILE,
            message="the manifest does not know it, and nothing here was checked",
            file=name,
        )
