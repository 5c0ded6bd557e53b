"""A look: how overlays appear, as data in ``overlays/NAME.yaml``.

The limits that a look must keep are set here and checked when it is read, so that no picture
can be drawn with lettering too small, too close to an edge, or too faint to read.
"""

from __future__ import annotations

import difflib
import re
from pathlib import Path
from typing import Annotated, Any, Literal, get_args

import yaml
from pydantic import AfterValidator, BaseModel, ConfigDict, Field, ValidationError, model_validator

from studio.errors import BadInput, Fault
from studio.resources import shipped

Rgb = tuple[int, int, int]

LEAST_CONTRAST = 4.5
"""Text against its background, level AA for text of any size (WCAG 2, success criterion 1.4.3)."""

LEAST_SIGN_CONTRAST = 3.0
"""A drawn sign against its background (WCAG 2.1, success criterion 1.4.11)."""

LEAST_FIGURE = 0.045
"""Least height of a figure's digits: of the first system's a share of the picture's height, of the
second's and a drawing's caption a share of the type's measure, below; common practice, no source.
"""

LEAST_WORDS = 0.036
"""Least type size of all other lettering, a share of the type's measure (ours): on a phone held
across, with a film 65 mm high, capitals then stand 1.5 mm high, 17 minutes of arc at 300 mm, and 16
are the least (ISO 9241-303, from memory)."""

WIDEST_MEASURE = 1.3
"""The type's measure is the picture's height, and in film taller than wide no more than this many
widths (ours): a phone shows such film twice as large as one across, and a label of three words
would fill it from side to side."""

SAFE_EDGE = 0.05
"""Graphics-safe area: 5 % from each edge (EBU R 95)."""

CAPTION_SPACE = 0.20
"""Bottom share left to captions; common practice, no source."""

UPRIGHT_RIGHT, UPRIGHT_CAPTION_SPACE = 0.15, 0.25
"""Right and bottom shares that players of upright film cover; common practice, no source."""

_FOOTAGE_EXTREMES: tuple[Rgb, Rgb] = ((0, 0, 0), (255, 255, 255))
_PLAIN_WORD = re.compile(r"[A-Za-z0-9][A-Za-z0-9_-]*")


