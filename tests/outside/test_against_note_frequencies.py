"""Standard pitch and the tempered scale: ISO 16 (A4 = 440 Hz), MIDI 1.0 note numbers (middle C 60, A4 69), tables of
frequencies to two decimals as physics handbooks print them (from memory), and roots of two in fifty digits."""

import pytest
from mpmath import mp, mpf

from jiggen.layout.pitch import nearest_pitch, read_pitch

TWO_DECIMALS = 0.005  # Hz
HANDBOOK = {
    "C4": 261.63, "C#4": 277.18, "D4": 293.66, "D#4": 311.13, "E4": 329.63, "F4": 349.23, "F#4": 369.99,
    "G4": 392.00, "G#4": 415.30, "A4": 440.00, "A#4": 466.16, "B4": 493.88, "C5": 523.25,
    "E2": 82.41, "A2": 110.00, "D3": 146.83, "G3": 196.00, "B3": 246.94,
    "B0": 30.87, "E1": 41.20, "A1": 55.00, "D2": 73.42, "G2": 98.00, "E5": 659.26, "C8": 4186.01, "A0": 27.50,
}  # fmt: skip
LETTERS = ("C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B")


@pytest.mark.parametrize("name", HANDBOOK)
def test_handbook_table(name):
    assert read_pitch(name).frequency_hz == pytest.approx(HANDBOOK[name], abs=TWO_DECIMALS)


def test_every_note_number_in_fifty_digits():
    with mp.workdps(50):
        for key in range(128):
            pitch = read_pitch(f"{LETTERS[key % 12]}{key // 12 - 1}")
            exact = 440 * mpf(2) ** (mpf(key - 69) / 12)
            assert pitch.key == key
            assert abs(pitch.frequency_hz / exact - 1) < 4e-16  # two steps of a double
            assert nearest_pitch(float(exact)).pitch.key == key


def test_middle_c_and_standard_pitch():
    assert read_pitch("C4").key == 60
    assert read_pitch("A4").frequency_hz == 440.0
