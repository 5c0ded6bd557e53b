"""The command line: arguments, exit codes, and nothing else.

Exit codes: 0 done, 1 findings or work that failed once begun, 2 wrong use or bad input, 3 our own
fault, 130 interrupted.
"""

from __future__ import annotations

import argparse
import contextlib
import os
import re
import signal
import sys
import tempfile
import traceback
from collections.abc import Sequence
from pathlib import Path

from studio import __version__
from studio.errors import StudioError

# the design's schema has no plugins, and looking for some costs a tenth of a second at each start
os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")


def _share(text: str) -> float:
    """A place across the picture, ``40 %`` or ``40``, as a share."""
    try:
        share = float(text.strip().removesuffix("%")) / 100
    except ValueError:
        share = -1.0
    if not 0 <= share <= 1:
        raise argparse.ArgumentTypeError(f"{text!r} is not a place; write one such as 40 %")
    return share


def parser() -> argparse.ArgumentParser:
    """What may be typed behind ``studio``."""
    parser = argparse.ArgumentParser(
        prog="studio",
        description="One design file in; cut sheet, handout, script, captions, overlays, chapters "
        "and description out, all with the same numbers.",
    )
    parser.add_argument("--version", action="version", version=f"studio {__version__}")
    commands = parser.add_subparsers(dest="command", required=True, metavar="COMMAND")

    def command(name: str, help_text: str, *, design: bool = True) -> argparse.ArgumentParser:
        sub = commands.add_parser(
            name, help=help_text, description=help_text[:1].upper() + help_text[1:] + "."
        )
        if design:
            sub.add_argument("design", type=Path, metavar="DESIGN", help="a design file (.yaml)")
            sub.add_argument("--json", action="store_true", help="print the result as JSON")
        return sub

    def with_out(sub: argparse.ArgumentParser) -> argparse.ArgumentParser:
        sub.add_argument(
            "--out", type=Path, metavar="DIR", help="folder of the outputs (default: build/<name>)"
        )
        return sub

    with_out(command("measure", "print every measurement of a design"))
    build = with_out(command("build", "write everything that needs no footage"))
    build.add_argument(
        "--count", metavar="N", help="pieces of a batch: writes a sheet for that many too"
    )
    build.add_argument(
        "--language",
        action="append",
        default=[],
        metavar="TAG",
        help="a second language: writes what viewers read in it too (de), from NAME.de.yaml",
    )
    burn = with_out(
        command("burn", "burn the overlays into the master, captions and chapters inside")
    )
    burn.add_argument("--master", type=Path, required=True, metavar="FILE", help="the edited film")
    burn.add_argument(
        "--engine",
        choices=("exact", "moviepy"),
        default="exact",
        help="exact (default): encode only pictures under an overlay; moviepy: encode all",
    )
    short = with_out(command("short", "one step as an upright film, its overlays burnt in"))
    short.add_argument("step", metavar="STEP", help="the step's name in the design")
    short.add_argument("--master", type=Path, required=True, metavar="FILE", help="the edited film")
    short.add_argument(
        "--middle",
        type=_share,
        metavar="PERCENT",
        help="middle of the cut across the picture (default: where most goes on)",
    )
    cut = with_out(command("cut", "line the recordings up; a rough cut of the takes, a timeline"))
    cut.add_argument(
        "--footage",
        type=Path,
        metavar="DIR",
        help="folder of the recordings (default: the folder footage beside the design)",
    )
    cut.add_argument(
        "--timeline-only", action="store_true", help="write the timeline and no rough cut"
    )
    time = command("time", "find the narration in a recorded voice: when each step starts")
    source = time.add_mutually_exclusive_group(required=True)
    source.add_argument("--voice", type=Path, metavar="FILE", help="the film, or its sound")
    source.add_argument("--captions", type=Path, metavar="FILE", help="its captions (.srt, .vtt)")
    time.add_argument(
        "--begins",
        metavar="TIME",
        help="where in the film they begin (0:00); -0:03 when three seconds before it",
    )
    time.add_argument(
        "--slate",
        metavar="WORD",
        help="listen for WORD one, WORD two, … said before each step, instead of the narration",
    )
    check = with_out(command("check", "check that what is said, shown and printed agree"))
    check.add_argument(
        "--said",
        type=Path,
        metavar="FILE",
        help="captions of what was said in the film (.srt, .vtt, .txt)",
    )
    check.add_argument(
        "--details", action="store_true", help="tell figures too that were rounded in talk"
    )
    check.add_argument(
        "--film",
        type=Path,
        metavar="FILE",
        help="the film, or a recording of its voice: hints where a figure sounds like another",
    )
    publish = command("publish", "record what viewers are told from today on", design=False)
    publish.add_argument(
        "designs", type=Path, nargs="+", metavar="DESIGN", help="design files, built and checked"
    )
    publish.add_argument("--json", action="store_true", help="print the result as JSON")
    publish.add_argument(
        "--site",
        type=Path,
        metavar="DIR",
        help="write the site of all published designs of that folder; DESIGN may be the folder",
    )
    publish.add_argument(
        "--films", action="store_true", help="copy films onto the site that its pages show"
    )
    with_out(publish)
    correct = with_out(
        command("correct", "tell what has changed since publication, and record why")
    )
    correct.add_argument("--reason", metavar="TEXT", help="why; records the correction")
    new = command("new", "start a design, alone or from another one", design=False)
    new.add_argument("name", metavar="NAME", help="the new file's name, without .yaml")
    new.add_argument(
        "--from", dest="source", type=Path, metavar="DESIGN", help="the design to derive it from"
    )
    new.add_argument("--scale-to", metavar="LEN", help="its size, such as '45 mm' or '1 3/4 in'")
    compare = command(
        "compare",
        "tell what differs between two designs, to record and to film again",
        design=False,
    )
    compare.add_argument("before", type=Path, metavar="A", help="a design file")
    compare.add_argument("after", type=Path, metavar="B", help="another one")
    listing = command("list", "list the designs of a folder", design=False)
    listing.add_argument("folder", type=Path, metavar="DIR", help="a folder with designs")
    for sub in (new, compare, listing):
        sub.add_argument("--json", action="store_true", help="print the result as JSON")
    schema = command("schema", "print the JSON Schema of a file, for your editor", design=False)
    schema.add_argument("file", choices=("design", "workshop"), help="which of the two files")
    demo = command(
        "demo", "run the whole job on the shipped designs and sample footage", design=False
    )
    demo.add_argument(
        "--out", type=Path, default=Path("build"), metavar="DIR", help="folder (default: build)"
    )
    return parser


