import multiprocessing
from concurrent.futures import ProcessPoolExecutor

import pytest


@pytest.fixture(scope="session")
def spawned():
    """Two processes that were spawned: the executor that the doors pass in."""
    with ProcessPoolExecutor(2, mp_context=multiprocessing.get_context("spawn")) as executor:
        yield executor
