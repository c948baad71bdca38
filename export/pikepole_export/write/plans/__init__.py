"""The drawings that a permit desk and a builder ask for: plan, elevations, sections, framing."""
