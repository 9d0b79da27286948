"""What an entry of each topic holds, with the unit of every number.

A field without a default must be written. `refers` names the topic whose ids a field may hold, `one_of` the
only texts it may hold. `fields.py` reads each declared type. The classes go without slots, which would double
the time it takes to make them, and every run pays that.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from knowledge.fields import Amount, Range

Texts = tuple[str, ...]
Phrase = str
Phrases = tuple[str, ...]
Clues = tuple[tuple[str, ...], ...]
Choices = tuple[str, ...]

EVENTS = (
    "burner_lit", "steep_start", "steep_end", "boil_start", "flameout", "chill_start", "aerate", "pitch", "seal",
    "airlock_active", "transfer", "bottle", "keg",
)
"""What the log may report, in the order of a brew."""

BATCH_STAGES = (
    "planning", "steeping", "heating", "boiling", "chilling", "pitching", "fermenting", "conditioning",
    "kegged",
)
"""Where the log may say a batch stands."""

STEP_STAGES = (
    "planning", "heating-steep", "steeping", "heating-boil", "boiling", "flameout", "chilling", "topping-up",
    "pitching", "fermenting", "checking", "bottling", "conditioning", "drinking",
)
"""The chapters of the way from recipe to glass, finer than what the log can tell."""

WAYS = ("extract", "steeped", "partial mash", "all grain", "bottles", "keg")
"""The ways a beer may be made and packed; the recipe and the log tell which."""

SIGNS = (
    "recipe told", "water in", "water hot", "mash rested", "extract in", "additions in", "wort cool",
    "fermenter filled", "gravity read", "fermenting", "rested", "gravity steady", "conditioned", "carbonated",
)
"""What in the log besides an event shows that a step is done."""

PHASES = ("fermenting", "conditioning", "kegged")
"""The stages of a batch that last for days."""

MARKS = ("found", "computed", "memory", "practice")
"""How a source stands: read in print, worked out, recalled and unverified, or the custom of the trade."""

GRAVITY = ("danger", "warning", "advice")
"""How grave a caution is, the gravest first."""


FLAGS = ("gravity_moving", "high_carbonation")
"""What may be known of a batch: its readings still differ; what is planned gives over three volumes."""


BATCH_FACTS = (
    "warm", "cold", "pitched hot", "no reading", "fell", "not fallen", "moving", "still", "at end",
    "short of end", "weak", "strong", "overfull", "short of volume", "read warm",
    "dark extract", "crystal malt", "much sugar", "dry yeast", "hops to come",
)
"""What the log may show of a batch; `assistant/standing.py` finds out, and gives the number it rests on."""

TROUBLE_SUMS = (
    "left to ferment", "gravity after topping up", "gravity by the recipe", "extract to add", "water to add",
    "boil it down", "heat on the yeast", "sugar for the bottles", "gas from the sugar", "gas still to come",
    "bitterness", "age of the yeast", "time to boil", "time to chill", "ice to chill",
)
"""The sums a trouble may call; `assistant/handlers/troubles.py` has one for each."""


def choice(*allowed: str, **more: Any) -> Any:
    return field(metadata={"one_of": allowed}, **more)


def refer(topic: str, **more: Any) -> Any:
    return field(metadata={"refers": topic}, **more)


def refer_one(topic: str) -> Any:
    """The same for a field that may hold one id or none."""
    return field(default="", metadata={"refers": topic})


@dataclass(frozen=True, kw_only=True)
class Source:
    """Where a fact comes from."""

    id: str
    title: str
    mark: str = choice(*MARKS)
    author: str = ""
    year: str = ""
    note: str = ""

    @property
    def phrases(self) -> Phrases:
        return ()


@dataclass(frozen=True, kw_only=True)
class Fact:
    """What every entry but a source has."""

    id: Phrase
    """What a brewer says first for it."""
    source: Texts = refer("sources")
    also: Phrases = ()
    """Every other usual way to say or type it."""
    asked: Texts = ()
    """How it comes up in the middle of a step; several entries may be asked for alike, and the stage tells which is meant."""

    @property
    def phrases(self) -> Phrases:
        return (self.id, *self.also)


@dataclass(frozen=True, kw_only=True)
class Named(Fact):
    """A thing with a name of its own."""

    say: str
    """One sentence, fit to be read aloud."""
    name: str = ""
    """How it is written on the screen; the id with a capital when the file does not say."""

    def __post_init__(self) -> None:
        if not self.name:
            object.__setattr__(self, "name", self.id.capitalize())


@dataclass(frozen=True, kw_only=True)
class Ingredient(Named):
    """Whatever goes into the beer, or into the cleaning bucket."""

    kind: str
    """A key of KINDS."""
    generic: bool = False
    """Whether it stands for a whole family, so that asking which one would help."""


@dataclass(frozen=True, kw_only=True)
class Hop(Ingredient):
    alpha: Range | None = None
    """Alpha acids as bought, percent by weight. The package's own figure goes first."""
    use: str = choice("bittering", "aroma", "dual", default="dual")
    kin: Texts = refer("ingredients", default=())
    """Hops near enough in character and strength to stand in."""