def _run(arguments: argparse.Namespace) -> int:
    # each command is imported when it is called, so that measure does not wait for film libraries
    if arguments.command == "schema":
        from studio.commands.schema import schema

        return schema(arguments.file)
    if arguments.command == "demo":
        from studio.commands.demo import demo

        return demo(arguments.out)
    if arguments.command == "new":
        from studio.commands.new import new

        return new(arguments.name, arguments.source, arguments.scale_to, as_json=arguments.json)
    if arguments.command == "compare":
        from studio.commands.compare import compare

        return compare(arguments.before, arguments.after, as_json=arguments.json)
    if arguments.command == "list":
        from studio.commands.list import list_designs

        return list_designs(arguments.folder, as_json=arguments.json)
    if arguments.command == "publish":
        from studio.commands.publish import publish

        return publish(
            arguments.designs,
            arguments.out,
            as_json=arguments.json,
            site=arguments.site,
            films=arguments.films,
        )
    design: Path = arguments.design
    if arguments.command == "correct":
        from studio.commands.correct import correct

        return correct(design, arguments.reason, as_json=arguments.json, out=arguments.out)
    if arguments.command == "time":
        from studio.commands.time import time

        given = (arguments.voice, arguments.captions, arguments.begins)
        return time(design, *given, slate=arguments.slate, as_json=arguments.json)
    out: Path = arguments.out or Path("build") / design.stem
    if arguments.command == "measure":
        from studio.commands.measure import measure

        return measure(design, arguments.out, as_json=arguments.json)
    if arguments.command == "build":
        from studio.commands.build import build

        return build(
            design,
            out,
            as_json=arguments.json,
            pieces=arguments.count,
            languages=arguments.language,
        )
    if arguments.command == "burn":
        from studio.commands.burn import burn

        return burn(design, arguments.master, out, engine=arguments.engine, as_json=arguments.json)
    if arguments.command == "short":
        from studio.commands.short import short

        return short(
            design,
            arguments.step,
            arguments.master,
            out,
            middle=arguments.middle,
            as_json=arguments.json,
        )
    if arguments.command == "cut":
        from studio.commands.cut import cut

        only = arguments.timeline_only
        return cut(design, arguments.footage, out, timeline_only=only, as_json=arguments.json)
    from studio.commands.check import check

    return check(
        design,
        out,
        as_json=arguments.json,
        said=arguments.said,
        details=arguments.details,
        film=arguments.film,
    )


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command; the return value is the process's exit code."""
    arguments = parser().parse_args(_times_bound(sys.argv[1:] if argv is None else argv))
    _stop_like_control_c()
    try:
        code = _run(arguments)
        sys.stdout.flush()
        return code
    except StudioError as error:
        sys.stderr.write(f"{error}\n")
        return error.exit_code
    except KeyboardInterrupt:
        sys.stderr.write("interrupted; nothing half-written was left behind\n")
        return 130
    except BrokenPipeError:
        # the reader of our output has left (studio measure … | head); that is no fault
        sys.stdout = open(os.devnull, "w")  # noqa: SIM115, PTH123
        return 0
    except Exception:  # noqa: BLE001 (the one place where our own faults are told)
        return _our_own_fault()


def _times_bound(argv: Sequence[str]) -> list[str]:
    """The arguments with a time below 0 bound to its option, or it would be taken for one itself.

    >>> _times_bound(["time", "a.yaml", "--begins", "-0:03", "--json"])
    ['time', 'a.yaml', '--begins=-0:03', '--json']
    """
    bound: list[str] = []
    for one in argv:
        if bound and bound[-1] == "--begins" and re.match(r"-\d", one):
            bound[-1] += f"={one}"
        else:
            bound.append(one)
    return bound


def _stop_like_control_c() -> None:
    """A closed terminal or a stopped service ends the work as tidily as Ctrl-C does."""

    def stop(*_: object) -> None:
        raise KeyboardInterrupt

    with contextlib.suppress(ValueError):  # not in the main thread: somebody else's signals
        for name in ("SIGTERM", "SIGHUP"):
            if hasattr(signal, name):
                signal.signal(getattr(signal, name), stop)


def _our_own_fault() -> int:
    text = traceback.format_exc()
    handle, name = tempfile.mkstemp(prefix="studio-fault-", suffix=".log")
    with os.fdopen(handle, "w", encoding="utf-8") as log:
        log.write(f"studio {__version__}, Python {sys.version}\n{text}")
    last = text.strip().splitlines()[-1]
    sys.stderr.write(
        f"this is a fault of studio itself, not of your design: {last}\n"
        f"    please send the file {name} with your design\n"
    )
    return 3


if __name__ == "__main__":
    sys.exit(main())
