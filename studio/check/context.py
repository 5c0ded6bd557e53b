"""What every check looks at."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from studio.design.reading import ReadDesign, load
from studio.episode.batches import pieces_in
from studio.episode.languages import in_language, in_languages, languages_in
from studio.episode.records import Episode


@dataclass(frozen=True, slots=True)
class Context:
    """A design, what it makes, and the folder that holds what was made.

    Attributes:
        read: the design as typed, with places.
        episode: made afresh from it.
        out_dir: the outputs as they lie on disk.
        tag: of the second language that it is about; empty for the design's own.
        others: the same design in each second language that the folder was built in.
    """

    read: ReadDesign
    episode: Episode
    out_dir: Path
    tag: str = ""
    others: tuple[Context, ...] = ()

    @classmethod
    def of(cls, design: Path, out_dir: Path) -> Context:
        """Read the design and look at ``out_dir``.

        Raises:
            BadInput: the design has faults.
        """
        there = languages_in(out_dir)
        first, *others = in_languages(design, there, pieces=pieces_in(out_dir))
        return cls(
            load(design),
            first,
            out_dir,
            others=tuple(
                cls(load(design, tag), one, out_dir, tag)
                for one in others
                for tag in (one.language.tag,)
            ),
        )

    def name(self, file: str) -> str:
        """A file's name in the language that this is about."""
        return in_language(file, self.tag) if self.tag else file
