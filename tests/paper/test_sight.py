"""Which words of a page count as seen: by what stands round them, by tags that do not match."""

from __future__ import annotations

import pytest

from studio.paper.markup import VOID, visible_text
from studio.paper.sight import SHOWN, hidden_by, seen_text
from studio.paper.typeset.page import SCREEN_ONLY

WORDS = "wear a shield"

HIDING = (
    "<details><summary>Safety</summary><p>{}</p></details>",
    "<details open><p>x</p><details><p>{}</p></details></details>", "<dialog>{}</dialog>",
    "<details open name=a></details><details open name=a><p>{}</p></details>",
    "<noscript>{}</noscript>", "<canvas>{}</canvas>", "<video controls>{}</video>",
    "<audio>{}</audio>", "<datalist><option>{}</option></datalist>",
    "<select><option>x</option><option>{}</option></select>",
    "<progress value=1>{}</progress>", "<meter value=1>{}</meter>",
    "<svg><desc>{}</desc></svg>", "<svg><title>{}</title></svg>",
    "<svg><defs><text y=9>{}</text></defs></svg>", "<ruby>a<rp>{}</rp></ruby>",
    "<template>{}</template>", "<iframe>{}</iframe>", "<script>{}</script>",
    "<style>{}</style>", "<!-- {} -->", "<!-- x -- > {} -->", "<title>{}</title>",
    "<p title='{}'></p>", "<div hidden>{}</div>", "<div HIDDEN=until-found>{}</div>",
    "<p hidden><b>{}</b></p>", "<div popover>{}</div>",
    # tags that do not match hide on
    "<div hidden/>{}</div>", "<div hidden><p></div2>{}</div>",
    "<p><b hidden></p><p>{}</p></b>", "<details></summary></ul>{}</details>",
    "<dialog><div></aside>{}</div></dialog>",
    "<video><track src=a><source src=b>{}</video>", "<svg><path/><desc>{}</desc></svg>",
    "<div>{}<template shadowrootmode=open></template></div>",
)  # fmt: skip
"""What a browser hides too (``test_page_in_browser.py`` asks one)."""

COUNTED_OUT = (
    "<dialog open>{}</dialog>", "<svg><text y=9>{}</text></svg>", "<object>{}</object>",
    "<textarea>{}</textarea>", "<nav>{}</nav>", "<form>{}</form>", "<button>{}</button>",
    "<x-caution>{}</x-caution>", "<marquee>{}</marquee>", "<font color=white>{}</font>",
    "<s>{}</s>", "<del>{}</del>", "<div inert>{}</div>", '<div aria-hidden="TRUE">{}</div>',
    '<div class="a screen-only">{}</div>', '<span class="column">{}</span>',
    "<details open name=a>{}</details>", "<details/>{}", "<textarea><b></textarea2>{}",
    "<frameset></frameset><p>{}</p>",
)  # fmt: skip
"""What some reader would see, but not on every screen and sheet, or struck out, or not heard."""


@pytest.mark.parametrize("markup", HIDING + COUNTED_OUT)
def test_what_markup_hides_is_not_seen(markup: str) -> None:
    page = f"<!DOCTYPE html><body><p>before</p>{markup.format(WORDS)}"
    assert WORDS not in seen_text(page)


SHOWING = (
    "<details open><summary>Safety</summary><p>{}</p></details>",
    "<div hidden>x</div>{}", "<div hidden><ul><li>x<li>y</ul></div>{}", "<nav><a>x</a></nav>{}",
    "<textarea><b></textarea>{}", "<title><b></title>{}", "<svg><path/></svg>{}", "<svg/>{}",
    "<video><track src=a><source src=b><a>x</a></video>{}", "<br/>{}", "<hr hidden>{}",
    "<!-->{}<!-- -->", "<!-- x --!>{}", "<table><colgroup><col><tr><td>{}</table>",
    '<div aria-hidden="false">{}</div>', '<div class="caution">{}</div>', "<p>wear\n a <b>shield",
)  # fmt: skip


@pytest.mark.parametrize("markup", SHOWING)
def test_what_markup_shows_is_seen(markup: str) -> None:
    assert WORDS in seen_text(f"<!DOCTYPE html><body>{markup.format(WORDS)}</body>")


def test_every_element_that_shows_is_seen_and_any_other_is_not() -> None:
    assert SHOWN.isdisjoint(VOID)
    for tag in SHOWN:
        assert seen_text(f"<{tag}>{WORDS}</{tag}>") == WORDS
        assert seen_text(f"<{tag} hidden>{WORDS}</{tag}><p>x") == "x"
    assert SHOWN.isdisjoint(SCREEN_ONLY), "what the sheets leave out is not seen"


@pytest.mark.parametrize(
    ("markup", "by"),
    [
        ("<details><p>{}</p></details>", "<details>"),
        ("<section><div Hidden><dialog>{}</dialog></div></section>", "<div hidden>"),
        ('<p class="screen-only">{}</p>', '<p class="screen-only">'),
        ("<p>{}</p>", ""),
        ("", ""),
    ],
)
def test_what_hides_is_named(markup: str, by: str) -> None:
    assert hidden_by(markup.format(WORDS), WORDS) == by


def test_other_readers_of_a_page_hear_what_can_be_opened() -> None:
    """Numbers are looked at wherever they stand."""
    assert visible_text("<details><p hidden>60 mm</p></details>") == "60 mm"
