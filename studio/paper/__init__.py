"""Everything to read: handout, cut sheet, script and description, from one episode."""

from studio.paper.markup import visible_text
from studio.paper.papers import PAPERS, paper_files
from studio.paper.rendering import ORIGINS

__all__ = ["ORIGINS", "PAPERS", "paper_files", "visible_text"]
