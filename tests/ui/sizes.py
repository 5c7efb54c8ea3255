"""The sizes of text at which the window is tried, in per cent: those between the ends in a thorough run only.

The pictures of the demo's day are taken at 150 besides, and held to the size of the screen.
"""

import pytest

_BETWEEN = {size: pytest.param(size, marks=pytest.mark.thorough) for size in (125, 150, 175)}
SIZES = [100, _BETWEEN[125], _BETWEEN[150], _BETWEEN[175], 200]
