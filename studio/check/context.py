"""What every check looks at."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

from studio.design.reading import ReadDesign, load
from studio.episode.batches import pieces_in
from studio.episode.filmed import with_film
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
        own: the same in the design's own language; None where it is that.
        others: the same design in each second language that the folder was built in.
        made: papers that were made afresh already, by name.
    """

    read: ReadDesign
    episode: Episode
    out_dir: Path
    tag: str = ""
    own: Episode | None = None
    others: tuple[Context, ...] = ()
    made: dict[str, str] = field(init=False, default_factory=dict, compare=False, repr=False)

    @classmethod
    def of(cls, design: Path, out_dir: Path) -> Context:
        """Read the design and look at ``out_dir``.

        Raises:
            BadInput: the design has faults.
        """
        there = languages_in(out_dir)
        every = in_languages(design, there, pieces=pieces_in(out_dir))
        first, *others = (with_film(one, out_dir) for one in every)
        return cls(
            load(design),
            first,
            out_dir,
            others=tuple(
                cls(load(design, tag), one, out_dir, tag, first)
                for one in others
                for tag in (one.language.tag,)
            ),
        )

    def papers(self) -> tuple[str, ...]:
        """Names of the papers that are made of the design, in the language that this is about."""
        return tuple(self._renders())

    def paper(self, name: str) -> str:
        """A paper as the design makes it now, marked; made once for all checks.

        Raises:
            KeyError: no paper of that name is made of this design.
        """
        if name not in self.made:
            self.made[name] = self._renders()[name](self.episode)
        return self.made[name]

    def _renders(self) -> dict[str, Callable[[Episode], str]]:
        from studio.paper.papers import papers_of, viewers_papers

        return viewers_papers(self.episode) if self.tag else papers_of(self.episode)

    def name(self, file: str) -> str:
        """A file's name in the language that this is about."""
        return in_language(file, self.tag) if self.tag else file
