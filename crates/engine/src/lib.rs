//! One function per derived thing: from a circuit's text to the next check.
