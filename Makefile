# Two commands do everything: `make demo` and `make test`. See README.md.
PYTHON ?= python3
BIN := .venv/bin

.PHONY: demo test clean

demo: .venv/demo.done
	$(BIN)/provenance --studio pieces build
	@echo
	@echo "The demo studio is built. Open in a browser:  $(CURDIR)/site/index.html"
	@echo "Hang-tags, certificates and sheets lie in:      $(CURDIR)/pieces/papers/"

test: .venv/test.done
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy
	$(BIN)/pytest -n auto

.venv/demo.done: pyproject.toml .ci/setup
	PYTHON=$(PYTHON) sh .ci/setup demo
	@touch $@

.venv/test.done: pyproject.toml .ci/setup
	PYTHON=$(PYTHON) sh .ci/setup test
	@touch $@

clean:
	rm -rf .venv .mypy_cache .ruff_cache .pytest_cache
