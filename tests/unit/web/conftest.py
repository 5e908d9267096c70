"""The fixtures of `tests/shop_support`."""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2] / "shop_support"))

from shop_fixtures import *  # noqa: F403
from web_fixtures import *  # noqa: F403
