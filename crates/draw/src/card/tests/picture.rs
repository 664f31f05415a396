//! The sample as a picture. Changed pictures are looked at before they are accepted (`rsvg-convert` makes an image of it).

use super::sample;
use crate::test_card;

#[test]
fn a_vacuum_circuit_of_fourteen_parts() {
    let page = test_card(&sample::vacuum());
    insta::assert_snapshot!("vacuum-card.svg", page);
}

/// Too deep for one column: the chain goes on in others.
#[test]
fn a_long_chain_of_checks() {
    insta::assert_snapshot!("chain-card.svg", test_card(&sample::chain()));
}
