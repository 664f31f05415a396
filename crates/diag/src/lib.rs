//! Findings on a text: spans, messages, hints. Plain data, no rendering.
