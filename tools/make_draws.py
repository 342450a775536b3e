"""Make the table of normal draws that forecasts use: a scrambled Sobol net by scipy, 4,096 points, 32 dimensions.

scipy.stats takes most of a second to import, so the command line ships the net instead. Run: python tools/make_draws.py
"""

from pathlib import Path

import numpy as np
from scipy.special import ndtri
from scipy.stats import qmc

POWER, DIMENSIONS, SEED = 12, 32, 1946
PLACE = Path(__file__).parent.parent / "src/clothwright/evidence/sobol_normal.npz"


def main() -> None:
    """Write the table."""
    net = qmc.Sobol(DIMENSIONS, scramble=True, rng=np.random.default_rng(SEED)).random_base2(POWER)
    np.savez_compressed(PLACE, draws=ndtri(np.clip(net, 1e-9, 1 - 1e-9)).astype(np.float32))
    print(f"{PLACE.name}: {PLACE.stat().st_size} bytes")


if __name__ == "__main__":
    main()
