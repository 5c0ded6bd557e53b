"""The index's search in Chromium: typed words hide the others; without scripts the list remains.

Needs Chromium, and says so when it is missing.
"""

from __future__ import annotations

import json
import re
import subprocess
from html import unescape

import pytest

from tests.browser import chromium
from tests.site.conftest import Series

HARNESS = """<!DOCTYPE html><meta charset="utf-8"><body>
<iframe src="site/index.html" style="width:{width}px;height:900px"></iframe>
<script>
addEventListener("load", () => {{
  const page = document.querySelector("iframe").contentDocument;
  const field = page.getElementById("words");
  const said = [];
  for (const typed of {typed}) {{
    field.value = typed;
    field.dispatchEvent(new Event("input"));
    said.push([[...page.querySelectorAll("#designs > li")].filter(one => one.offsetParent)
      .map(one => one.querySelector("a").getAttribute("href")),
      page.getElementById("found").textContent]);
  }}
  field.form.requestSubmit();
  const focus = page.activeElement.getAttribute("href") || page.activeElement.id;
  const root = page.documentElement;
  document.body.innerHTML = "";
  document.body.append(JSON.stringify([said, focus, root.scrollWidth > root.clientWidth]));
}});
</script>"""


@pytest.mark.parametrize("width", [360, 1280])
def test_search(hostile: Series, width: int) -> None:
    browser = chromium()
    hostile.write()
    typed = [
        "",
        "CHERRY lobes",
        "🎄 ÓRNAMENT",
        "no such wood",
        "<script>",
        "hostile globe",
        "lobes 8",
    ]
    page = hostile.site.parent / "harness.html"
    page.write_text(HARNESS.format(typed=json.dumps(typed), width=width), encoding="utf-8")
    done = subprocess.run(
        [browser, "--headless", "--no-sandbox", "--disable-gpu", "--allow-file-access-from-files",
         "--virtual-time-budget=5000", "--window-size=1400,1000", "--dump-dom", page.as_uri()],
        capture_output=True, text=True, timeout=120, check=False,
    )  # fmt: skip
    body = re.search(r"<body>(.*)</body>", done.stdout, re.DOTALL)
    assert body is not None, done.stderr
    said, focus, wide = json.loads(unescape(body[1]))
    assert not wide
    assert said[0] == [said[0][0], "8 designs"]
    assert len(said[0][0]) == 8
    assert said[1] == [["twelve-lobe-drop/index.html"], "1 of 8"]
    assert said[2] == [["hostile-emoji/index.html"], "1 of 8"]
    assert said[3] == [[], "None of 8; try fewer words"]
    assert said[4] == [["hostile-html/index.html"], "1 of 8"]
    assert "lobed-globe/index.html" in said[6][0]
    assert focus == said[6][0][0], "Enter goes to the first that was found"


def test_without_scripts_the_list_remains(series: Series) -> None:
    series.write()
    index = series.text("index.html")
    assert re.search(r'<form id="search"[^>]* hidden>', index)
    assert index.count("<li data-words=") == 3
    assert not re.search(r"<li data-words=[^>]* hidden", index)