CUP_GRAMS = {("extract", "dry"): 140.0, ("extract", "liquid"): 335.0, ("sugar", "liquid"): 330.0, ("grain", "grain"): 115.0}
"""Grams in a level cup by kind and form, grain crushed; from memory, give or take 15 percent."""


@dataclass(frozen=True, kw_only=True)
class Fermentable(Ingredient):
    """Extract, sugar or grain. Points are thousandths of gravity from one pound in one US gallon."""

    form: str = choice("liquid", "dry", "either", "grain")
    yield_points: float | None = None
    """All the extract there is: what dissolves, or what a laboratory mash gets out of a grain."""
    steeped_points: float | None = None
    """What steeping without a mash gets out of a grain; none where nothing is published."""
    color: float | None = None
    """Degrees Lovibond; for an extract, of the wort it makes by the pound per gallon rule."""
    mash: bool = False
    """Whether its starch needs a mash; steeped alone it gives haze rather than sugar."""
    diastatic: float | None = None
    """Power to turn starch into sugar, degrees Lintner; none where it has none or none is known."""
    fermentable: float | None = None
    """Percent of its extract that brewing yeast can ferment, where it is unlike that of malt."""
    cup: float | None = None
    """Grams in a level cup, where it is unlike what its kind and form usually weigh."""

    @property
    def cup_grams(self) -> float | None:
        """Grams in a level cup, from memory, give or take 15 percent; None where it comes in more than one form."""
        return self.cup or CUP_GRAMS.get((self.kind, self.form))


@dataclass(frozen=True, kw_only=True)
class Yeast(Ingredient):
    attenuation: Range | None = None
    """Apparent attenuation, percent."""
    temperature: Range | None = None
    """Fermentation temperature, degrees Fahrenheit."""
    flocculation: str = choice("low", "medium", "high", default="medium")


@dataclass(frozen=True, kw_only=True)
class Addition(Ingredient):
    """A fining, spice, fruit or anything else with a dose."""

    dose: Amount | None = None
    per: Amount | None = None
    """The volume of beer the dose is for."""
    boil_left: float | None = None
    """Minutes of boil left when it goes in; none when it is not an addition to the boil."""


@dataclass(frozen=True, kw_only=True)
class Fruit(Addition):
    yield_points: float | None = None
    """Points per pound per gallon of its sugar."""


@dataclass(frozen=True, kw_only=True)
class Salt(Addition):
    formula: str
    """As the trade buys it, water of crystallization included."""
    gives: Texts
    """The ions it adds to the water."""


@dataclass(frozen=True, kw_only=True)
class Sanitizer(Addition):
    """What cleans or sanitizes; the product's label decides over everything here."""

    strength: str = ""
    """What the dose comes to, or what the concentrate is."""
    contact: float | None = None
    """Minutes a surface must stay wet with it."""
    rinse: bool = True
    """Whether it must be rinsed off; yes, the safe side, when the file does not say."""


