PYTHON ?= python3

.PHONY: setup demo test
setup demo test:
	@SERVE=$(SERVE) $(PYTHON) tools/run.py $@
