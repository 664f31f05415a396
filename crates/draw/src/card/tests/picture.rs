//! The sample as a picture. Changed pictures are looked at before they are accepted (`rsvg-convert` makes an image of it).

use super::sample;
use crate::test_card;

#[test]
fn a_vacuum_circuit_of_fourteen_parts() {
    let page = test_card(&sample::vacuum());
    insta::assert_snapshot!("vacuum-card.svg", page);
}
