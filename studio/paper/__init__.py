"""Everything to read: handout, cut sheet, script and description, from one episode."""

from studio.paper.markup import visible_text
from studio.paper.rendering import ORIGINS
from studio.paper.writing import PAPERS, write_papers

__all__ = ["ORIGINS", "PAPERS", "visible_text", "write_papers"]
