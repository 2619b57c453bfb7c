import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jiggen.errors import InputError
from jiggen.layout.pitch import nearest_pitch, read_pitch


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("E4", "E4"),
        ("e4", "E4"),
        (" F#3 ", "F#3"),
        ("f♯3", "F#3"),
        ("Bb2", "Bb2"),
        ("bb2", "Bb2"),
        ("B♭2", "Bb2"),
        ("C-1", "C-1"),
    ],
)
def test_every_spelling_is_read_into_one(text, name):
    assert read_pitch(text).name == name


@pytest.mark.parametrize(
    ("text", "key"), [("A4", 69), ("C4", 60), ("B3", 59), ("B#3", 60), ("Cb4", 59), ("Fb4", 64), ("C-1", 0)]
)
def test_the_number_belongs_to_the_letter(text, key):
    assert read_pitch(text).key == key


def test_sharp_and_flat_meet_halfway():
    assert read_pitch("F#3").frequency_hz == read_pitch("Gb3").frequency_hz


def test_octaves_are_exact_doubles():
    assert [read_pitch(f"A{octave}").frequency_hz for octave in range(5)] == [27.5, 55.0, 110.0, 220.0, 440.0]


def test_another_a4_shifts_all_alike():
    ratio = read_pitch("E2", a4_hz=415.0).frequency_hz / read_pitch("E2").frequency_hz
    assert ratio == pytest.approx(415.0 / 440.0, rel=1e-15)


@pytest.mark.parametrize("text", ["", "E", "H4", "4E", "E 4", "E##4", "Ebb4", "e'", "E4.5", "E٤", "E4E4"])
def test_what_is_no_note_is_refused_by_name(text):
    with pytest.raises(InputError) as caught:
        read_pitch(text, where="strings.toml, line 9, pitch")
    assert str(caught.value) == (
        f'strings.toml, line 9, pitch: got "{text}", expected a note name: a letter A to G, # or b if any, and the '
        "number of its octave. Write it like E4, F#3 or Bb2; A4 is the A above middle C."
    )


@pytest.mark.parametrize("text", ["E10", "E-2", "A44"])
def test_octaves_nobody_hears_are_refused(text):
    with pytest.raises(InputError) as caught:
        read_pitch(text)
    assert str(caught.value) == (
        f'pitch: got "{text}", expected an octave from -1 to 9. Middle C is C4; a guitar\'s open strings run from E2 '
        "to E4."
    )


@pytest.mark.parametrize("wrong", [0.0, -440.0, math.inf, math.nan])
def test_a_frequency_that_is_none_is_refused(wrong):
    with pytest.raises(InputError, match="frequency of A4"):
        read_pitch("A4", a4_hz=wrong)
    with pytest.raises(InputError, match="frequency of A4"):
        nearest_pitch(440.0, a4_hz=wrong)
    with pytest.raises(InputError, match="frequency: got"):
        nearest_pitch(wrong)


def test_nearest_note_and_what_is_missing():
    near = nearest_pitch(442.0)
    assert near.pitch.name == "A4"
    assert near.cents == pytest.approx(1200.0 * math.log2(442.0 / 440.0), abs=1e-12)
    assert nearest_pitch(82.4).pitch.name == "E2"
    assert nearest_pitch(82.4).cents == pytest.approx(-0.145, abs=0.001)


@given(key=st.integers(0, 131), off=st.floats(-49.0, 49.0), a4_hz=st.floats(390.0, 470.0))
def test_a_note_some_cents_off_is_found_again(key, off, a4_hz):
    exact = a4_hz * 2.0 ** ((key - 69) / 12)
    near = nearest_pitch(exact * 2.0 ** (off / 1200.0), a4_hz=a4_hz)
    assert near.pitch.key == key
    assert near.cents == pytest.approx(off, abs=1e-9)
    assert read_pitch(near.pitch.name, a4_hz=a4_hz) == near.pitch
