# make demo      builds the demo studio: site, hang-tags, certificates; says where they lie
# make test      the whole check: lint, form, types, every test
# make newest    every test once more, with the newest version of every library
# make mutants   breaks the heart line by line and counts what the tests notice (twenty minutes;
#                MOST=60 tries sixty of them)
# make storm     kills every command at every operation on files, fills disks, closes folders, spoils
#                ten thousand records; prints what was tried and what failed (hours; STORM='--most 20
#                --mutants 500' for a sample)
# make clean     takes away what these made
#
# demo and test install the versions in .ci/constraints.txt, with which everything was tried.
PYTHON ?= python3
MOST ?= 0
STORM ?=
BIN := .venv/bin
COMPILED := PYTHONDONTWRITEBYTECODE=  # tests start many commands, which read what was compiled once
WORKERS := $(shell expr $$(getconf _NPROCESSORS_ONLN) + 1)  # some tests wait for servers, browsers
SETUP := pyproject.toml .ci/setup .ci/constraints.txt

.PHONY: demo test newest mutants storm clean

# The demo is signed with the key that the W3C publishes for trying: its secret half is no secret.
demo: export PROVENANCE_KEY = z3u2en7t5LR2WtQH5PfFqMqwVHBeXouLzo6haApm8XHqvjxq
demo: .venv/demo.done
	$(BIN)/provenance --studio pieces build
	@echo
	@echo "The demo studio is built. Open in a browser:  $(CURDIR)/site/index.html"
	@echo "Hang-tags, certificates and sheets lie in:      $(CURDIR)/pieces/papers/"

test: .venv/test.done
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy
	$(COMPILED) $(BIN)/pytest -n $(WORKERS) --dist worksteal

newest:
	PYTHON=$(PYTHON) sh .ci/setup newest
	.venv/newest/bin/pytest -n $(WORKERS) --dist worksteal

mutants: .venv/test.done
	$(BIN)/python tests/mutants/run.py --most $(MOST)

storm: .venv/test.done
	$(BIN)/python tests/storm/run.py $(STORM)

.venv/demo.done: $(SETUP)
	PYTHON=$(PYTHON) sh .ci/setup demo
	@touch $@

.venv/test.done: $(SETUP)
	PYTHON=$(PYTHON) sh .ci/setup test
	@touch $@

clean:
	rm -rf .venv .mypy_cache .ruff_cache .pytest_cache
