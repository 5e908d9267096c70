# The one way to do each thing; CI calls the same targets.
# Every target works alone on a fresh machine with Python 3.11 and a package index.
PYTHON ?= python3
# The matrices are small: threads inside the linear algebra library cost more than they save.
export OPENBLAS_NUM_THREADS ?= 1
VENV := .venv
BIN := $(VENV)/bin
UV_VERSION := 0.13.9
STAMP := $(VENV)/.synced

.PHONY: fuzz runs docs site pictures brief-riders setup demo test test-browser test-lowest pythons check check-web \
	format bench bench-app bench-trials bench-load release clean

setup: $(STAMP)

$(STAMP): pyproject.toml uv.lock
	test -x $(BIN)/python || $(PYTHON) -m venv $(VENV)
	test -x $(BIN)/uv || $(BIN)/python -m pip install --quiet uv==$(UV_VERSION)
	UV_PROJECT_ENVIRONMENT=$(VENV) $(BIN)/uv sync --quiet --frozen --compile-bytecode --all-extras --all-groups --inexact
	touch $(STAMP)

demo: setup
	$(BIN)/foamwright demo --out demo-papers

test: setup
	$(BIN)/python -m pytest -rs -n 2 tests/unit tests/property tests/published tests/golden
	$(BIN)/python -m pytest -rs -n 2 --dist loadfile tests/browser

# The app in a real Chromium alone: the second half of `test`.
test-browser: setup
	$(BIN)/python -m pytest -rs -n 2 --dist loadfile tests/browser

# The oldest versions that pyproject.toml allows, in an environment of their own: the demo, and tests of each library.
LOWEST := build/lowest
test-lowest: setup
	rm -rf $(LOWEST) && mkdir -p build
	$(PYTHON) -m venv $(LOWEST)
	$(BIN)/uv pip compile --quiet --resolution lowest-direct --all-extras pyproject.toml -o $(LOWEST)/oldest.txt
	$(BIN)/uv pip install --quiet --python $(LOWEST)/bin/python -r $(LOWEST)/oldest.txt -e . pytest hypothesis httpx httpx2 \
	  pypdf pikepdf trimesh networkx lxml pillow
	$(LOWEST)/bin/foamwright demo --out $(LOWEST)/demo-papers >/dev/null
	$(LOWEST)/bin/python -m pytest -q -o filterwarnings=default -p no:cacheprovider tests/unit/water tests/unit/shop/test_opening.py \
	  tests/unit/shop/test_places.py tests/unit/exchange/test_step.py tests/unit/stocking/test_cluster.py \
	  tests/unit/papers/test_writers.py tests/unit/web/test_entering.py

# Every Python that is here: sizes, first and second run, and the same answers to a stated tolerance.
pythons: setup
	rm -rf dist && $(BIN)/uv build --quiet --wheel --out-dir dist .
	$(BIN)/python scripts/try_pythons.py

check: setup
	$(BIN)/ruff format --check src tests benchmarks scripts *.py
	$(BIN)/ruff check src tests benchmarks scripts *.py
	$(BIN)/mypy
	$(BIN)/lint-imports
	if command -v npm >/dev/null; then $(MAKE) -s check-web; else echo "npm is not here: scripts of pages are not checked"; fi

# The pages' scripts and styles: types by tsc (strict), and a linter. Tools of development; nothing of them is shipped.
check-web: node_modules/.installed
	npm run --silent check

node_modules/.installed: package-lock.json
	npm ci --silent --no-audit --no-fund
	touch $@

format: setup
	$(BIN)/ruff format src tests benchmarks
	$(BIN)/ruff check --fix src tests benchmarks

# Every kind of board for 1,000 riders of a survey; about an hour on one core.
brief-riders: setup
	$(BIN)/python benchmarks/brief_riders.py

# The closed loop's figures on drawn boards.
bench-trials: setup
	$(BIN)/python benchmarks/bench_trials.py 400

# Walks of 60 random plans (240 run-offs), replayed by a plane of the tests' own; a few minutes.
runs: setup
	$(BIN)/python benchmarks/cuts_walks.py 60

# Damaged files of every kind through the real commands.
fuzz: setup
	FOAMWRIGHT_QUIET=1 $(BIN)/python scripts/fuzz.py 20000

# The pages in a real Chromium beside an empty page of a plain file server.
bench-app: setup
	$(BIN)/python benchmarks/app_pages.py

bench: setup
	$(BIN)/python benchmarks/run.py

# Tablets at the app beside the smallest server there is, in one run: waits, losses, processor time.
bench-load: setup
	$(BIN)/python benchmarks/app_load.py 50 40
	$(BIN)/python benchmarks/app_load.py 200 40

# Builds what is published, checks its metadata, installs it into a fresh environment and runs the demo there.
release: setup
	rm -rf dist build/fresh
	$(BIN)/uv build --quiet --out-dir dist .
	$(BIN)/twine check --strict dist/*
	$(BIN)/pyroma --min 10 dist/*.tar.gz
	$(PYTHON) -m venv build/fresh
	$(BIN)/uv pip install --quiet --python build/fresh/bin/python dist/*.whl
	build/fresh/bin/foamwright demo --out build/fresh/demo-papers

# The docs as a site in build/docs; a warning fails it.
docs: setup
	$(BIN)/python -m sphinx -q -W --keep-going -b html docs build/docs

# The docs and the demo's jobs as plain pages for any web server, in build/site.
site: docs
	$(BIN)/python scripts/make_site.py

# The docs' pictures, from the program itself; needs pdftoppm and a Chromium.
pictures: setup
	$(BIN)/python scripts/make_pictures.py

clean:
	rm -rf $(VENV) demo-papers dist build
