"""The docs as a site: `make docs`."""

project = "foamwright"
author = "foamwright contributors"
copyright = "foamwright contributors, MIT"
extensions = ["myst_parser"]
source_suffix = {".md": "markdown"}
exclude_patterns = ["_build"]
myst_heading_anchors = 3
html_theme = "alabaster"
html_theme_options = {
    "description": "Hand shaping of boards, planned and checked.",
    "font_family": "system-ui, sans-serif",
    "page_width": "1160px",
    "sidebar_width": "240px",
}
html_show_sphinx = False
# Code blocks hold sessions and sheets that no highlighter knows in full; what it cannot read stays plain.
highlight_language = "text"
