"""Invented examples of the answers about strokes, for the API reference."""

from __future__ import annotations

from typing import Any

BENCHMARKS: dict[str, Any] = {}
ROUND_ANALYSIS: dict[str, Any] = {}
SUMMARY: dict[str, Any] = {}
FIGURES: dict[str, Any] = {}
FIGURE: dict[str, Any] = {}
SHOTS: dict[str, Any] = {}
APPROACH: dict[str, Any] = {}
MISSES: dict[str, Any] = {}
DISTANCES: dict[str, Any] = {}
PUTTING: dict[str, Any] = {}
SQUAD_TABLE: dict[str, Any] = {}
