"""The example scenes, which come with the program and are found by their names.

scene_file("honey-house") -> Path
"""

from __future__ import annotations

from pathlib import Path

# In the installed program, and in a clone of the project.
_FOLDERS = (
    Path(__file__).parents[1] / "scenes",
    Path(__file__).parents[3] / "scenes",
)


def scene_file(text: str) -> Path:
    """What the user named: a file, or an example by its name without an ending."""
    path = Path(text)
    if path.exists() or path.name != text or path.suffix:
        return path
    return examples().get(text, path)


def examples() -> dict[str, Path]:
    """The example scenes by name."""
    return {path.stem: path for folder in _FOLDERS for path in sorted(folder.glob("*.toml"))}
