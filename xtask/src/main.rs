//! The house rules as code.
fn main() {}
