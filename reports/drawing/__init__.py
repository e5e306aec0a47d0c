"""Trains drawn to scale, on the arm and in section, as inline SVG."""
