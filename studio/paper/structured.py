"""The handout as data for search engines: schema.org's HowTo, and VideoObject with its Clips.

Vocabulary: https://schema.org/HowTo, /HowToStep, /HowToSupply, /HowToTool, /VideoObject, /Clip, as
JSON-LD 1.1 (W3C). Addresses are those of files beside the page, which a reader takes relative to
the page's own; they are whole where that one is known.
"""

from __future__ import annotations

from typing import Any
from urllib.parse import urljoin, urlsplit

from studio.episode.filmed import FILM
from studio.episode.records import Episode, TimedStep
from studio.language import tr
from studio.measure.measurement import Measurement
from studio.measure.trace import plain
from studio.paper import views
from studio.paper.markup import to_text

PICTURE, POSTER = "piece.png", "thumbnail.png"
"""Files beside the page."""

MS_PER_S = 1000


def structured_data(episode: Episode, address: str = "") -> dict[str, Any]:
    """What the page says, as one graph; of the film only where the page shows it.

    Args:
        episode: what it tells.
        address: the page's whole address; empty where that is not known.

    >>> duration(3_725_400)
    'PT1H2M5S'
    """
    graph = [_how_to(episode, address)]
    if episode.length_ms is not None and shows_film(episode):
        graph.append(_film(episode, episode.length_ms, address))
    return {"@context": "https://schema.org", "@graph": graph}


def shows_film(episode: Episode) -> bool:
    """Whether the page shows the film: it lies beside it, and the design knows how long it is."""
    return episode.filmed and episode.length_ms is not None


def beside(address: str, name: str) -> str:
    """The address of a file beside the page, or of a place on the page (``#film``).

    >>> beside("https://example.org/globe/index.html", "piece.png"), beside("", "#film")
    ('https://example.org/globe/piece.png', '#film')
    """
    return urljoin(address, name)


def about(episode: Episode) -> str:
    """The summary on one line, as search engines and previews of links show it."""
    return _line(to_text(episode.summary))


def duration(ms: int) -> str:
    """A length of time in whole seconds (ISO 8601, as schema.org's Duration wants it).

    >>> duration(135_000)
    'PT2M15S'
    """
    minutes, seconds = divmod(ms // MS_PER_S, 60)
    hours, minutes = divmod(minutes, 60)
    parts = ((hours, "H"), (minutes, "M"), (seconds, "S"))
    return "PT" + ("".join(f"{count}{unit}" for count, unit in parts if count) or "0S")


def _how_to(episode: Episode, address: str) -> dict[str, Any]:
    made: dict[str, Any] = {
        "@type": "HowTo",
        "@id": beside(address, "#how-to"),
        "name": _line(episode.title),
        "description": about(episode),
        **({"image": beside(address, PICTURE)} if episode.pictured else {}),
        "inLanguage": episode.language.page,
        "author": {"@type": "Organization", "name": _line(episode.workshop)},
        "supply": [{"@type": "HowToSupply", "name": name} for name in _supplies(episode)],
        "tool": [{"@type": "HowToTool", "name": name} for name in _tools(episode)],
        "step": [_step(one, address) for one in episode.steps],
    }
    if episode.licence:
        name = _line(episode.licence)
        # the vocabulary takes an address or a work; a licence's short name is no address
        made["license"] = name if _is_address(name) else {"@type": "CreativeWork", "name": name}
    if shows_film(episode):
        made["video"] = {"@id": beside(address, "#film")}
    return made


def _is_address(text: str) -> bool:
    return urlsplit(text).scheme in ("http", "https")


def _is_tool(one: Measurement) -> bool:
    """Whether what is needed comes back from the piece: a cutter, a drill."""
    return one.name.endswith(".drill") or views.is_cutter(one) or views.is_bored(one)


def _supplies(episode: Episode) -> list[str]:
    used = [one for one in views.needed(episode) if not _is_tool(one)]
    used += views.used_up(episode)
    return [*map(_line, views.woods(episode)), *(_sized(episode, one) for one in used)]


def _tools(episode: Episode) -> list[str]:
    sized = [one for one in views.needed(episode) if _is_tool(one)]
    return [*map(_line, views.tools(episode.steps)), *(_sized(episode, one) for one in sized)]


def _sized(episode: Episode, one: Measurement) -> str:
    of = tr("Drill") if views.is_bored(one) else _line(views.of_what(episode, one.name))
    return f"{of + ' – ' if of else ''}{one.label}: {one.both}"


def _step(step: TimedStep, address: str) -> dict[str, Any]:
    cautions = (plain(f"{one.short} {one.text}") for one in step.cautions)
    made: dict[str, Any] = {
        "@type": "HowToStep",
        "position": step.number,
        "name": _line(step.title),
        "text": " ".join([_line(to_text(step.do)), *(_line(one) for one in cautions)]),
        "url": beside(address, f"#step-{step.number}"),
    }
    return made


def _film(episode: Episode, length_ms: int, address: str) -> dict[str, Any]:
    film = beside(address, FILM)
    # no uploadDate: publishing would change the page that has just been published
    return {
        "@type": "VideoObject",
        "@id": beside(address, "#film"),
        "name": _line(episode.title),
        "description": _line(to_text(episode.summary)),
        "contentUrl": film,
        "thumbnailUrl": beside(address, POSTER),
        "duration": duration(length_ms),
        "width": episode.size.width,
        "height": episode.size.height,
        "inLanguage": episode.language.page,
        "hasPart": [
            {
                "@type": "Clip",
                "name": _line(one.title),
                "startOffset": one.start_ms / MS_PER_S,
                "endOffset": one.end_ms / MS_PER_S,
                "url": f"{film}#t={one.start_ms / MS_PER_S}",
            }
            for one in episode.chapters
        ],
    }


def _line(marked: str) -> str:
    return " ".join(plain(marked).split())
