"""The same drop for many runs at once: arrays in, arrays out. The whole choice for many is in `many_choices.py`."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from ribway.sizing.errors import BadNumberError


def drop_v_many(amps: ArrayLike, cut_m: ArrayLike, ohm_per_m: ArrayLike) -> NDArray[np.float64]:
    """Drop there and back of many single loads.

    Args:
        amps: currents [A]; any shapes that broadcast together, e.g. `(n, 1)`.
        cut_m: cable lengths one way [m], e.g. `(n, 1)`.
        ohm_per_m: resistance of one core, hot [ohm/m], e.g. `(s,)` for a whole stock.

    Returns:
        Volts lost, in the broadcast shape, e.g. `(n, s)`.

    Raises:
        BadNumberError: if any value is not finite or is negative.
    """
    arrays = {
        "current [A]": np.asarray(amps, dtype=np.float64),
        "cable length [m]": np.asarray(cut_m, dtype=np.float64),
        "resistance [ohm/m]": np.asarray(ohm_per_m, dtype=np.float64),
    }
    for name, array in arrays.items():
        bad = ~(np.isfinite(array) & (array >= 0.0))
        if bad.any():
            raise BadNumberError(
                f"{name}: {array[bad].flat[0]!r} among {array.size} values; give finite numbers, 0 or more"
            )
    current, length, resistance = arrays.values()
    return np.asarray(2.0 * current * length * resistance, dtype=np.float64)
