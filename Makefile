# The two commands of the README are `demo` and `test`; `make help` lists the rest.
SHELL := /bin/bash
PYTHON := .venv/bin/python
NODE_BIN := node_modules/.bin
MODULES := "static/js/**/*.js" "tests/**/*.mjs" setup/eslint.config.mjs
PORT ?= 8000
export PORT
# Programs of the environment first: where the machine has no Node.js, its node is there.
export PATH := $(CURDIR)/.venv/bin:$(PATH)
# What Python compiled is kept: tests and a demo start many processes, each of which would compile every module anew.
unexport PYTHONDONTWRITEBYTECODE
# Tests run a process for each core; threads of NumPy beside them would only take turns.
export OPENBLAS_NUM_THREADS := 1

# Whole files go to the workers, the longest first (tests/order.py), one worker more than there are cores (tests/conftest.py).
# One that died is not replaced, for the next would die of the same test: the run ends, and tells which.
SPREAD := -n auto --dist loadfile --no-loadscope-reorder --max-worker-restart 0

.DEFAULT_GOAL := help
.PHONY: help demo test test-fast lint lint-types lint-rest format fuzz bench frames pictures lock setup setup-test clean

help:  ## this list
	@grep -hE '^[a-z-]+:.*##' Makefile | sed -E 's/:[^#]*## /\t/' | expand -t 14

demo: setup  ## set up, then run an invented camp on http://localhost:8000 (PORT=… for another port)
	@exec $(PYTHON) manage.py demo

# The code is checked beside the first tests, with what they leave of the cores; what it says stands below theirs.
# By make's plain name: a line with its variable is run even by `make --dry-run`, and this one would run every test.
test: setup-test  ## set up, check the code, run every test
	@said=$$(mktemp); nice -n 19 make --no-print-directory -j 2 lint-types lint-rest >$$said 2>&1 & checking=$$!; \
	$(PYTHON) -m pytest $(SPREAD) --second-go --rerun-show-tracebacks; tested=$$?; \
	wait $$checking; checked=$$?; cat $$said; rm $$said; exit $$((tested || checked))

test-fast: setup-test  ## the tests without browser, pose model and slow ones
	@$(PYTHON) -m pytest $(SPREAD) --ignore tests/browser -m "not browser and not films and not slow"

lint: setup-test  ## ruff, mypy, import rules, templates, browser modules
	@$(MAKE) --no-print-directory -j 2 lint-types lint-rest

lint-types:  # takes as long as all the rest, so it has a core to itself
	@$(PYTHON) -m mypy

lint-rest:
	@$(PYTHON) -m ruff check .
	@.venv/bin/lint-imports --no-logo
	@.venv/bin/djlint --lint --quiet templates
	@$(NODE_BIN)/tsc --project tsconfig.json
	@$(NODE_BIN)/eslint --config setup/eslint.config.mjs $(MODULES)
	@$(NODE_BIN)/prettier --check --log-level warn $(MODULES)

format: setup-test  ## lay the code out anew
	@$(PYTHON) -m ruff check --fix .
	@$(PYTHON) -m ruff format .
	@$(NODE_BIN)/prettier --write --log-level warn $(MODULES)

fuzz: setup-test  ## 10,000 odd requests as each role (FUZZ_REQUESTS=…, FUZZ_SEED=… to repeat)
	@FUZZ_REQUESTS=$${FUZZ_REQUESTS:-10000} $(PYTHON) -m pytest -n auto -rP tests/portal/fuzzing

bench: setup-test  ## how long measuring takes, the way in among slow lines, keys, clicks and times at the desk, the queue's page
	@$(PYTHON) -m tests.bench
	@MOST_WAITING_S=2 $(PYTHON) -m pytest -n 0 -q -s tests/browser/test_stopwatch.py
	@CAGENOTE_ALL_KILLS=1 $(PYTHON) -m pytest -n 0 -q -s tests/browser/test_desk_presses.py -k two_hundred
	@DESK_ROUNDS=4 $(PYTHON) -m pytest -n 0 -q -s tests/browser/test_desk_times.py tests/browser/test_desk_sound.py
	@$(PYTHON) -m tests.bench.queue_page
	@$(PYTHON) -m tests.bench.queue_page --sqlite

frames: setup-test  ## 10,000 steps and jumps over a numbered film, each way, in Chromium and Firefox (FRAME_STEPS=…)
	@FRAME_STEPS=$${FRAME_STEPS:-10000} $(PYTHON) -m pytest -n 0 -q -s tests/browser/test_desk_frames.py tests/browser/test_desk_firefox.py -k every_frame_drawn

pictures: setup-test  ## renew the pictures that README.md shows
	@$(PYTHON) -m pytest tests/browser/test_whole_way.py --pictures

lock: setup-test  ## pin anew from the lists in pyproject.toml
	@sh setup/lock

setup:
	@sh setup/run demo

setup-test:
	@sh setup/run test

clean:  ## remove what the set-up step made (never var/, where the data is)
	rm -rf .venv node_modules models .mypy_cache .pytest_cache .ruff_cache .import_linter_cache
