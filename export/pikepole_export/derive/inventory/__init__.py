"""The building in numbers: parts, counts, weights, areas, summary."""
