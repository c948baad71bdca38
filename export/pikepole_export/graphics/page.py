"""The page that a stage picture or a lift card is drawn on."""

from __future__ import annotations

WIDTH_PX = 1600
HEIGHT_PX = 1200
WIDTH_MM = 254.0  # as it is printed: 10 in, by which the scales in it go
COMPRESS_LEVEL = 2  # of zlib, in PNG: half the time of its usual level, for files a tenth larger
