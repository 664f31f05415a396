//! The description of a circuit: read, check, write; joints, access, conditions, derived checks.