KINDS: dict[str, type[Ingredient]] = {
    "hop": Hop,
    "extract": Fermentable, "grain": Fermentable, "sugar": Fermentable,
    "yeast": Yeast,
    "fining": Addition, "fruit": Fruit, "spice": Addition, "other": Addition,
    "salt": Salt,
    "sanitizer": Sanitizer, "cleaner": Sanitizer,
}
"""What an entry of each kind of ingredient holds."""


@dataclass(frozen=True, kw_only=True)
class Style(Named):
    og: Range
    fg: Range
    ibu: Range
    srm: Range
    abv: Range
    """Percent by volume."""
    carbonation: Range
    """Volumes of carbon dioxide."""


@dataclass(frozen=True, kw_only=True)
class Term(Named):
    looks: str = ""
    """How someone puts it who does not know the word; never told."""
    more: str = ""
    """A second sentence or two for whoever asks on."""
    sound: str = ""
    """How it is said, where the spelling misleads."""
    see: Texts = refer("terms", default=())


@dataclass(frozen=True, kw_only=True)
class Step(Fact):
    """One step on the way from the recipe to the glass. A text may hold `{155F}`, told in the brewer's degrees."""

    stage: str = choice(*STEP_STAGES)
    ways: Texts = field(default=(), metadata={"one_of": WAYS})
    """The ways it belongs to; every way when the file does not say."""
    do: str
    here: Texts = ()
    """The same with numbers of the batch in braces; the first of which all are known is told instead."""
    done_when: str
    why: str
    goes_wrong: str
    needs: Texts = ()
    """Gear and supplies that must be at hand."""
    uses: Texts = field(default=(), metadata={"one_of": tuple(KINDS)})
    """The kinds of ingredients that go in; the recipe tells which."""
    takes: str
    """How long it usually lasts, in words."""
    after: Texts = field(default=(), metadata={"one_of": EVENTS})
    """The log events each of which means that it is done."""
    sign: str = choice("", *SIGNS, default="")
    """What else in the log means that."""
    tell: str = ""
    """The sentence by which the brewer reports it done."""
    until: Texts = field(default=(), metadata={"one_of": EVENTS})
    """Events before which it may be made up for when it was passed by."""


@dataclass(frozen=True, kw_only=True)
class Day(Fact):
    """What to do on some days of the weeks after."""

    phase: str = choice(*PHASES)
    days: Range
    """First to last, counted from the pitch, the bottling or the kegging, which is day 0."""
    do: str
    here: Texts = ()
    """As for a step."""
    look: str
    """What is usual to see."""
    why: str


@dataclass(frozen=True, kw_only=True)
class Why(Fact):
    say: str
    more: str = ""


@dataclass(frozen=True, kw_only=True)
class HowTo(Fact):
    say: str
    how: Texts
    """The moves in their order, a short sentence each."""


@dataclass(frozen=True, kw_only=True)
class Answer(Fact):
    """A short answer to what is asked in the middle of a step. A text may hold `{155F}`, as for a step."""

    stages: Texts = field(default=(), metadata={"one_of": STEP_STAGES})
    """When it is asked; at any time when the file does not say."""
    say: str
    """One sentence, the answer first."""
    here: Texts = ()
    """As for a step."""
    more: str = ""
    alike: Texts = ()
    """Ids of entries of any topic that tell the same matter, so that nobody is asked which is meant."""
    sums: Texts = field(default=(), metadata={"one_of": TROUBLE_SUMS})
    """As for a trouble."""


@dataclass(frozen=True, kw_only=True)
class Stage:
    """What is at hand in one stage of the way, one of STEP_STAGES."""

    id: str = choice(*STEP_STAGES)
    it: str
    """The words that `it`, `this` and `they` stand for there."""
    troubles: Texts = refer("troubles", default=())
    whys: Texts = refer("whys", default=())
    how_tos: Texts = refer("how_tos", default=())
    beliefs: Texts = refer("beliefs", default=())
    cautions: Texts = refer("cautions", default=())

    @property
    def phrases(self) -> Phrases:
        return ()


