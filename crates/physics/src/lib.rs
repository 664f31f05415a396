//! The kinds of parts, air and copper, and the steady state of a circuit during a check.
