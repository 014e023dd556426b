"""Data that other people measured: pipe, wire, and what stock drink; with sources."""

from labkit.catalogue.derating import derated_rating, derating
from labkit.catalogue.pipe_sizes import PipeSize, pipe_size, pipe_sizes, sizes_like
from labkit.catalogue.stock_water import daily_need, stock_kind, stock_kinds
from labkit.catalogue.wire_gauges import wire_gauge, wire_gauges, wire_resistance