@dataclass(frozen=True, kw_only=True)
class Kin:
    """Words that are said for one of the knowledge base."""

    id: str
    words: Texts

    @property
    def phrases(self) -> Phrases:
        return ()


@dataclass(frozen=True, kw_only=True)
class Family:
    """Words that mean the same in a clue, which writes <id> for them."""

    id: Phrase
    words: Choices
    owned: Choices = ()
    """Words that are meant only where one of the owners stands before them: the neck of a bottle is nobody's."""
    owners: Choices = ()

    @property
    def phrases(self) -> Phrases:
        return ()

    @property
    def choices(self) -> Choices:
        """All that the family stands for in a clue."""
        return (*self.words, *(f"{owner} {word}" for word in self.owned for owner in self.owners))


@dataclass(frozen=True, kw_only=True)
class When:
    """Conditions that must all hold; one that is not written holds."""

    acts: Texts = ()
    events: Texts = field(default=(), metadata={"one_of": EVENTS})
    stages: Texts = field(default=(), metadata={"one_of": BATCH_STAGES})
    kinds: Texts = field(default=(), metadata={"one_of": tuple(KINDS)})
    ingredients: Texts = refer("ingredients", default=())
    words: Clues = ()
    """Groups of clues, of which one group must be heard whole."""
    unless: Clues = ()
    """Groups of clues, of which none may be heard whole."""
    above_f: float | None = None
    """Degrees Fahrenheit the temperature spoken of must exceed."""
    below_f: float | None = None
    """Degrees Fahrenheit the temperature spoken of must stay under."""
    flags: Texts = field(default=(), metadata={"one_of": FLAGS})


@dataclass(frozen=True, kw_only=True)
class Given:
    """What a batch must show for one cause of a trouble to be the likeliest; one that is not written holds."""

    cause: str
    """One of the trouble's causes."""
    say: str = ""
    """The answer then, where it differs."""
    facts: Texts = field(default=(), metadata={"one_of": BATCH_FACTS})
    """All of these."""
    stages: Texts = field(default=(), metadata={"one_of": BATCH_STAGES})
    days_over: float | None = None
    days_under: float | None = None
    """Days since the yeast went in, said or logged."""


@dataclass(frozen=True, kw_only=True)
class Trouble(Fact):
    say: str
    likely: Texts
    """Causes, the likeliest first where the batch does not tell."""
    check: str
    """What tells the causes apart."""
    do: str
    discard: str
    """When, if ever, the beer must go."""
    fine_when: str
    danger: bool = False
    """Whether someone may be hurt if it is left alone."""
    when: tuple[When, ...] = ()
    """Words by which it is heard in a sentence of the brewer's own."""
    given: tuple[Given, ...] = ()
    """What of this batch puts a cause first; the first row that holds counts."""
    sums: Texts = field(default=(), metadata={"one_of": TROUBLE_SUMS})
    """Sums that help, of which the first that this batch has the numbers for is told."""
    belief: str = refer_one("beliefs")


@dataclass(frozen=True, kw_only=True)
class Belief(Fact):
    """Something of the trade's folklore that is wrong or has moved."""

    believed: str
    """What is often said, as a clause: `bubbles mean that it ferments`."""
    say: str
    """What is now known, kindly."""
    more: str = ""
    """Where it comes from, or what to do instead."""
    whys: Texts = refer("whys", default=())
    """Reasons it belongs to, which tell it as well."""
    when: tuple[When, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Caution(Fact):
    grave: str = choice(*GRAVITY)
    hurt: bool = False
    """Whether it speaks to someone already hurt, so that it goes before everything else."""
    when: tuple[When, ...]
    """One of these is enough."""
    say: str
    if_happened: str
    """What to do if it has happened, the most pressing words first."""
