"""Words on lines, against the rule in one sentence: a word goes on the line while it fits."""

from __future__ import annotations

from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from pikepole_export.graphics.lettering import NO_BREAK, width_px, wrapped

WORDS = st.lists(
    st.sampled_from(["a", "To", "iiiii", "WWW", "floor,", '3-5/8"', "AV"]), max_size=25
)


def width(words: str) -> float:
    return width_px(words, 20)


@given(WORDS, st.floats(5.0, 400.0))
def test_a_word_goes_on_the_line_while_it_fits(words: list[str], room: float) -> None:
    lines = wrapped(" ".join(words), room, width)
    assert " ".join(lines).split() == words
    for line, after in pairwise(lines):
        assert width(line) <= room or " " not in line
        assert width(f"{line} {after.split()[0]}") > room


def test_what_is_joined_stays_on_one_line() -> None:
    joined = f'12{NO_BREAK}ft{NO_BREAK}6"'
    assert wrapped(f"cut {joined} off", width("cut 12 ft"), width) == ["cut", '12 ft 6"', "off"]
