//! The next check: what it tells against what it costs.
