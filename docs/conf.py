"""The docs as a site: `make docs`."""

project = "foamwright"
author = "foamwright contributors"
copyright = "foamwright contributors, MIT"
extensions = ["myst_nb"]
# Pages of words hold sessions, not cells; the notebook is run at every build, and a cell that fails fails it.
source_suffix = {".md": "myst-nb", ".ipynb": "myst-nb"}
nb_execution_mode = "force"
nb_execution_raise_on_error = True
nb_execution_timeout = 120
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
