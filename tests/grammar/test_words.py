"""What a sentence looks like in plain words."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from grammar.words import split

# (typed or dictated, words); all of it common practice, no source
SAID = [
    # contractions
    ("Boil's on", "boil is on"),
    ("it's at 68", "it is at 68"),
    ("I’m at 5280 feet", "i am at 5280 feet"),
    ("I've got it, we're done", "i have got it , we are done"),
    ("what's next", "what is next"),
    ("I can't find it", "i can not find it"),
    ("cannot", "can not"),
    ("don't pitch", "do not pitch"),
    ("dont pitch", "do not pitch"),
    ("why shouldn't I", "why should not i"),
    ("it won't start", "it will not start"),
    ("let's start", "let us start"),
    ("you're working", "you are working"),
    ("how'd you get that", "how did you get that"),
    ("I'd say it'll do", "i would say it will do"),
    ("8 o'clock", "8 o'clock"),
    ("whatll it be, theyre not sure", "what will it be , they are not sure"),
    ("pots at 205", "pot is at 205"),
    ("two bags of grain", "two bags of grain"),
    ("the pots are hot", "the pots are hot"),
    ("the hops' smell", "the hops smell"),
    # what is glued together
    ("two-liter starter", "two liter starter"),
    ("forty-five minutes", "forty five minutes"),
    ("12 and a half-plato", "12 and a half plato"),
    ("68F", "68 f"),
    ("5gal", "5 gal"),
    ("2.5lb", "2.5 lb"),
    ("2lb4oz", "2 lb 4 oz"),
    ("1h30m", "1 h 30 m"),
    ("12%", "12 percent"),
    ("45min", "45 min"),
    ("8pm", "8 pm"),
    ("10:20am", "10:20 am"),
    ("60-minute boil", "60 minute boil"),
    ("2-row", "2 row"),
    ("crystal-40", "crystal 40"),
    ("12.5P", "12.5 p"),
    ("co2", "co2"),
    # marks
    ("68°F", "68 degrees f"),
    ("68 ºF", "68 degrees f"),
    ("20℃", "20 degrees c"),
    ("1 oz @ 60 min", "1 oz at 60 min"),
    ("$5", "5"),
    ("“hello”; there", "hello , there"),
    ("reading: 1.012", "reading , 1.012"),
    ("hops & malt", "hops and malt"),
    ("1 gal/hr", "1 gal / hr"),
    ("1.060/1.012", "1.060 / 1.012"),
    ("1.1oo", "1.1 oh oh"),
    ("Heat off. Chill it!", "heat off , chill it"),
    ("how long is left?", "how long is left ?"),
    ("ready?!", "ready ?"),
    ("ready? now", "ready , now"),
    ("fl. oz.", "fl oz"),
    ("steep — then boil", "steep , then boil"),
    ("steep - then boil", "steep , then boil"),
    ("a\u200bb\x07c\td", "abc d"),
    # numbers
    ("½ cup", "1/2 cup"),
    ("1½ cups", "1 1/2 cups"),
    ("1-1/2 cups", "1 1/2 cups"),
    ("1/2", "1/2"),
    ("2⁄3", "2/3"),
    ("1,000 or 5,280", "1000 or 5280"),
    ("5,280ft", "5280 ft"),
    ("1,234,567.5", "1234567.5"),
    (".75 oz", "0.75 oz"),
    ("-2 oz", "minus 2 oz"),
    ("−2 oz", "minus 2 oz"),
    ("at 10:20.", "at 10:20"),
    ("10-60", "10-60"),
    ("4-8 pounds.", "4-8 pounds"),
    ("152–154", "152-154"),
    ("1080-80", "1080-80"),
    ("2026-10-18", "2026-10-18"),
    ("it's 102.", "it is 102"),
    ("1,2,3", "1 , 2 , 3"),
    # odd words stay whole, so that no number is made of them
    ("1080p", "1080p"),
    ("68th", "68th"),
    ("1.2.3", "1.2.3"),
    # the letter o for a nought
    ("1.06o", "1.06 oh"),
    ("1.o6o", "1.06 oh"),
    ("1.oo5", "1.005"),
    ("o.998", "0.998"),
    ("1o6o", "106 oh"),
    ("5oz", "5 oz"),
    # spelled letters
    ("forty I B U", "forty ibu"),
    ("the A B V", "the abv"),
    ("O G and F G", "og and fg"),
    ("D M E or L M E", "dme or lme"),
    ("P S I, S R M", "psi , srm"),
    ("8 p m", "8 pm"),
    ("8 p.m.", "8 pm"),
    ("8 a.m. sharp", "8 am sharp"),
    ("i.b.u.", "ibu"),
    ("c o 2", "co2"),
    ("C o two", "co2"),
    ("vitamin c", "vitamin c"),
    ("", ""),
    (" ?", "?"),
]


@pytest.mark.parametrize(("said", "words"), SAID)
def test_words(said: str, words: str) -> None:
    assert split(said) == words.split()


def test_control_characters_are_dropped() -> None:
    assert split("boil\x00 on\x1b[31m") == ["boil", "on", "31", "m"]


@pytest.mark.parametrize(("said", "_words"), SAID)
def test_words_of_words_are_the_same(said: str, _words: str) -> None:
    """What was put in order once stays as it is, so that a sentence may pass twice."""
    once = split(said)
    assert split(" ".join(once)) == once


@given(st.text(max_size=80))
def test_any_text_gives_plain_words(text: str) -> None:
    for word in split(text):
        assert word and word == word.lower() and not any(char.isspace() for char in word)


@given(st.text("0123456789.,-/:'%°$op amFLgz½?", max_size=24))
def test_any_figures_keep_their_digits(text: str) -> None:
    """No digit that was said gets lost, and none comes in but a nought."""
    kept = "".join(char for word in split(text.replace("½", "")) for char in word if char in "123456789")
    assert kept == "".join(char for char in text if char in "123456789")
