"""The static demonstration: the docs and the demo's jobs as plain pages that any web server can show.

``make site`` writes ``build/site``: the docs, each demo job's folder with its ``index.html``, and one page
that leads to them. Nothing in it needs a server of ours or the network.
"""

from __future__ import annotations

import html
import shutil
import sys
from pathlib import Path

from foamwright.cli.tables import length_text
from foamwright.jobs.demo import demo_plans
from foamwright.units import System

ROOT = Path(__file__).resolve().parents[1]
SITE = ROOT / "build" / "site"

PAGE = """<!doctype html>
<html lang="en">
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>foamwright: two planned boards</title>
<style>
body {{ font: 1rem/1.5 system-ui, sans-serif; color: #1d2421; }}
body {{ max-width: 46rem; margin: 3rem auto; padding: 0 1rem; }}
a {{ color: #0b5d4b; }}
li {{ margin: 0.5rem 0; }}
img {{ width: 100%; height: auto; border: 1px solid #d5d9d6; }}
</style>
<h1>foamwright</h1>
<p>Plans and checks the shaping of a surfboard by hand from a foam blank. Two invented boards, planned from
an invented workshop's stock, as the program writes them:</p>
<ul>
{jobs}
</ul>
<p><a href="docs/index.html">The documentation</a></p>
<p><img src="docs/_images/workbench.png" alt="The workbench in the browser"></p>
</html>
"""


def main() -> int:
    """Write the site; the docs must be built already."""
    docs = ROOT / "build" / "docs"
    if not (docs / "index.html").is_file():
        print("The docs are not built: make docs.", file=sys.stderr)
        return 2
    shutil.rmtree(SITE, ignore_errors=True)
    shutil.copytree(docs, SITE / "docs", ignore=shutil.ignore_patterns(".doctrees", ".buildinfo"))
    rows = []
    for plan, written in demo_plans(SITE / "demo", "a4", System.INCH):
        page = next(path for path in written if path.name == "index.html").relative_to(SITE)
        words = (
            f"{plan.board.name}, {length_text(plan.board.length, System.INCH)}, from blank {plan.blank.id}"
        )
        rows.append(f'<li><a href="{page.as_posix()}">{html.escape(words)}</a></li>')
    (SITE / "index.html").write_text(PAGE.format(jobs="\n".join(rows)), "utf-8")
    print(f"{SITE / 'index.html'}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
