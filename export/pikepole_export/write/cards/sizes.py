"""Where a card's parts are, px; a card is as wide as a stage picture."""

from __future__ import annotations

HEIGHT_PX = 1200  # room for a picture of every step
HEADER_PX = 128
PANEL_PX = 968  # left edge of what stands beside the pictures
