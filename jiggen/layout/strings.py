"""How strings spread across the neck. Millimetres; y grows toward the treble side."""


def equal_centres(bass: float, treble: float, count: int) -> tuple[float, ...]:
    """Returns the centres of `count` strings at equal distances, first string (treble) first.

    Args:
        bass: y of the bass-most string's centre, mm.
        treble: y of the treble-most string's centre, mm.
        count: Number of strings; a single one lies halfway.

    Returns:
        y of each centre, mm, first string first.
    """
    if count == 1:
        return ((bass + treble) / 2.0,)
    step = (bass - treble) / (count - 1)
    return tuple(bass if index == count - 1 else treble + step * index for index in range(count))
