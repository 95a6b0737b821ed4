# Commands of the handbook. Everything they install stays inside this folder.
#   make handbook    set up, build strictly, serve on this machine
#   make site        build into site/
#   make check       set up and run every test (needs Chromium, nginx)
#   make check-fast  while writing: without the browser, and with fewer random inputs
#   make release     dated zip for a folder, bound PDF, checksums, moved numbers: build/release/ (needs Chromium)
#   make gates       the built site before judges: HTML, Lighthouse, the theme's successor (needs Chromium, nginx)
#   make newcomer    what a newcomer does first, in a fresh copy without caches, with the times
#   make bench       timings, and 100,000 random inputs a formula in both interpreters
#   make mutants MODULES="sizing.ratio sizing.balloon"   change every constant and operator: does a test notice?
#   make table-mutants  the same for every condition and answer of the decision tables

PYTHON ?= $(firstword $(foreach name,python3 python3.13 python3.12 python3.11,\
    $(shell $(name) -c 'import sys; sys.version_info >= (3, 11) and print("$(name)")' 2>/dev/null)))
PORT ?= 8000
ARGS ?=
WORKERS ?= 2
# A file stays with one worker, for what it builds once; the long ones first (tests/conftest.py).
SHARED_OUT := --dist loadfile --no-loadscope-reorder
BENCH_CASES ?= 100000
MODULES ?= formulas.pressure_gradient formulas.body_size sizing.ratio sizing.two_balloons sizing.calibration sizing.inventory sizing.balloon

PY := .venv/bin/python
ENGINE := pvcalc/handbook/engine
PACKAGES := .venv/.packages
ENGINE_READY := $(ENGINE)/node_modules/.ready
MUTANT_TOOLS := .venv/.mutants
GATES := tests/gates
PIP := $(PY) -m pip install -qq --disable-pip-version-check --no-input -c .ci/constraints.txt

# A site is dated by its commit, so that one commit gives one site, byte for byte.
export SOURCE_DATE_EPOCH := $(shell git log -1 --format=%ct 2>/dev/null || echo 0)
export NO_MKDOCS_2_WARNING := 1
# A machine that forbids Python to keep what it compiled pays for it in every process; tests/ alone costs six seconds each.
export PYTHONDONTWRITEBYTECODE :=

.PHONY: handbook site serve check check-fast release gates newcomer bench mutants table-mutants setup clean
.DEFAULT_GOAL := handbook

handbook: site serve

setup: $(PACKAGES) $(ENGINE_READY)

$(PACKAGES): pyproject.toml .ci/constraints.txt
	@test -n "$(PYTHON)" || { echo "Python 3.11 or newer is needed and was not found."; exit 1; }
	@echo "Setting up .venv (about a minute the first time)"
	@$(PYTHON) -m venv .venv || { echo "Python's venv module is needed (Debian: python3-venv)."; exit 1; }
	@$(PIP) -e '.[test]'
	@touch $@

# npm of this machine, or the one a Python package carries. Every archive is checked against the lock's digest.
$(ENGINE_READY): $(PACKAGES) $(ENGINE)/package.json $(ENGINE)/package-lock.json pvcalc/handbook/publish/mathfont.py pvcalc/handbook/publish/textfont.py
	@echo "Installing the browser engine"
	@{ command -v npm && node -e 'process.exit(parseInt(process.versions.node) < 18 ? 1 : 0)'; } >/dev/null 2>&1 \
	    || $(PIP) -e '.[wheelnode]'
	@PATH="$(CURDIR)/.venv/bin:$$PATH" npm ci --prefix $(ENGINE) --userconfig $(ENGINE)/.npmrc --ignore-scripts --loglevel=error
	@$(PY) -m pvcalc.handbook.publish.mathfont
	@$(PY) -m pvcalc.handbook.publish.textfont
	@touch $@

site: setup
	@$(PY) -m mkdocs build --strict --clean -d site

serve:
	@echo "The handbook is at http://127.0.0.1:$(PORT)/index.html (stop with Ctrl-C)"
	@$(PY) -m http.server $(PORT) --bind 127.0.0.1 --directory site >/dev/null 2>&1

check: setup
	@$(PY) -m tests.helpers.need_programs
	@$(PY) -m pytest -n $(WORKERS) $(SHARED_OUT) $(ARGS)

check-fast: setup
	@HYPOTHESIS_PROFILE=fast $(PY) -m pytest -n $(WORKERS) $(SHARED_OUT) -m "not browser" $(ARGS)

release: site
	@$(PY) -m pvcalc.handbook.publish.release site build/release

gates: site $(GATES)/node_modules/.ready
	@failed=0; for judge in html phone successor; do $(PY) $(GATES)/$$judge.py site || failed=1; done; exit $$failed

$(GATES)/node_modules/.ready: $(GATES)/package-lock.json pyproject.toml .ci/constraints.txt $(ENGINE_READY)
	@echo "Installing the judges"
	@PATH="$(CURDIR)/.venv/bin:$$PATH" npm ci --prefix $(GATES) --userconfig $(GATES)/.npmrc --ignore-scripts --loglevel=error
	@$(PIP) -e '.[successor]'
	@touch $@

newcomer:
	@$(PYTHON) tests/programs/newcomer.py

bench: setup
	@for script in tests/bench/*.py; do test ! -e "$$script" || $(PY) "$$script" || exit 1; done
	@PVCALC_RANDOM_CASES=$(BENCH_CASES) HYPOTHESIS_PROFILE=bench $(PY) -m pytest -n $(WORKERS) tests/engine/test_interpreters.py tests/plan/test_random.py tests/engine/test_interpreters_audit.py $(ARGS)

mutants: setup $(MUTANT_TOOLS)
	@$(PY) tests/mutation/mutants.py --workers $(WORKERS) $(ARGS) $(MODULES)

table-mutants: setup
	@$(PY) tests/mutation/table_mutants.py $(ARGS)

$(MUTANT_TOOLS): pyproject.toml .ci/constraints.txt $(PACKAGES)
	@$(PIP) -e '.[mutants]'
	@touch $@

clean:
	@rm -rf .venv site build $(ENGINE)/node_modules $(ENGINE)/built
