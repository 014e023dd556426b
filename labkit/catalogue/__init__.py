"""Data that other people measured: pipe sizes, and what stock drink. Each row names its source."""

from labkit.catalogue.pipe_sizes import PipeSize, pipe_size, pipe_sizes
from labkit.catalogue.stock_water import daily_need, stock_kinds

__all__ = ["PipeSize", "daily_need", "pipe_size", "pipe_sizes", "stock_kinds"]