def relative_luminance(colour: Rgb) -> float:
    """Relative luminance of an sRGB colour, 0 (black) to 1 (white).

    Formula: 0.2126 R + 0.7152 G + 0.0722 B on linearised channels (WCAG 2, "relative
    luminance").

    Args:
        colour: red, green, blue, each 0 to 255.

    >>> relative_luminance((255, 255, 255))
    1.0
    """

    def linear(channel: int) -> float:
        share = channel / 255
        return share / 12.92 if share <= 0.04045 else ((share + 0.055) / 1.055) ** 2.4

    red, green, blue = (linear(channel) for channel in colour)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast_ratio(one: Rgb, other: Rgb) -> float:
    """Contrast of two opaque colours, 1 (same) to 21 (black on white), order does not matter.

    Formula: (L1 + 0.05) / (L2 + 0.05), L1 the lighter (WCAG 2, "contrast ratio").

    >>> contrast_ratio((0, 0, 0), (255, 255, 255))
    21.0
    """
    lighter, darker = sorted((relative_luminance(one), relative_luminance(other)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


def laid_over(plate: Rgb, opacity: float, footage: Rgb) -> Rgb:
    """The colour seen where ``plate`` with ``opacity`` (0 to 1) lies over ``footage``.

    >>> laid_over((0, 0, 0), 0.8, (255, 255, 255))
    (51, 51, 51)
    """
    red, green, blue = (
        round(opacity * above + (1 - opacity) * below)
        for above, below in zip(plate, footage, strict=True)
    )
    return red, green, blue


def worst_contrast(
    text: Rgb, plate: Rgb, opacity: float, footage: tuple[Rgb, Rgb] = _FOOTAGE_EXTREMES
) -> float:
    """Least contrast of ``text`` on a see-through ``plate`` over footage.

    Luminance grows with every channel, so what shows through lies between the plate over the
    darkest and over the lightest. A text between those two meets its own luminance somewhere.

    Args:
        text: its colour.
        plate: likewise.
        opacity: of the plate, 0 to 1.
        footage: least and greatest red, green and blue under it; any footage at all when left out.
    """
    dark, light = (laid_over(plate, opacity, under) for under in footage)
    if relative_luminance(dark) <= relative_luminance(text) <= relative_luminance(light):
        return 1.0
    return min(contrast_ratio(text, dark), contrast_ratio(text, light))


def _hex_colour(text: str) -> str:
    if not re.fullmatch(r"#[0-9a-fA-F]{6}", text):
        raise ValueError('a colour is written "#rrggbb", in quotes')
    return text.lower()


def rgb(colour: str) -> Rgb:
    """Channels of a ``#rrggbb`` colour.

    >>> rgb("#ff8000")
    (255, 128, 0)
    """
    return int(colour[1:3], 16), int(colour[3:5], 16), int(colour[5:7], 16)


_LEAST = {
    "heading": LEAST_CONTRAST,
    "text": LEAST_CONTRAST,
    "quiet": LEAST_CONTRAST,
    "rule": LEAST_SIGN_CONTRAST,
}
"""What each colour of a card must reach against its plate."""

Colour = Annotated[str, AfterValidator(_hex_colour)]


class _Part(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid", allow_inf_nan=False)


class TypeSize(_Part):
    """A size of lettering, shares of picture height: wanted, and how far it may shrink."""

    size: float = Field(gt=0, le=0.2)
    least: float = Field(gt=0.01, le=0.2)

    @model_validator(mode="after")
    def _order(self) -> TypeSize:
        if self.least > self.size:
            raise ValueError("`least` is larger than `size`")
        return self


class TypeSizes(_Part):
    """Sizes of all lettering: of ``figure`` and ``other`` the height of digits, else type sizes.

    ``other`` is the figure in the second system, and a small drawing's caption.
    """

    heading: TypeSize
    label: TypeSize
    figure: TypeSize
    other: TypeSize
    where: TypeSize
    caution: TypeSize

    @model_validator(mode="after")
    def _readable(self) -> TypeSizes:
        for name in type(self).model_fields:
            floor = LEAST_FIGURE if name in ("figure", "other") else LEAST_WORDS
            if getattr(self, name).least < floor:
                raise ValueError(f"`{name}: least` is under {floor}, too small to read")
        return self


class Margins(_Part):
    """Shares of the picture that stay free; width for sides, height for top and bottom."""

    edge: float = Field(ge=SAFE_EDGE, le=0.2)
    captions: float = Field(ge=CAPTION_SPACE, le=0.4)
    upright_right: float = Field(ge=UPRIGHT_RIGHT, le=0.3)
    upright_captions: float = Field(ge=UPRIGHT_CAPTION_SPACE, le=0.4)


class Panel(_Part):
    """Shape of a card, shares of picture height."""

    radius: float = Field(ge=0, le=0.1)
    padding: float = Field(ge=0.01, le=0.1)
    gap: float = Field(ge=0, le=0.1)
    line: float = Field(gt=0, le=0.02)


Corner = Literal["top-left", "top-right", "bottom-left", "bottom-right"]


class Places(_Part):
    """Where cards stand and how wide they may grow; a share of width unless said otherwise.

    The corners are those of a film that nobody has looked at yet.
    """

    measurement: Corner
    caution: Corner
    measurement_width: float = Field(ge=0.2, le=0.9)
    caution_width: float = Field(ge=0.2, le=0.9)
    upright_share: float = Field(ge=0.3, le=0.8)

    @model_validator(mode="after")
    def _apart(self) -> Places:
        if self.measurement.split("-")[1] == self.caution.split("-")[1]:
            raise ValueError("measurement and caution cards need corners on different sides")
        return self


class CardStyle(_Part):
    """Colours of one kind of card.

    ``opacity`` is the plate's, 0 to 1, over footage that nobody has looked at: dense enough for
    any. ``clearest`` is how little of it may do where the pictures under it allow that.
    """

    plate: Colour
    opacity: float = Field(gt=0, le=1)
    clearest: float | None = Field(default=None, gt=0, le=1)
    heading: Colour
    text: Colour
    quiet: Colour
    rule: Colour

    @model_validator(mode="after")
    def _readable(self) -> CardStyle:
        for name, least in _LEAST.items():
            worst = worst_contrast(rgb(getattr(self, name)), rgb(self.plate), self.opacity)
            if worst < least:
                raise ValueError(
                    f"`{name}` has a contrast of {worst:.2f}:1 on this plate over the worst "
                    f"footage, and {least}:1 is the least"
                )
        if self.clearest is not None and self.clearest > self.opacity:
            raise ValueError("`clearest` is denser than `opacity`")
        return self

    def density_over(self, darkest: Rgb, lightest: Rgb) -> float:
        """The least opacity that keeps every text readable over the pictures under a plate.

        Between ``clearest`` and ``opacity``, in hundredths; ``opacity`` is enough for any picture.

        Args:
            darkest: least red, green and blue under the plate, 0 to 255.
            lightest: greatest likewise.
        """
        step = 0.01
        density = self.opacity if self.clearest is None else self.clearest
        while density < self.opacity and not self.is_readable(density, darkest, lightest):
            density = min(self.opacity, round(density + step, 2))
        return density

    def is_readable(self, density: float, darkest: Rgb, lightest: Rgb) -> bool:
        """Whether every text has its contrast on a plate of that density over such pictures."""
        return all(
            worst_contrast(rgb(getattr(self, name)), rgb(self.plate), density, (darkest, lightest))
            >= least
            for name, least in _LEAST.items()
        )


class Look(_Part):
    """A whole look; see ``overlays/fernhollow.yaml`` for every key with a remark."""

    about: str = ""
    margins: Margins
    type: TypeSizes
    panel: Panel
    places: Places
    fade_ms: int = Field(ge=0, le=1000)
    measurement: CardStyle
    caution: CardStyle

    @model_validator(mode="after")
    def _side_by_side(self) -> Look:
        both = self.places.measurement_width + self.places.caution_width + 2 * self.margins.edge
        if both > 0.98:
            raise ValueError(
                "measurement_width and caution_width with both edges come to more than 0.98; "
                "the two cards would touch"
            )
        return self


def load_look(name: str, beside: Path | None = None) -> Look:
    """The look ``name``: from ``beside/overlays`` when it is there, else as shipped.

    Args:
        name: a plain word, never a path.
        beside: the design's folder.

    Raises:
        BadInput: no such look, or one that breaks a rule; every fault is told.
    """
    places = [shipped("overlays")]
    if beside is not None:
        places.insert(0, beside / "overlays")
    if not _PLAIN_WORD.fullmatch(name):
        raise BadInput.of(
            f"{name!r} is not the name of a look",
            f"write a plain word: {_choices(places)}",
        )
    for place in places:
        file = place / f"{name}.yaml"
        if file.is_file():
            return _read(file)
    raise BadInput.of(
        f"there is no look {name!r}",
        f"write one of: {_choices(places)}; or put {name}.yaml in a folder overlays/ beside "
        "the design",
    )


def _choices(places: list[Path]) -> str:
    names = {file.stem for place in places if place.is_dir() for file in place.glob("*.yaml")}
    return ", ".join(sorted(names))


def _read(file: Path) -> Look:
    try:
        text = file.read_text(encoding="utf-8")
        tree = yaml.compose(text, Loader=yaml.SafeLoader)
        data = yaml.load(text, Loader=yaml.SafeLoader)
    except (OSError, UnicodeDecodeError) as error:
        raise BadInput.of(
            f"the look cannot be read ({error})", "save it as a UTF-8 text file", file=file
        ) from error
    except (yaml.YAMLError, ValueError, RecursionError) as error:
        mark = getattr(error, "problem_mark", None)
        raise BadInput(
            [
                Fault(
                    file=file,
                    line=mark.line + 1 if mark else None,
                    column=mark.column + 1 if mark else None,
                    what=f"this is not YAML ({getattr(error, 'problem', None) or error})",
                    write="compare it with overlays/fernhollow.yaml",
                )
            ]
        ) from error
    if not isinstance(data, dict):
        raise BadInput.of(
            "the look is empty or no list of keys",
            "start from a copy of overlays/fernhollow.yaml",
            file=file,
        )
    try:
        return Look.model_validate(data)
    except ValidationError as error:
        raise BadInput([_fault(file, tree, dict(detail)) for detail in error.errors()]) from error


def _fault(file: Path, tree: yaml.Node | None, detail: dict[str, Any]) -> Fault:
    keys = [str(key) for key in detail["loc"]]
    what = str(detail["msg"]).removeprefix("Value error, ")
    write = "see overlays/fernhollow.yaml for what is written there"
    if detail["type"] == "extra_forbidden":
        what = "no such key in a look"
        near = difflib.get_close_matches(keys[-1], _known_keys(keys[:-1]), n=1)
        write = f"write `{near[0]}`, or remove it" if near else "remove it"
    elif detail["type"] == "missing":
        what = "this key is missing"
    elif "too small to read" in what:
        write = "write that size or a larger one; a card with less on it has room for it"
    elif "contrast" in what:
        write = "choose a lighter or darker colour, or make the plate less see-through (opacity)"
    line, column = _place(tree, keys)
    return Fault(file=file, line=line, column=column, keys=".".join(keys), what=what, write=write)


def _known_keys(keys: list[str]) -> list[str]:
    model: type[BaseModel] = Look
    for key in keys:
        found = model.model_fields[key].annotation
        candidates = [found, *get_args(found)]
        model = next(
            kind for kind in candidates if isinstance(kind, type) and issubclass(kind, BaseModel)
        )
    return list(model.model_fields)


def _place(tree: yaml.Node | None, keys: list[str]) -> tuple[int | None, int | None]:
    """Line and column of the deepest of ``keys`` that the file holds."""
    line = column = None
    node = tree
    for key in keys:
        if not isinstance(node, yaml.MappingNode):
            break
        for name, value in node.value:
            if getattr(name, "value", None) == key:
                line, column = name.start_mark.line + 1, name.start_mark.column + 1
                node = value
                break
        else:
            break
    return line, column
