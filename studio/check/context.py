"""What every check looks at."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from studio.design.reading import ReadDesign, load
from studio.episode.assemble import open_episode
from studio.episode.batches import pieces_in
from studio.episode.records import Episode


@dataclass(frozen=True, slots=True)
class Context:
    """A design, what it makes, and the folder that holds what was made.

    Attributes:
        read: the design as typed, with places.
        episode: made afresh from it.
        out_dir: the outputs as they lie on disk.
    """

    read: ReadDesign
    episode: Episode
    out_dir: Path

    @classmethod
    def of(cls, design: Path, out_dir: Path) -> Context:
        """Read the design and look at ``out_dir``.

        Raises:
            BadInput: the design has faults.
        """
        return cls(load(design), open_episode(design, pieces=pieces_in(out_dir)), out_dir)
