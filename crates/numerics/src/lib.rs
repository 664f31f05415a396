//! Small linear algebra, damped Newton and low-discrepancy points, on vectors only.
